"""Where the numbers of a capture file are: separator, decimal mark, first row, columns."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace

from restoration.engineering.captures.locale_rows import looks_like_decimal_commas
from restoration.engineering.captures.numbers import is_number
from restoration.engineering.captures.record import CaptureRefused

Row = tuple[str, ...]

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
    columns, samples = _number_columns(rows, separator)
    if not columns:
        raise CaptureRefused(_no_numbers(tail[-1]))
    if len(columns) > MOST_COLUMNS:
        raise CaptureRefused(
            f"There are {len(columns)} columns of numbers; a capture has a time and at most {MOST_COLUMNS - 1} traces."
        )
    _refuse_words_before(columns[0], samples)
    return _with_header(Layout(separator, decimal_comma, columns, (), (), 0, "", samples), text, skipped)


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


def _number_columns(rows: list[Row], separator: str | None) -> tuple[tuple[int, ...], tuple[Row, ...]]:
    """Columns that hold numbers in most of the last rows, and those rows; in rows with decimal commas, the fewest."""
    whole = tuple(row for row in rows if _all_numbers(row))
    if separator == "," and len(whole) > 1 and looks_like_decimal_commas(whole, 0):
        return min((_columns_of(row) for row in whole), key=len), whole
    found = Counter(columns for row in reversed(rows) if (columns := _columns_of(row)))
    if not found:
        return (), ()
    columns = found.most_common(1)[0][0]
    return columns, tuple(row for row in rows if set(columns) <= set(_columns_of(row)))


def _columns_of(row: Row) -> tuple[int, ...]:
    return tuple(column for column, field in enumerate(row[:4096]) if is_number(field))


def _refuse_words_before(first: int, samples: tuple[Row, ...]) -> None:
    """Settings beside the data end somewhere; words left of the numbers in most rows are no settings."""
    worded = [word for row in samples for word in row[:first] if word]
    if sum(any(row[:first]) for row in samples) > len(samples) / 2:
        raise CaptureRefused(
            f"The last rows have '{worded[-1][:40]}' to the left of their numbers, where only numbers may stand; "
            "a time has to be a count of seconds."
        )


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
            _refuse_torn_first_row(header, layout.columns, number + skipped)
            found = replace(layout, header=tuple(header), first_line=number + 1 + skipped, body=text[start:])
            return _with_beside(found)
        header.append(row if len(row) > 1 else split(text[start:end], ","))
        start = end + 1
        if start > len(text):
            break
    raise CaptureRefused(
        f"No row of numbers begins within the first {len(header)} lines, although the last line looks like one."
    )


def _refuse_torn_first_row(header: list[Row], columns: tuple[int, ...], number: int) -> None:
    """A row right above the data that begins with a number is data with a fault in it, not a heading."""
    row = header[-1] if header else ()
    if len(columns) < 2 or len(row) <= columns[-1] or not is_number(row[columns[0]]):
        return
    spoilt = next(row[column] for column in columns if not is_number(row[column]))
    if spoilt:
        raise CaptureRefused(f"Line {number}: '{spoilt[:40]}' is not a number.")
    raise CaptureRefused(f"Line {number}: a number is missing; every row needs one in each column.")


def _with_beside(layout: Layout) -> Layout:
    """Adds the header that some instruments print in the columns left of the data."""
    if not layout.columns[0]:
        return layout
    rows = [split(line, layout.separator) for line in layout.body[:200_000].split("\n", 200)[:200]]
    return replace(layout, beside=tuple(row[: layout.columns[0]] for row in rows if row and row[0]))
