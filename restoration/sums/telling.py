"""A worked sum as plain text to be copied or printed, and as figures for a program."""

import math
from typing import Any

from restoration.sums.declared import ADVICE, Answer, Sum, Table, Value
from restoration.sums.working import Worked


def as_text(worked: Worked, answer: Answer, address: str = "") -> str:
    """What a person copies: what was given, what it gives, on what it rests, and where it can be seen again."""
    lines = [
        worked.sum.title,
        *(["A worked example, with figures of no place in particular."] if worked.is_example else []),
        "",
    ]
    lines += ["Given:", *_given(worked), "", answer.sentence, ""]
    lines += [f"  {result.label}: {result.words}{_noted(result.note)}" for result in answer.results]
    for table in answer.tables:
        lines += ["", *_table(table)]
    lines += ["", *answer.says] if answer.says else []
    lines += ["", *about(worked.sum)]
    return plain("\n".join([*lines, *([f"Address: {address}"] if address else [])]))


def about(one: Sum) -> list[str]:
    """Formula, source, assumptions, limits and the advice, a line each."""
    return [
        *(f"Formula: {line}" for line in one.formula),
        f"Source: {one.source}",
        *(f"Assumed: {line}" for line in one.assumptions),
        *(f"Holds: {line}" for line in one.limits),
        ADVICE,
    ]


def plain(words: str) -> str:
    """Words with spaces that a plain text file keeps."""
    return words.replace("\u00a0", " ")


def _given(worked: Worked) -> list[str]:
    return [f"  {label}: {words}" for label, words in worked.told]


def _noted(note: str) -> str:
    return f" ({note})" if note else ""


def _table(table: Table) -> list[str]:
    rows = [[column.words for column in table.columns], *([cell for _, cell in row] for row in table.cells)]
    widths = [max(len(row[at]) for row in rows) for at in range(len(table.columns))]
    return [
        table.caption,
        *(
            "  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in rows
        ),
    ]


def as_json(worked: Worked, answer: Answer) -> dict[str, Any]:
    """What a program reads: SI values under stable keys; what is without end or not known is null."""
    return {
        "sum": worked.sum.slug,
        "example": worked.is_example,
        "given": dict(worked.texts),
        "says": [answer.sentence, *answer.says],
        "results": {result.key: number(result.value) for result in answer.results},
        "units": {result.key: result.unit for result in answer.results},
        "tables": [
            [dict(zip((column.key for column in table.columns), map(number, row), strict=True)) for row in table.rows]
            for table in answer.tables
        ],
        "formula": list(worked.sum.formula),
        "source": worked.sum.source,
        "assumptions": list(worked.sum.assumptions),
        "limits": list(worked.sum.limits),
        "advice": ADVICE,
    }


def number(value: Value) -> Value:
    """A value that JSON can hold."""
    return None if isinstance(value, float) and not math.isfinite(value) else value
