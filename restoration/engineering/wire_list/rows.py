"""The rows of a wire list as wires, with every cell that cannot be taken named."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import compress, repeat

from restoration.engineering.wire_list.cells import (
    CriticalColumn,
    LengthColumn,
    TextColumn,
    critical_column,
    length_column,
    text_column,
)
from restoration.engineering.wire_list.collector import collector_paused
from restoration.engineering.wire_list.headings import COLUMNS, positions, unknown_headings
from restoration.engineering.wire_list.refusals import Refusal, RefusalList, shown
from restoration.engineering.wire_list.tables import Table
from restoration.engineering.wire_list.wires import WireColumns, WireRow

STRETCH = 8192
"""Rows turned into columns at a time."""

AnyColumn = TextColumn | LengthColumn | CriticalColumn


@dataclass(frozen=True, slots=True)
class WireRows:
    """The wires of one list, the columns it has, and what it says that cannot be taken.

    ``wires`` holds the good rows only; with anything refused, nothing of the list may be saved.
    """

    wires: WireColumns
    columns: frozenset[str]
    row_count: int
    refused: tuple[Refusal, ...] = ()
    refused_count: int = 0
    warnings: tuple[str, ...] = ()

    @property
    def rows(self) -> list[WireRow]:
        """The wires as records, made anew at each call."""
        return self.wires.rows()


def read_rows(table: Table) -> WireRows:
    """Judge every cell of a table and return its wires.

    Nothing is raised for a bad row: all of them are gathered, the first 500 with their text.
    Headings that name no column are told in ``warnings`` and their cells left out.

    >>> from restoration.engineering.wire_list.tables import read_table
    >>> wires = read_rows(read_table(b"from_slot,from_terminal,to_slot,to_terminal\\nB-05,7,C-04,2", name="w.csv"))
    >>> wires.rows[0].from_slot, wires.rows[0].to_terminal, wires.refused
    ('B-05', '2', ())
    """
    with collector_paused():
        refusals = RefusalList()
        raw = _columns(_evened(table, refusals), len(table.headings))
        columns = {name: _judged(name, raw[place]) for name, place in positions(table.headings).items()}
        bad = _refuse_cells(table, raw, columns, refusals)
        return WireRows(
            wires=_wires(table.lines, columns, bad),
            columns=frozenset(columns),
            row_count=len(table.lines),
            refused=refusals.kept,
            refused_count=refusals.count,
            warnings=(*table.warnings, *_ignored(table.headings, raw)),
        )


def _evened(table: Table, refusals: RefusalList) -> Sequence[Sequence[str]]:
    """Give every row as many cells as there are headings; refuse filled cells beyond them."""
    width = len(table.headings)
    if set(map(len, table.cells)) <= {width}:
        return table.cells
    refusals.add(_beyond(table, width))
    return [(*row[:width], *repeat("", width - len(row))) for row in table.cells]


def _beyond(table: Table, width: int) -> Iterator[Refusal]:
    for line, row in zip(table.lines, table.cells, strict=True):
        extra = next((cell for cell in row[width:] if cell.strip()), None)
        if extra is not None:
            reason = (
                f"The row has {len(row)} cells under {width} headings; a cell that holds the separator is written in "
                "double quotes."
            )
            yield Refusal(line, "", shown(extra.strip()), reason)


def _columns(cells: Sequence[Sequence[str]], width: int) -> list[list[str]]:
    """Turn rows into columns, a stretch of rows at a time so that they stay at hand."""
    columns: list[list[str]] = [[] for _ in range(width)]
    for start in range(0, len(cells), STRETCH):
        for column, stretch in zip(columns, zip(*cells[start : start + STRETCH], strict=True), strict=True):
            column.extend(stretch)
    return columns


def _judged(name: str, raw: Sequence[str]) -> AnyColumn:
    if name == "length_m":
        return length_column(raw)
    if name == "critical":
        return critical_column(raw)
    return text_column(name, raw)


def _refuse_cells(
    table: Table, raw: Sequence[Sequence[str]], columns: dict[str, AnyColumn], refusals: RefusalList
) -> set[int]:
    """Note each refused cell with its line; return the places of the rows that have one."""
    bad: set[int] = set()
    for name, place in positions(table.headings).items():
        reasons = columns[name].refused
        if reasons:
            cells = [(row, cell) for row, cell in enumerate(raw[place]) if cell in reasons]
            bad.update(row for row, _ in cells)
            refusals.add(Refusal(table.lines[row], name, shown(cell.strip()), reasons[cell]) for row, cell in cells)
    return bad


def _wires(lines: Sequence[int], columns: dict[str, AnyColumn], bad: set[int]) -> WireColumns:
    absent = {"length_m": None, "critical": None}
    filled = [columns[name].values if name in columns else [absent.get(name, "")] * len(lines) for name in COLUMNS]
    wires: list[Sequence[object]] = [lines, *filled]
    if bad:
        good = [place not in bad for place in range(len(lines))]
        wires = [list(compress(column, good)) for column in wires]
    return WireColumns._make(wires)


def _ignored(headings: Sequence[str], raw: Sequence[Sequence[str]]) -> list[str]:
    told = []
    unknown = unknown_headings(headings)
    if unknown:
        names = shown(", ".join(f"“{heading}”" for heading in unknown))
        told.append(f"These columns are not part of a wire list and are left out: {names}.")
    for place, heading in enumerate(headings):
        if not heading.strip() and any(cell.strip() for cell in raw[place]):
            told.append(f"Column {place + 1} has no heading and is left out.")
    return told
