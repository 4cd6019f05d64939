"""Where the numbers of a capture file are: separator, decimal mark, first row, columns."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from restoration.engineering.captures.numbers import is_number
from restoration.engineering.captures.record import CaptureRefused

MOST_HEADER_LINES = 2000
MOST_COLUMNS = 65
_SAMPLE_LINES = 40
_DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+(?:[eE][+-]?\d+)?\Z")
_QUOTED_COMMA = re.compile(r'"([+-]?\d+),(\d+(?:[eE][+-]?\d+)?)"')


@dataclass(frozen=True)
class Layout:
    """The plan of a file: ``header`` holds the rows before the data, split; ``body`` the text from there on."""

    separator: str | None
    decimal_comma: bool
    columns: tuple[int, ...]
    header: tuple[tuple[str, ...], ...]
    beside: tuple[tuple[str, ...], ...]
    first_line: int
    body: str
    sample_rows: tuple[tuple[str, ...], ...]
    ragged: bool = False


def split(line: str, separator: str | None) -> tuple[str, ...]:
    """Fields of a line, outer blanks and quotation marks taken off; ``None`` splits at white space.

    >>> split('"Number of Data points =",8192,', ",")
    ('Number of Data points =', '8192', '')
    """
    fields = line.split(separator)
    return tuple(field.strip().strip('"').strip() for field in fields)


def find_layout(text: str) -> Layout:
    """Plan of a file from its last rows, which are data in every known shape, and then its first.

    Raises CaptureRefused where no row of numbers ends the file, or where it starts too late.
    """
    text = _QUOTED_COMMA.sub(r"\1.\2", text) if '"' in text else text
    text = text.strip("\x00\x1a")
    stated, text, skipped = _stated_separator(text)
    tail = _data_lines_at_end(text)
    separator, decimal_comma = _separator(tail, stated)
    rows = [_row(line, separator, decimal_comma) for line in tail]
    columns = _number_columns(rows)
    if not columns:
        raise CaptureRefused(_no_numbers(tail[-1]))
    if len(columns) > MOST_COLUMNS:
        raise CaptureRefused(
            f"There are {len(columns)} columns of numbers; a capture has a time and at most {MOST_COLUMNS - 1} traces."
        )
    layout = Layout(separator, decimal_comma, columns, (), (), 0, "", tuple(rows))
    return _with_header(layout, text, skipped)


def _stated_separator(text: str) -> tuple[str | None, str, int]:
    first, _, rest = text.partition("\n")
    if first.strip().strip('"').lower().startswith("sep="):
        return first.strip().strip('"')[4:5] or None, rest, 1
    return None, text, 0


def _data_lines_at_end(text: str) -> list[str]:
    end = len(text)
    lines: list[str] = []
    looked = 0
    while end > 0 and len(lines) < _SAMPLE_LINES and looked < 5000:
        start = text.rfind("\n", 0, end) + 1
        line = text[start:end]
        if line.strip(" ,;\t"):
            lines.append(line[:20000])
        end = start - 1
        looked += 1
    if not lines:
        raise CaptureRefused("The file has no rows of numbers: its last lines hold nothing but separators.")
    return lines[::-1]


def _separator(lines: list[str], stated: str | None) -> tuple[str | None, bool]:
    tried: tuple[tuple[str | None, bool], ...] = (
        (";", False), (";", True), ("\t", False), ("\t", True), (",", False), (None, False), (None, True),
    )  # fmt: skip
    if stated:
        tried = ((stated, False), (stated, stated != ","), *tried)
    best: tuple[int, tuple[str | None, bool]] = (-1, (",", False))
    for separator, decimal_comma in tried:
        if separator and not any(separator in line for line in lines):
            continue
        numeric = sum(_all_numbers(_row(line, separator, decimal_comma)) for line in lines[-12:])
        if numeric > best[0]:
            best = (numeric, (separator, decimal_comma))
    return best[1]


def _all_numbers(row: tuple[str, ...]) -> bool:
    given = [field for field in row if field]
    return bool(given) and all(is_number(field) for field in given)


def _row(line: str, separator: str | None, decimal_comma: bool) -> tuple[str, ...]:
    fields = split(line, separator)
    if decimal_comma:
        fields = tuple(field.replace(",", ".") if _DECIMAL_COMMA.match(field) else field for field in fields)
    return fields


def _number_columns(rows: list[tuple[str, ...]]) -> tuple[int, ...]:
    """Columns that hold a number in at least three quarters of the last rows, the very last among them."""
    widest = max(len(row) for row in rows)
    found = []
    for column in range(min(widest, 4096)):
        held = [column < len(row) and is_number(row[column]) for row in rows]
        if sum(held) >= 0.75 * len(rows):
            found.append(column)
    return tuple(found)


def _no_numbers(line: str) -> str:
    shown = line.strip()
    shown = shown if len(shown) <= 60 else shown[:57] + "..."
    return f"The file does not end in rows of numbers: its last line reads '{shown}'."


def _with_header(layout: Layout, text: str, skipped: int) -> Layout:
    header: list[tuple[str, ...]] = []
    start = 0
    for number in range(MOST_HEADER_LINES):
        end = text.find("\n", start)
        end = len(text) if end < 0 else end
        row = _row(text[start:end][:20000], layout.separator, layout.decimal_comma)
        if all(column < len(row) and is_number(row[column]) for column in layout.columns):
            found = replace(layout, header=tuple(header), first_line=number + 1 + skipped, body=text[start:])
            return _with_beside(found)
        header.append(row if len(row) > 1 else split(text[start:end], ","))
        start = end + 1
        if start > len(text):
            break
    raise CaptureRefused(
        f"No row of numbers begins within the first {len(header)} lines, although the last line looks like one."
    )


def _with_beside(layout: Layout) -> Layout:
    """Adds the header that some instruments print in the columns left of the data."""
    if not layout.columns[0]:
        return layout
    rows = [split(line, layout.separator) for line in layout.body[:200_000].split("\n", 200)[:200]]
    return replace(layout, beside=tuple(row[: layout.columns[0]] for row in rows if row and row[0]))
