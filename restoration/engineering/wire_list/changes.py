"""What a wire list would change of the links on record, cell by cell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from restoration.engineering.wire_list.links import LinkChange

TOLD = 50
"""How many changed links are told to a person; the rest are counted."""

LISTED = 500
"""How many changed cells are given to a program."""


class ChangedCell(NamedTuple):
    """One column of one link: what stands, and what the list says."""

    link: str
    column: str
    old: str | float | bool | None
    new: str | float | bool | None

    @property
    def is_emptied(self) -> bool:
        """Whether a blank cell takes away what is known."""
        return self.old not in ("", None) and self.new in ("", None)

    def told(self) -> str:
        """Say the cell: column, what stands, what will.

        >>> ChangedCell("214", "length_m", 0.45, None).told()
        'length_m: 0.45 → blank'
        """
        return f"{self.column}: {_said(self.old)} → {_said(self.new)}"


def _said(value: str | float | bool | None) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "blank" if value in ("", None) else str(value)


def changed_cells(changes: Sequence[LinkChange]) -> Iterator[ChangedCell]:
    """Give every changed cell, link by link.

    >>> from restoration.engineering.wire_list.known import LinkFacts
    >>> old = LinkFacts("214", "", "A", "1", "B", "1", wire="7/0.2")
    >>> [cell.told() for cell in changed_cells([LinkChange(old, old._replace(wire=""), ("wire",))])]
    ['wire: 7/0.2 → blank']
    """
    for old, new, columns in changes:
        for column in columns:
            yield ChangedCell(new.code, column, getattr(old, column), getattr(new, column))


def change_sentences(changes: Sequence[LinkChange]) -> list[str]:
    """Tell each changed link on a line of its own, the first fifty of them.

    >>> from restoration.engineering.wire_list.known import LinkFacts
    >>> old = LinkFacts("214", "", "A", "1", "B", "1", wire="7/0.2", loom="12")
    >>> change_sentences([LinkChange(old, old._replace(wire="", loom="13"), ("wire", "loom"))])
    ['Link 214: wire: 7/0.2 → blank; loom: 12 → 13.']
    """
    told = [
        f"Link {change.new.code}: {'; '.join(cell.told() for cell in changed_cells([change]))}."
        for change in changes[:TOLD]
    ]
    more = len(changes) - TOLD
    return told + ([f"And {more:,} more."] if more > 0 else [])


def emptied_sentence(changes: Sequence[LinkChange]) -> list[str]:
    """Warn that blank cells of the list take known values away; nothing where none does.

    >>> emptied_sentence([])
    []
    """
    emptied = sum(cell.is_emptied for cell in changed_cells(changes))
    if not emptied:
        return []
    values = "1 known value is" if emptied == 1 else f"{emptied:,} known values are"
    return [f"{values} emptied by a blank cell of the list; a column that is left out leaves the records alone."]
