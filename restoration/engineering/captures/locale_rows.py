"""Rows of a comma file in which the decimal mark is a comma too, without quotation marks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations

import numpy as np

from restoration.engineering.captures.record import CaptureRefused, Samples

MOST_ROWS = 1_000_000
_WHOLE = re.compile(r"[+-]?\d+\Z", re.ASCII)
_WHOLE_OR_POWER = re.compile(r"[+-]?\d+(?:[eE][+-]?\d+)?\Z", re.ASCII)
_FRACTION = re.compile(r"\d+(?:[eE][+-]?\d+)?\Z", re.ASCII)

Reading = tuple[float, ...]


def looks_like_decimal_commas(rows: tuple[tuple[str, ...], ...], labelled: int) -> bool:
    """Whether rows of a comma file can only be understood as numbers with decimal commas.

    True where no field holds a point and rows have more fields than there are columns, or an uneven number of them.

    >>> looks_like_decimal_commas((("1", "2e-08", "0", "5"), ("2", "1")), 2)
    True
    """
    given = [[field for field in row if field] for row in rows]
    if not all(_WHOLE_OR_POWER.match(field) for row in given for field in row):
        return False
    lengths = {len(row) for row in given}
    return len(lengths) > 1 or (labelled > 0 and max(lengths) > labelled)


def rejoin(body: str, columns: int, first_line: int) -> Samples:
    """Numbers of rows whose decimal commas were taken for separators; shape (rows, columns).

    A row with exactly one or exactly two fields a number is plain. Any other row is read in the one way that keeps
    the first column evenly advancing. Raises CaptureRefused, with the line, where no reading or several fit.
    """
    lines = [(first_line + place, line) for place, line in enumerate(body.split("\n")) if line.strip(" ,")]
    if len(lines) > MOST_ROWS:
        raise CaptureRefused(
            f"The file uses the comma both between columns and inside numbers and has {len(lines)} rows; "
            f"at most {MOST_ROWS} such rows are read. Save it with a decimal point."
        )
    readings = [(number, list(_readings(line, columns))) for number, line in lines]
    clear = [(place, found[0]) for place, (_, found) in enumerate(readings) if len(found) == 1]
    if len(clear) < 2:
        raise CaptureRefused(_two_ways(lines[0][0], lines[0][1]))
    (first, early), (last, late) = clear[0], clear[-1]
    step = (late[0] - early[0]) / (last - first)
    rows = []
    for place, (number, found) in enumerate(readings):
        wanted = early[0] + (place - first) * step
        fitting = [one for one in found if abs(one[0] - wanted) < 0.1 * abs(step)] if len(found) > 1 else found
        if len(fitting) != 1:
            raise CaptureRefused(_two_ways(number, lines[place][1]))
        rows.append(fitting[0])
    return np.array(rows, dtype=np.float64)


def _two_ways(number: int, line: str) -> str:
    return (
        f"Line {number}: '{line.strip()[:60]}' uses the comma both between columns and inside numbers and can be read "
        "in more than one way, or in none. Save the file with a decimal point, or with ; between the columns."
    )


def _readings(line: str, columns: int) -> Iterator[Reading]:
    fields = line.strip().rstrip(",").split(",")
    joined = len(fields) - columns
    if not 0 <= joined <= columns or columns > 8:
        return
    for chosen in combinations(range(columns), joined):
        reading = _reading([field.strip() for field in fields], columns, chosen)
        if reading is not None:
            yield reading


def _reading(fields: list[str], columns: int, chosen: tuple[int, ...]) -> Reading | None:
    place = 0
    values = []
    for column in range(columns):
        if column in chosen:
            if not (_WHOLE.match(fields[place]) and _FRACTION.match(fields[place + 1])):
                return None
            values.append(float(f"{fields[place]}.{fields[place + 1]}"))
            place += 2
        else:
            if not _WHOLE_OR_POWER.match(fields[place]):
                return None
            values.append(float(fields[place]))
            place += 1
    return tuple(values)
