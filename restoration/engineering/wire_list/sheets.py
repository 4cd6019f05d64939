"""Wire lists that come as a workbook (.xlsx or .ods)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from io import BytesIO

import python_calamine

from restoration.engineering.wire_list.bounds import Bounds
from restoration.engineering.wire_list.extent import check_extent
from restoration.engineering.wire_list.headings import has_needed
from restoration.engineering.wire_list.kinds import as_refusals
from restoration.engineering.wire_list.text import Cells

Value = int | float | str | bool | dt.time | dt.date | dt.datetime | dt.timedelta

DATES_TOLD = 20
"""How many cells that hold a date are told one by one."""


def read_sheet(data: bytes, kind: str, bounds: Bounds) -> Cells:
    """Read the first sheet with the needed headings into line numbers, rows and warnings.

    A cell that holds a date is told, since a spreadsheet likes to make dates of codes such as 1-2.
    Raises WireListRefused when the workbook is damaged, locked or unpacks to more than allowed.
    """
    check_extent(data, kind, bounds)
    with as_refusals(), python_calamine.load_workbook(BytesIO(data)) as book:
        return _first_wire_list(book)


def _first_wire_list(book: python_calamine.CalamineWorkbook) -> Cells:
    first: Cells = ((), (), ())
    for place in range(len(book.sheet_names)):
        sheet = book.get_sheet_by_index(place)
        rows = sheet.to_python(skip_empty_area=True)
        if not rows:
            continue
        top = sheet.start[0] + 1 if sheet.start else 1
        if has_needed([text_of(value) for value in rows[0]]):
            return _cells(rows, top)
        first = first if first[1] else _cells(rows[:1], top)
    return first


def _cells(rows: Sequence[Sequence[Value]], top: int) -> Cells:
    cells = [[value if type(value) is str else text_of(value) for value in row] for row in rows]
    return range(top, top + len(cells)), cells, tuple(_dates(rows, top))


def _dates(rows: Iterable[Sequence[Value]], top: int) -> list[str]:
    told = []
    for line, row in enumerate(rows, top):
        for value in row:
            if isinstance(value, (dt.date, dt.time)):
                told.append(
                    f"Line {line} holds a date or time, read as “{text_of(value)}”; a spreadsheet may have "
                    "made it of a code such as 1-2."
                )
    more = len(told) - DATES_TOLD
    return told[:DATES_TOLD] + ([f"{more:,} more cells hold a date or time."] if more > 0 else [])


def text_of(value: Value) -> str:
    """Write a cell's value as a person would type it.

    >>> [text_of(v) for v in ("B-05", 7.0, 0.1, True, dt.date(1951, 3, 2))]
    ['B-05', '7', '0.1', 'yes', '1951-03-02']
    """
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    if isinstance(value, (dt.date, dt.time)):
        return value.isoformat()
    return str(value)
