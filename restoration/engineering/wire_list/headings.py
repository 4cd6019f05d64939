"""The columns of a wire list, and how a heading in somebody's spreadsheet is matched to one."""

from __future__ import annotations

import re
from collections.abc import Sequence

from restoration.engineering.wire_list.refusals import Refusal, WireListRefused, shown

COLUMNS = (
    "link",
    "signal",
    "from_rack",
    "from_slot",
    "from_terminal",
    "to_rack",
    "to_slot",
    "to_terminal",
    "wire",
    "colour",
    "length_m",
    "loom",
    "critical",
    "remarks",
)
"""Every column, in the order in which a list is written."""

NEEDED = ("from_slot", "from_terminal", "to_slot", "to_terminal")
"""The columns without which a row names no wire."""

_BETWEEN = re.compile(r"[\W_]+")


def plain_heading(heading: str) -> str:
    """Bring a heading to the form of ``COLUMNS``: small letters, one underscore between words.

    >>> plain_heading(" From-Slot "), plain_heading("Length (m)")
    ('from_slot', 'length_m')
    """
    return _BETWEEN.sub("_", heading.strip().lower()).strip("_")


def positions(headings: Sequence[str]) -> dict[str, int]:
    """Where each known column stands in the heading row; of a doubled one, the first.

    >>> positions(["To slot", "Notes", "FROM_SLOT"])
    {'to_slot': 0, 'from_slot': 2}
    """
    found: dict[str, int] = {}
    for place, heading in enumerate(headings):
        name = plain_heading(heading)
        if name in COLUMNS:
            found.setdefault(name, place)
    return found


def has_needed(headings: Sequence[str]) -> bool:
    """Say whether a heading row names all four columns that a wire needs.

    >>> has_needed(["from_slot", "from_terminal", "to_slot"])
    False
    """
    return positions(headings).keys() >= set(NEEDED)


def check_headings(headings: Sequence[str], line: int) -> None:
    """Refuse a heading row that lacks a needed column or names one twice.

    Raises WireListRefused with one refusal a column.

    >>> check_headings(["from_slot", "from_terminal", "to_slot", "to_terminal"], 1)
    """
    refused = [*_missing(headings, line), *_doubled(headings, line)]
    if refused:
        raise WireListRefused(refused)


def _missing(headings: Sequence[str], line: int) -> list[Refusal]:
    found = positions(headings)
    given = shown(", ".join(heading.strip() for heading in headings if heading.strip()))
    return [
        Refusal(
            line,
            name,
            given,
            f"The heading row has no column “{name}”; a wire list needs {', '.join(NEEDED[:-1])} and {NEEDED[-1]}.",
        )
        for name in NEEDED
        if name not in found
    ]


def _doubled(headings: Sequence[str], line: int) -> list[Refusal]:
    seen: set[str] = set()
    refused = []
    for heading in headings:
        name = plain_heading(heading)
        if name in seen:
            reason = f"The heading row names the column “{name}” more than once; each may stand there once."
            refused.append(Refusal(line, name, shown(heading.strip()), reason))
        if name in COLUMNS:
            seen.add(name)
    return refused


def unknown_headings(headings: Sequence[str]) -> tuple[str, ...]:
    """The headings that name no column of a wire list, as written, blanks left out.

    >>> unknown_headings(["from_slot", "Drawn by", ""])
    ('Drawn by',)
    """
    return tuple(h.strip() for h in headings if h.strip() and plain_heading(h) not in COLUMNS)
