"""One column of a wire list at a time: trimmed, unguarded, and told where it cannot be taken.

A column is first judged as one long text, since nearly all are plain; only where that shows
something odd is each distinct value looked at.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import NamedTuple

from restoration.engineering.wire_list.guard import unguarded
from restoration.engineering.wire_list.headings import NEEDED

CODE_LENGTH = 60
"""Longest code, signal name, wire type, colour or loom, in characters."""

LENGTHS = {"link": 300, "remarks": 2000}
"""Longest text of the columns that are no plain code."""

LONGEST_WIRE_M = 10_000.0

YES = frozenset(("yes", "y", "true", "1", "x"))
NO = frozenset(("", "no", "n", "false", "0"))

_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_UNFIT = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")
_UNFIT_IN_REMARKS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")

NEEDED_FOR = {
    "from_slot": "the slot it starts from",
    "from_terminal": "the terminal it starts from",
    "to_slot": "the slot it goes to",
    "to_terminal": "the terminal it goes to",
}


class TextColumn(NamedTuple):
    """The texts of one column, and the reason for each raw text that is refused."""

    values: Sequence[str]
    refused: dict[str, str]


class LengthColumn(NamedTuple):
    """The lengths of one column in metres, and the reason for each raw text that is refused."""

    values: Sequence[float | None]
    refused: dict[str, str]


class CriticalColumn(NamedTuple):
    """The yes and no of one column, and the reason for each raw text that is refused."""

    values: Sequence[bool | None]
    refused: dict[str, str]


def text_column(name: str, raw: Sequence[str]) -> TextColumn:
    """Trim and unguard a column of text, and name what cannot be taken.

    Outer white space goes, inner stays; letters are never folded. Refused are a blank where the
    column is needed, control characters (remarks may hold line ends and tabs), and text longer
    than the column takes.

    >>> text_column("from_slot", [" B-05 ", "'+12"]).values
    ['B-05', '+12']
    >>> text_column("from_slot", [""]).refused
    {'': 'A wire needs the slot it starts from; this cell is blank.'}
    """
    longest = LENGTHS.get(name, CODE_LENGTH)
    if _is_plain(raw) and max(map(len, raw), default=0) <= longest:
        return TextColumn(raw, {"": _blank(name)} if name in NEEDED and "" in raw else {})
    tidy = {text: _tidied(name, text) for text in set(raw)}
    reasons = ((text, _unfit(name, tidied, longest)) for text, tidied in tidy.items())
    return TextColumn([tidy[text] for text in raw], {text: reason for text, reason in reasons if reason})


def _is_plain(raw: Sequence[str]) -> bool:
    """Say whether nothing needs trimming, unguarding or refusing; judged on all texts at once."""
    joined = "\n".join(raw)
    if not joined.replace("\n", "").isprintable() or joined.count("\n") != max(len(raw) - 1, 0):
        return False
    joined = f"\n{joined}\n"
    return not ("\n " in joined or " \n" in joined or "\n'" in joined)


def _tidied(name: str, text: str) -> str:
    if name == "remarks":
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    return unguarded(text.strip())


def _unfit(name: str, text: str, longest: int) -> str:
    if not text:
        return _blank(name) if name in NEEDED else ""
    found = (_UNFIT_IN_REMARKS if name == "remarks" else _UNFIT).search(text)
    if found:
        return f"The text holds the control character U+{ord(found[0]):04X}; only printed characters are taken."
    if len(text) > longest:
        return f"The text has {len(text):,} characters; the column {name} takes at most {longest:,}."
    return ""


def _blank(name: str) -> str:
    return f"A wire needs {NEEDED_FOR[name]}; this cell is blank."


def length_column(raw: Sequence[str]) -> LengthColumn:
    """Read lengths in metres; a blank cell says nothing, a decimal comma is taken.

    Kept to a micrometre. Refused are text, negative lengths, and more than 10 km.

    >>> length_column(["0,45", "2", ""]).values
    [0.45, 2.0, None]
    """
    read = {text: _length(text) for text in set(raw)}
    refused = {text: value for text, value in read.items() if isinstance(value, str)}
    metres = {text: None if isinstance(value, str) else value for text, value in read.items()}
    return LengthColumn([metres[text] for text in raw], refused)


def _length(text: str) -> float | str | None:
    """The length, or why it is none."""
    number = text.strip()
    if not number:
        return None
    if not _NUMBER.fullmatch(number):
        return "The length is not a number; write metres as 0.45 or 0,45, without a unit."
    metres = float(number.replace(",", "."))
    if metres < 0:
        return "The length is negative; a wire is 0 m long or longer."
    if not math.isfinite(metres) or metres > LONGEST_WIRE_M:
        return f"The length is more than {LONGEST_WIRE_M:,.0f} m; length_m is in metres."
    return round(metres, 6) + 0.0


def critical_column(raw: Sequence[str]) -> CriticalColumn:
    """Read whether a wire is critical; a blank cell says no.

    >>> critical_column(["Yes", "", "n"]).values
    [True, False, False]
    """
    plain = {text: text.strip().lower() for text in set(raw)}
    refused = {
        text: "The column critical takes yes, y, true, 1 or x, and no, n, false, 0 or a blank."
        for text, word in plain.items()
        if word not in YES and word not in NO
    }
    critical = {text: word in YES for text, word in plain.items()}
    return CriticalColumn([critical[text] for text in raw], refused)
