"""Rows that look like one wire written twice, in a list that names each wire from one end."""

from __future__ import annotations

from collections.abc import Iterator

from restoration.engineering.wire_list.known import End
from restoration.engineering.wire_list.wires import WireColumns

TOLD = 20
"""How many of either kind are told; the rest are counted."""


def doubles_told(wires: WireColumns) -> list[str]:
    """Tell rows that are exactly alike, or each other's reverse; they are taken as two wires all the same.

    Only a row without a link code is looked at with the others: two codes are two wires.

    >>> from restoration.engineering.wire_list.wires import WireRow, in_columns
    >>> row = WireRow(2, "", "", "", "A", "1", "", "B", "2", "", "", None, "", None, "")
    >>> doubles_told(in_columns([row, row._replace(line=3)]))
    ['Lines 2 and 3 are exactly alike, and are taken as two wires.']
    >>> doubles_told(in_columns([row, row.turned()._replace(line=3)]))[0][:62]
    'Lines 2 and 3 name the same ends the other way round; if this '
    """
    if all(wires.link):
        return []
    return [*_capped(_alike(wires), "alike"), *_capped(_reversed(wires), "the other way round")]


def _alike(wires: WireColumns) -> Iterator[str]:
    first: dict[tuple[object, ...], int] = {}
    for line, *said in zip(*wires, strict=True):
        if not said[0]:
            before = first.setdefault(tuple(said), line)
            if before != line:
                yield f"Lines {before} and {line} are exactly alike, and are taken as two wires."


def _reversed(wires: WireColumns) -> Iterator[str]:
    seen: dict[tuple[End, End], tuple[int, bool]] = {}
    for line, code, source, load in zip(wires.line, wires.link, wires.sources, wires.loads, strict=True):
        other = seen.get((load, source)) if source != load else None
        if other is not None and not (code and other[1]):
            yield (
                f"Lines {other[0]} and {line} name the same ends the other way round; if this list names each wire "
                "from both ends, say so with --both-ends."
            )
        seen.setdefault((source, load), (line, bool(code)))


def _capped(found: Iterator[str], how: str) -> list[str]:
    told = list(found)
    more = len(told) - TOLD
    return told[:TOLD] + ([f"{more:,} more pairs of lines are {how}."] if more > 0 else [])
