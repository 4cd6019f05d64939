"""A link code formed from the two ends of a wire that came without one."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable

Ends = tuple[str, str, str, str]
"""Source slot and terminal, load slot and terminal."""

LINK_CODE_LENGTH = 300
"""Longest link code, in characters. Four plain parts of 60 characters give 245."""

_MARKS = re.compile(r"[\\:>(]")


def escaped(part: str) -> str:
    r"""Put a backslash before each character that a formed code uses as a mark.

    >>> escaped("A:1"), escaped("plain-7")
    ('A\\:1', 'plain-7')
    """
    return _MARKS.sub(r"\\\g<0>", part)


def form_code(from_slot: str, from_terminal: str, to_slot: str, to_terminal: str, ordinal: int = 1) -> str:
    r"""Form the code of a wire from its ends; parallel wires are told apart by their ordinal.

    ``SLOT:TERMINAL > SLOT:TERMINAL``, with `` (2)`` and on for the second and later wire between
    the same ends. Different ends, or another ordinal, never give the same code: the marks
    ``\ : > (`` carry a backslash inside a part. Raises ValueError for an ordinal below 1.

    >>> form_code("B-05", "7", "C-04", "2")
    'B-05:7 > C-04:2'
    >>> form_code("B-05", "7", "C-04", "2", ordinal=2)
    'B-05:7 > C-04:2 (2)'
    """
    if ordinal < 1:
        raise ValueError(f"Parallel wires are counted from 1; {ordinal} was given.")
    code = f"{escaped(from_slot)}:{escaped(from_terminal)} > {escaped(to_slot)}:{escaped(to_terminal)}"
    return code if ordinal == 1 else f"{code} ({ordinal})"


def form_codes(ends: Iterable[Ends], taken: Collection[str]) -> list[str]:
    """Form the codes of many wires in file order, stepping over codes that are given away already.

    The same wires in the same order always get the same codes, so that a list read twice names
    the same links twice.

    >>> form_codes([("A", "1", "B", "1"), ("A", "1", "B", "1")], taken=())
    ['A:1 > B:1', 'A:1 > B:1 (2)']
    """
    used = set(taken)
    counted: dict[str, int] = {}
    marks = _Escapes()
    codes = []
    for from_slot, from_terminal, to_slot, to_terminal in ends:
        first = f"{marks[from_slot]}:{marks[from_terminal]} > {marks[to_slot]}:{marks[to_terminal]}"
        ordinal = counted.get(first, 0) + 1
        code = first if ordinal == 1 else f"{first} ({ordinal})"
        while code in used:
            ordinal += 1
            code = f"{first} ({ordinal})"
        counted[first] = ordinal
        codes.append(code)
    return codes


class _Escapes(dict[str, str]):
    """Each part escaped once."""

    def __missing__(self, part: str) -> str:
        self[part] = escaped(part)
        return self[part]
