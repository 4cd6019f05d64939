"""The wires of a list: one as a record, all of them as columns side by side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from restoration.engineering.wire_list.known import End


class WireRow(NamedTuple):
    """One wire as its line states it; ``from`` is the source end. Blank text says nothing.

    ``length_m`` is None where no length is given, ``critical`` where the list has no such column.
    """

    line: int
    link: str
    signal: str
    from_rack: str
    from_slot: str
    from_terminal: str
    to_rack: str
    to_slot: str
    to_terminal: str
    wire: str
    colour: str
    length_m: float | None
    loom: str
    critical: bool | None
    remarks: str

    @property
    def source(self) -> End:
        """The terminal at the source end."""
        return self.from_slot, self.from_terminal

    @property
    def load(self) -> End:
        """The terminal at the load end."""
        return self.to_slot, self.to_terminal

    def turned(self) -> WireRow:
        """The same wire named from its other end.

        >>> row = WireRow(2, "", "", "R1", "A", "1", "", "B", "2", "", "", None, "", None, "")
        >>> row.turned()[3:9]
        ('', 'B', '2', 'R1', 'A', '1')
        """
        return self._replace(
            from_rack=self.to_rack,
            from_slot=self.to_slot,
            from_terminal=self.to_terminal,
            to_rack=self.from_rack,
            to_slot=self.from_slot,
            to_terminal=self.from_terminal,
        )


class WireColumns(NamedTuple):
    """All wires of a list, a sequence to each field of ``WireRow``; judged far faster than row by row."""

    line: Sequence[int]
    link: Sequence[str]
    signal: Sequence[str]
    from_rack: Sequence[str]
    from_slot: Sequence[str]
    from_terminal: Sequence[str]
    to_rack: Sequence[str]
    to_slot: Sequence[str]
    to_terminal: Sequence[str]
    wire: Sequence[str]
    colour: Sequence[str]
    length_m: Sequence[float | None]
    loom: Sequence[str]
    critical: Sequence[bool | None]
    remarks: Sequence[str]

    @property
    def sources(self) -> list[End]:
        """The source terminal of each wire."""
        return list(zip(self.from_slot, self.from_terminal, strict=True))

    @property
    def loads(self) -> list[End]:
        """The load terminal of each wire."""
        return list(zip(self.to_slot, self.to_terminal, strict=True))

    def row(self, place: int) -> WireRow:
        """The wire at one place, counted from 0."""
        return WireRow._make(column[place] for column in self)

    def rows(self) -> list[WireRow]:
        """Every wire as a record."""
        return list(map(WireRow._make, zip(*self, strict=True)))


def in_columns(rows: Iterable[WireRow]) -> WireColumns:
    """Set records out as columns.

    >>> row = WireRow(2, "K1", "", "", "A", "1", "", "B", "2", "", "", None, "", None, "")
    >>> in_columns([row]).link, in_columns([]).link
    (('K1',), ())
    """
    columns = tuple(zip(*rows, strict=True))
    return WireColumns._make(columns or ((),) * len(WireColumns._fields))
