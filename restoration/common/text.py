"""Text as it comes from addresses and command lines, before a database is asked about it."""


def can_be_stored(text: str) -> bool:
    r"""Whether a database can hold this text at all, so that it may be asked for it.

    PostgreSQL takes no NUL, and half a character (as a shell passes on bytes that are no UTF-8) is no text.

    >>> can_be_stored("C-07"), can_be_stored("C\x00"), can_be_stored("\udcff")
    (True, False, False)
    """
    return "\x00" not in text and not any("\ud800" <= sign <= "\udfff" for sign in text)


def shown(text: str) -> str:
    r"""The text as any terminal and any file can show it.

    >>> shown("slot \udcff")
    'slot \\udcff'
    """
    return text.encode("utf-8", "backslashreplace").decode()
