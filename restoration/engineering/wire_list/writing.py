"""A wire list written out again, as text or as a workbook, with the same columns it is read by."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from io import BytesIO, StringIO
from typing import TYPE_CHECKING

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell

from restoration.engineering.wire_list.guard import guarded
from restoration.engineering.wire_list.headings import COLUMNS
from restoration.engineering.wire_list.wires import WireRow

if TYPE_CHECKING:
    from openpyxl.worksheet._write_only import WriteOnlyWorksheet

_NOT_IN_WORKBOOK = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")

_ESCAPE_LIKE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
"""A workbook reads ``_x0041_`` as the letter A, so a text that says so has its underscore escaped (ECMA-376)."""


def write_csv(rows: Iterable[WireRow]) -> bytes:
    """Write wires as UTF-8 text with its mark, commas and CRLF (RFC 4180).

    Text that a spreadsheet would run as a formula gets an apostrophe, which reading takes off.

    >>> row = WireRow(2, "K1", "+GATE", "", "B-05", "7", "", "C-04", "2", "", "", 0.45, "", True, "")
    >>> write_csv([row]).decode("utf-8-sig").splitlines()[1]
    "K1,'+GATE,,B-05,7,,C-04,2,,,0.45,,yes,"
    """
    text = StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows(_text_cells(row) for row in rows)
    return text.getvalue().encode("utf-8-sig", errors="replace")


def write_xlsx(rows: Iterable[WireRow]) -> bytes:
    """Write wires as one sheet of a workbook; lengths are numbers, everything else is typed as text.

    No cell is a formula. Control characters, which a workbook cannot hold, become U+FFFD.

    >>> write_xlsx([])[:2]
    b'PK'
    """
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Wire list")
    sheet.freeze_panes = "A2"
    sheet.append(list(COLUMNS))
    for row in rows:
        sheet.append([_workbook_cell(sheet, value) for value in _cells(row)])
    written = BytesIO()
    book.save(written)
    return written.getvalue()


def _cells(row: WireRow) -> list[str | float | None]:
    """The cells in the order of ``COLUMNS``, text guarded."""
    cells: list[str | float | None] = []
    for name, value in zip(COLUMNS, row[1:], strict=True):
        if name == "length_m":
            cells.append(value if isinstance(value, (int, float)) else None)
        elif name == "critical":
            cells.append({True: "yes", False: "no"}.get(value, "") if isinstance(value, bool) else "")
        else:
            cells.append(guarded(str(value)))
    return cells


def _text_cells(row: WireRow) -> list[str]:
    return [_number(cell) if isinstance(cell, (int, float)) else cell or "" for cell in _cells(row)]


def _number(value: float) -> str:
    return str(int(value)) if value == int(value) else repr(value)


def _workbook_cell(sheet: WriteOnlyWorksheet, value: str | float | None) -> object:
    if not value or not isinstance(value, str):
        return value if value != "" else None
    one_line_end = value.replace("\r\n", "\n").replace("\r", "\n")
    text = _ESCAPE_LIKE.sub("_x005F_", _NOT_IN_WORKBOOK.sub("\ufffd", one_line_end))
    cell = WriteOnlyCell(sheet, value=text)
    cell.data_type = "s"
    return cell
