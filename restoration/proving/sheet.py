"""A bench test as its certificate shows it: each figure beside its limit, its load and its verdict."""

from dataclasses import dataclass

from restoration.engineering.limits import Verdict
from restoration.proving.models import BenchReading, BenchTest
from restoration.proving.quantities import judges, limit_reads, reads, words
from restoration.proving.wording import load_in_words

MARKS = {
    Verdict.WITHIN: "passed",
    Verdict.OUTSIDE: "failed",
    Verdict.TOO_CLOSE: "in doubt",
    Verdict.CANNOT_TELL: "not done",
}


@dataclass(frozen=True)
class SheetLine:
    """One figure of a certificate, in words."""

    place: str
    what: str
    load: str
    limit: str
    found: str
    mark: str
    verdict: str


def bench_sheet(test: BenchTest) -> list[SheetLine]:
    """Write out the figures of a bench test in the order of the design."""
    return [_line(row) for row in test.readings.all()]


def _line(row: BenchReading) -> SheetLine:
    found = "not measured" if row.value is None else reads(row.quantity, row.value, digits=4)
    if row.value is not None and row.uncertainty:
        found = f"{found} ± {reads(row.quantity, row.uncertainty, digits=2)}"
    mark, verdict = MARKS[Verdict(row.verdict)], str(row.verdict)
    if row.value is None:
        verdict = "not measured"
    elif not judges(row):
        mark, verdict = "void", "no limit"
    load = load_in_words(row.load_resistance_ohm, row.load_capacitance_f)
    return SheetLine(row.place, words(row.quantity), load, limit_reads(row), found, mark, verdict)
