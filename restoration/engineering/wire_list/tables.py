"""A file of any accepted kind as a heading row and rows of text, each with its line number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from restoration.engineering.wire_list.bounds import BOUNDS, Bounds
from restoration.engineering.wire_list.collector import collector_paused
from restoration.engineering.wire_list.headings import check_headings
from restoration.engineering.wire_list.kinds import kind_of
from restoration.engineering.wire_list.refusals import refuse_file
from restoration.engineering.wire_list.sheets import read_sheet
from restoration.engineering.wire_list.text import read_text


@dataclass(frozen=True, slots=True)
class Table:
    """The cells of one wire list as text, before anything is judged.

    ``lines`` and ``cells`` run side by side; a line is counted as a person sees it in the file,
    the first being 1. ``shape`` is ``csv``, ``xlsx`` or ``ods``.
    """

    headings: tuple[str, ...]
    lines: Sequence[int]
    cells: Sequence[Sequence[str]]
    shape: str
    heading_line: int = 1
    warnings: tuple[str, ...] = ()

    @property
    def rows(self) -> list[tuple[int, tuple[str, ...]]]:
        """Line number and cells of each row that is not blank."""
        return [(line, tuple(row)) for line, row in zip(self.lines, self.cells, strict=True)]


def read_table(data: bytes, *, name: str, bounds: Bounds = BOUNDS) -> Table:
    """Read a wire list that came as .csv, .xlsx or .ods; the content decides, not the name.

    Text may be UTF-8, UTF-16 with its mark, or Windows-1252, parted by comma, semicolon or tab.
    Of a workbook, the first sheet whose first filled row has the needed headings is read.
    Blank rows are left out. Whole numbers in a workbook become ``7``, not ``7.0``.

    Raises WireListRefused with a sentence when the file is empty, too large, of another kind,
    damaged, or has no usable heading row.

    >>> table = read_table(b"From slot,From terminal,To slot,To terminal\\r\\nB-05,7,C-04,2\\r\\n", name="wires.csv")
    >>> table.rows, table.shape
    ([(2, ('B-05', '7', 'C-04', '2'))], 'csv')
    """
    if len(data) > bounds.bytes:
        raise refuse_file(
            f"The file is {len(data):,} bytes long; a wire list may have at most {bounds.bytes:,}.", value=name
        )
    kind = kind_of(data, name=name, bounds=bounds)
    with collector_paused():
        lines, cells, warnings = read_text(data, bounds) if kind == "csv" else read_sheet(data, kind, bounds)
        return _table(lines, cells, kind, warnings, bounds)


def _table(
    lines: Sequence[int], cells: Sequence[Sequence[str]], kind: str, warnings: tuple[str, ...], bounds: Bounds
) -> Table:
    lines, cells = without_blank_rows(lines, cells)
    if not cells:
        raise refuse_file("The file has no filled row; a wire list starts with a row of headings.")
    if len(cells) - 1 > bounds.rows:
        raise refuse_file(f"The list has {len(cells) - 1:,} rows; at most {bounds.rows:,} are taken at once.")
    headings = tuple(cells[0])
    check_headings(headings, lines[0])
    return Table(headings, lines[1:], cells[1:], kind, lines[0], warnings)


def without_blank_rows(
    lines: Sequence[int], cells: Sequence[Sequence[str]]
) -> tuple[Sequence[int], Sequence[Sequence[str]]]:
    """Leave out rows in which no cell has anything but white space.

    >>> without_blank_rows([1, 2, 3], [["a"], [" ", ""], ["b"]])
    ([1, 3], [['a'], ['b']])
    """
    filled = [
        place for place, row in enumerate(cells) if (row and row[0] and not row[0].isspace()) or "".join(row).strip()
    ]
    if len(filled) == len(cells):
        return lines, cells
    return [lines[place] for place in filled], [cells[place] for place in filled]
