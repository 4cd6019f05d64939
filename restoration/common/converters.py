"""Puts any code that is painted on the machine into an address, whatever signs it holds."""

import re

ESCAPED = re.compile(r"~([0-9a-f]{2})")


class PaintedCode:
    """An address part for a code: `/` and `~` are written as `~2f` and `~7e`, the rest as addresses do.

    >>> PaintedCode().to_url("C/07~b"), PaintedCode().to_python("C~2f07~7eb")
    ('C~2f07~7eb', 'C/07~b')
    >>> PaintedCode().to_url("..")
    '~2e~2e'
    """

    regex = "[^/]+"

    def to_url(self, code: str) -> str:
        """Write a code as one part of an address."""
        escaped = code.replace("~", "~7e").replace("/", "~2f")
        return escaped.replace(".", "~2e") if code in (".", "..") else escaped

    def to_python(self, part: str) -> str:
        """Read the code back; no code holds a NUL, and no database takes one."""
        code = ESCAPED.sub(lambda match: chr(int(match[1], 16)), part)
        if "\0" in code:
            raise ValueError("An address with a NUL in it leads nowhere.")
        return code
