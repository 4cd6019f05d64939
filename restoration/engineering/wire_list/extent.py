"""How far a workbook really reaches, found before it is unpacked whole.

A reader of workbooks lays a sheet out as a full rectangle. One cell in the far corner of an
otherwise blank sheet makes that rectangle too large for any machine, so it is measured first, by
streaming each part once. The stream also proves the sizes that the archive's directory announces.
"""

from __future__ import annotations

import re
import zipfile
from functools import lru_cache
from io import BytesIO
from typing import IO
from xml.parsers import expat

from restoration.engineering.wire_list.bounds import Bounds
from restoration.engineering.wire_list.kinds import as_refusals, damaged
from restoration.engineering.wire_list.refusals import refuse_file

CHUNK = 1 << 18
SPARSE_AREA = 2_000_000
"""A rectangle up to this area is laid out however few cells it holds."""
SPARSENESS = 50
"""Above that, there may be so many places to one cell."""

_CELLS_AHEAD = re.compile(rb"sheetData|table:table")
"""What a part that is not well-formed may not hold: a lenient reader would go on and lay it out."""

_LETTERS = re.compile(r"[A-Z]{1,3}")


class Extent:
    """The rectangle of one part of a workbook, as its elements are met."""

    def __init__(self) -> None:
        self.row = self.column = self.cells = 0
        self.last_row = self.last_column = 0

    @property
    def area(self) -> int:
        """Places in the rectangle from the first cell to the last."""
        return self.last_row * self.last_column


class ExcelExtent(Extent):
    """Elements ``row`` and ``c`` with their references ``r`` (ECMA-376)."""

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Follow one element."""
        if name == "c" or name.endswith(":c"):
            self._cell(attributes.get("r"))
        elif name == "row" or name.endswith(":row"):
            self.row = int(attributes.get("r", self.row + 1))
            self.column = 0

    def _cell(self, reference: str | None) -> None:
        if reference is None:
            self.column += 1
        else:
            letters = reference.rstrip("0123456789")
            self.row, self.column = int(reference[len(letters) :]), column_number(letters)
        self.cells += 1
        if self.row > self.last_row:
            self.last_row = self.row
        if self.column > self.last_column:
            self.last_column = self.column


class OpenExtent(Extent):
    """Elements ``table:table-row`` and ``table:table-cell`` with their repeats (OASIS ODF)."""

    def __init__(self) -> None:
        super().__init__()
        self.row_repeat = self.last_filled = 0
        self.pending: tuple[int, bool] = (0, False)

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Follow one element's start."""
        if name == "table:table":
            self.row = 0
        elif name == "table:table-row":
            self.row_repeat = int(attributes.get("table:number-rows-repeated", 1))
            self.column = self.last_filled = 0
        elif name in ("table:table-cell", "table:covered-table-cell"):
            repeat = int(attributes.get("table:number-columns-repeated", 1))
            self.column += repeat
            if "office:value-type" in attributes or "table:formula" in attributes:
                self._filled()
        elif name == "text:p":
            self._filled()

    def end(self, name: str) -> None:
        """At a row's end, count its repeats."""
        if name == "table:table-row":
            self.row += self.row_repeat
            if self.last_filled:
                self.last_row = max(self.last_row, self.row)

    def _filled(self) -> None:
        self.cells += 1
        self.last_filled = self.column
        self.last_column = max(self.last_column, self.column)


@lru_cache(maxsize=20_000)
def column_number(letters: str) -> int:
    """The number of a column named by one to three capital letters; ValueError for any other name.

    >>> column_number("A"), column_number("AA"), column_number("XFD")
    (1, 27, 16384)
    """
    if not _LETTERS.fullmatch(letters):
        raise ValueError(f"A column is named by one to three capital letters, not “{letters}”.")
    number = 0
    for letter in letters:
        number = 26 * number + ord(letter) - 64
    return number


def check_extent(data: bytes, kind: str, bounds: Bounds) -> None:
    """Refuse a workbook that is damaged or whose rectangle of cells is too large to lay out.

    Raises WireListRefused with a sentence.
    """
    with as_refusals(), zipfile.ZipFile(BytesIO(data)) as archive:
        for member in archive.infolist():
            with archive.open(member) as part:
                _check_part(_measured(part, ExcelExtent() if kind == "xlsx" else OpenExtent()), bounds)


def _measured(part: IO[bytes], extent: ExcelExtent | OpenExtent) -> Extent:
    parser = expat.ParserCreate()
    parser.StartElementHandler = extent.start
    if isinstance(extent, OpenExtent):
        parser.EndElementHandler = extent.end
    is_xml, tail = True, b""
    while chunk := part.read(CHUNK):
        is_xml = is_xml and _fed(parser, chunk)
        if not is_xml and _CELLS_AHEAD.search(tail + chunk):
            raise damaged()
        tail = chunk[-16:]
    return extent


def _fed(parser: expat.XMLParserType, chunk: bytes) -> bool:
    """Give the parser more; False once the part proves to be a picture or the like."""
    try:
        parser.Parse(chunk, False)
    except expat.ExpatError:
        return False
    return True


def _check_part(extent: Extent, bounds: Bounds) -> None:
    if extent.area > bounds.cells or extent.area > SPARSE_AREA + SPARSENESS * extent.cells:
        raise refuse_file(
            f"A sheet of the workbook reaches to row {extent.last_row:,} and column {extent.last_column:,} with only "
            f"{extent.cells:,} filled cells; delete what stands far from the list and save it again."
        )
