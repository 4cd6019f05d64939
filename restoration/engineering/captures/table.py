"""The numbers themselves: fast where every row is alike, row by row where one is not."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures.layout import Layout, split
from restoration.engineering.captures.locale_rows import MOST_ROWS, looks_like_decimal_commas, rejoin
from restoration.engineering.captures.numbers import NUMBER, is_number
from restoration.engineering.captures.record import LARGEST_VALUE, CaptureRefused, Samples


@dataclass(frozen=True, eq=False)
class Table:
    """Rows of numbers, shape (rows, columns), with the row at which each block begins and the line of each row."""

    rows: Samples
    breaks: tuple[int, ...]
    lines: NDArray[np.int64] | None
    first_line: int
    decimal_commas: bool = False

    def line_of(self, row: int) -> int:
        """Line in the file, counted from one, of a row."""
        return self.first_line + row if self.lines is None else int(self.lines[row])


def read_table(layout: Layout, labelled: int, most_samples: int) -> Table:
    """All numbers of the data columns.

    Raises CaptureRefused, with the line, for text among the numbers, a missing or surplus field, NaN, infinity and
    over-range marks, and for more rows than ``most_samples`` allows.
    """
    rows = layout.body.count("\n") + 1
    if rows * max(1, len(layout.columns) - 1) > most_samples + len(layout.columns) * 100:
        raise CaptureRefused(f"The file has about {rows} rows; at most {most_samples} samples are read from one file.")
    if layout.separator == "," and looks_like_decimal_commas(layout.sample_rows, labelled):
        columns = labelled or max(len(row) for row in layout.sample_rows) // 2
        return _checked(
            Table(rejoin(layout.body, max(columns, 1), layout.first_line), (0,), None, layout.first_line, True)
        )
    return _checked(_fast(layout) or _row_by_row(layout))


def _fast(layout: Layout) -> Table | None:
    body = layout.body.rstrip()
    if layout.decimal_comma:
        body = body.replace(",", ".")
    if '"' in body or "\n\n" in body or "_" in body or not _rows_alike(body, layout.separator):
        return None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            rows = np.loadtxt(
                io.StringIO(body), delimiter=layout.separator, usecols=layout.columns, comments=None, ndmin=2
            )
        except (ValueError, IndexError, OverflowError):
            return None
    return Table(rows, (0,), None, layout.first_line)


def _rows_alike(body: str, separator: str | None) -> bool:
    """Whether every line has the same count of separators."""
    if separator is None:
        return True
    marks = np.frombuffer(body.encode("latin-1", "replace"), dtype=np.uint8)
    ends = np.append(np.flatnonzero(marks == 10), marks.size)
    counts = np.diff(np.searchsorted(np.flatnonzero(marks == ord(separator)), ends), prepend=0)
    return bool((counts == counts[0]).all())


def _row_by_row(layout: Layout) -> Table:
    width = layout.columns[-1] + 1
    rows: list[list[float]] = []
    lines: list[int] = []
    breaks = [0]
    for place, line in enumerate(layout.body.split("\n")):
        if not line.strip(" ,;\t\x00\x1a"):
            continue
        if len(rows) > 4 * MOST_ROWS:
            raise CaptureRefused(f"The file has more than {4 * MOST_ROWS} rows that are not all alike; save it evenly.")
        number = layout.first_line + place
        if _starts_block(line, layout.separator):
            if breaks[-1] != len(rows):
                breaks.append(len(rows))
            continue
        rows.append(_numbers(line, number, layout, width))
        lines.append(number)
    breaks = [place for place in breaks if place < len(rows)]
    return Table(np.array(rows), tuple(breaks), np.array(lines), layout.first_line)


def _starts_block(line: str, separator: str | None) -> bool:
    """A heading printed again between two segments of one record."""
    first = split(line, separator)[0].lower()
    return first.startswith(("#", "segment")) or first in ("time", "second", "x", "s")


def _numbers(line: str, number: int, layout: Layout, width: int) -> list[float]:
    fields = list(split(line, layout.separator))
    if layout.decimal_comma:
        fields = [field.replace(",", ".") for field in fields]
    while len(fields) > width and not fields[-1]:
        fields.pop()
    if len(fields) < width:
        raise CaptureRefused(
            f"Line {number}: '{line.strip()[:60]}' has {_fields(len(fields))} where the other rows have {width}."
        )
    if len(fields) > width and layout.columns == tuple(range(width)) and is_number(fields[width]):
        raise CaptureRefused(
            f"Line {number}: '{line.strip()[:60]}' has {_fields(len(fields))} where the other rows have {width}; "
            "a decimal comma in a comma-separated file looks like this."
        )
    return [_number(fields[column], number) for column in layout.columns]


def _fields(count: int) -> str:
    return "one field" if count == 1 else f"{count} fields"


def _number(field: str, number: int) -> float:
    if NUMBER.match(field):
        return float(field)
    if not field:
        raise CaptureRefused(f"Line {number}: a number is missing; every row needs one in each column.")
    raise CaptureRefused(f"Line {number}: '{field[:40]}' is not a number.")


def _checked(table: Table) -> Table:
    with np.errstate(invalid="ignore"):
        fine = np.abs(table.rows) <= LARGEST_VALUE
    if fine.all():
        return table
    row, column = (int(place) for place in np.argwhere(~fine)[0])
    value = table.rows[row, column]
    if not np.isfinite(value):
        raise CaptureRefused(f"Line {table.line_of(row)}: {value} is not a number that was measured.")
    if abs(value) > 9e36:
        raise CaptureRefused(
            f"Line {table.line_of(row)}: {value:g} is the mark instruments write for a sample that is over range "
            "or missing; take the capture again with the whole trace on the screen."
        )
    raise CaptureRefused(f"Line {table.line_of(row)}: {value:g} is beyond ±{LARGEST_VALUE:g}, the largest value read.")
