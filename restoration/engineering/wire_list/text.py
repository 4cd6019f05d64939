"""Wire lists that come as text: which letters, which separator, which cells."""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Sequence
from io import StringIO

from restoration.engineering.wire_list.bounds import Bounds
from restoration.engineering.wire_list.headings import positions
from restoration.engineering.wire_list.refusals import refuse_file

SEPARATORS = (",", ";", "\t")

_NOT_TEXT = re.compile(rb"[\x00-\x08\x0e-\x1f]")
_UTF16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_SEPARATOR_LINE = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)

Cells = tuple[Sequence[int], Sequence[Sequence[str]], tuple[str, ...]]
"""Line numbers, rows and warnings."""


def read_text(data: bytes, bounds: Bounds) -> Cells:
    """Read separated text into line numbers, rows and warnings.

    Quotes follow the common rule (RFC 4180): a cell in double quotes may hold the separator, a
    line end, and a double quote written twice. A line number is that of the row's first line.
    Raises WireListRefused when the bytes are no text or the quotes do not close.

    >>> from restoration.engineering.wire_list.bounds import BOUNDS
    >>> read_text(b'from_slot;to_slot\\n"A;1";B\\n', BOUNDS)
    ([1, 2], [['from_slot', 'to_slot'], ['A;1', 'B']], ())
    """
    text, warnings = decoded(data)
    skipped, text, separator = _announced_separator(text)
    separator = separator or separator_of(text)
    _check_size(text, separator, bounds)
    lines, cells = _split(text, separator)
    return ([line + skipped for line in lines] if skipped else lines), cells, warnings


def decoded(data: bytes) -> tuple[str, tuple[str, ...]]:
    """Turn bytes into text: by their mark, else as UTF-8, else as Windows-1252 with a warning.

    >>> decoded("é".encode("cp1252"))[0], decoded("é".encode("utf-16"))[0]
    ('é', 'é')
    """
    if data.startswith(_UTF16):
        return _decoded_utf16(data), ()
    if _NOT_TEXT.search(data[:4096].lstrip().partition(b"\n")[0]):
        raise refuse_file("The file is neither text nor a workbook; a wire list comes as .csv, .xlsx or .ods.")
    try:
        return data.decode("utf-8-sig"), ()
    except UnicodeDecodeError:
        return _decoded_windows(data)


def _decoded_utf16(data: bytes) -> str:
    try:
        return data.decode("utf-16")
    except UnicodeDecodeError as error:
        reason = f"The file is marked as UTF-16 text and breaks off at byte {error.start + 1:,}; save the list again."
        raise refuse_file(reason) from error


def _decoded_windows(data: bytes) -> tuple[str, tuple[str, ...]]:
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError as error:
        byte = data[error.start]
        raise refuse_file(
            f"The file holds the byte {byte:#04x} at place {error.start + 1:,}, which is neither UTF-8 nor "
            "Windows-1252 text; save the list again as UTF-8.",
            line=data.count(b"\n", 0, error.start) + 1,
        ) from error
    return text, ("The file is not UTF-8 and was read as Windows-1252; look at the letters with accents.",)


def _announced_separator(text: str) -> tuple[int, str, str]:
    """Take off a first line that only announces the separator, as some spreadsheets write it."""
    found = _SEPARATOR_LINE.match(text)
    return (1, text[found.end() :], found[1]) if found else (0, text, "")


def separator_of(text: str) -> str:
    """Choose the separator under which the heading row shows the most wire list columns.

    >>> separator_of("From slot;From terminal;To slot, if any"), separator_of("from_slot\\tto_slot")
    (';', '\\t')
    """
    heading = text.lstrip()[:65536]

    def worth(separator: str) -> tuple[int, int]:
        try:
            row = next(csv.reader(StringIO(heading, newline=""), delimiter=separator), [])
        except csv.Error:
            return (0, 0)
        return (len(positions(row)), len(row))

    return max(SEPARATORS, key=worth)


def _check_size(text: str, separator: str, bounds: Bounds) -> None:
    lines = max(text.count("\n"), text.count("\r"))
    if lines > 2 * bounds.rows + 1000:
        raise refuse_file(f"The file has {lines:,} lines; at most {bounds.rows:,} rows are taken at once.")
    cells = lines + text.count(separator)
    if cells > bounds.cells:
        raise refuse_file(f"The file has about {cells:,} cells; at most {bounds.cells:,} are taken at once.")


def _split(text: str, separator: str) -> tuple[Sequence[int], list[list[str]]]:
    if '"' in text:
        return _split_quoted(text, separator)
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    cells = [line.split(separator) for line in text.split("\n")]
    return range(1, len(cells) + 1), cells


def _split_quoted(text: str, separator: str) -> tuple[list[int], list[list[str]]]:
    reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
    lines: list[int] = []
    cells: list[list[str]] = []
    line = 1
    try:
        for row in reader:
            lines.append(line)
            cells.append(row)
            line = reader.line_num + 1
    except csv.Error as error:
        raise _bad_quotes(line, error) from error
    return lines, cells


def _bad_quotes(line: int, error: csv.Error) -> Exception:
    if "field larger" in str(error):
        reason = f"A cell is longer than {csv.field_size_limit():,} characters; look for a quote that does not close."
    else:
        reason = (
            "The double quotes in this row do not close before the next separator; a cell that holds a quote is "
            "written in quotes, with the quote inside it doubled."
        )
    return refuse_file(reason, line=line)
