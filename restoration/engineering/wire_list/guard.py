"""Text that a spreadsheet would take for a formula, made harmless and brought back exactly."""

from __future__ import annotations

import re

_STARTS = "[=+\\-@\uff1d\uff0b\uff0d\uff20]"
_LIKE_FORMULA = re.compile("'*" + _STARTS)
_GUARDED = re.compile("'+" + _STARTS)


def guarded(text: str) -> str:
    """Put one more apostrophe before text that a spreadsheet would run as a formula.

    That is text which, after any apostrophes, starts with ``=``, ``+``, ``-`` or ``@`` (common
    practice of spreadsheets; the full-width forms count in some of them). ``unguarded`` undoes it
    for every text. A spreadsheet set to another separator than the file's parts the cells
    elsewhere, where no guard can stand: such a one is better served with the workbook.

    >>> guarded("+120 V"), guarded("'quoted'"), guarded("'=A1")
    ("'+120 V", "'quoted'", "''=A1")
    """
    return "'" + text if _LIKE_FORMULA.match(text) else text


def unguarded(text: str) -> str:
    """Take one apostrophe off text that ``guarded`` may have written; leave any other as it is.

    >>> unguarded("'+120 V"), unguarded("'quoted'"), unguarded("=A1")
    ('+120 V', "'quoted'", '=A1')
    """
    return text[1:] if _GUARDED.match(text) else text
