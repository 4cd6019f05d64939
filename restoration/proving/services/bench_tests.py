"""A chassis tested on the bench: its DC points and pulse outputs against the figures of its design."""

# ruff: noqa: PT028  (the act of testing on a bench is no test of this code)

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from restoration.engineering.limits import Limit, Verdict, judge, overall
from restoration.machine.models import BenchPoint, Chassis
from restoration.machine.records import Place, Result
from restoration.people.models import Person
from restoration.proving.measuring import RESULTS, Setting, readings_by_hand
from restoration.proving.models import BenchReading, BenchTest, ColdCheck, Instrument
from restoration.proving.quantities import judges
from restoration.proving.services.chassis_records import (
    held,
    issue_letter,
    steps_of,
    why_unbuilt,
    write_chassis_line,
)
from restoration.proving.services.headings import head_record
from restoration.workshop.models import Step, StepKind

TESTED_BY_TWO = "A bench test puts HT on, so it is made by two; say who the second person was."


@dataclass(frozen=True)
class BenchFigure:
    """A figure read on the bench, in SI units; None where it was not measured."""

    place: str
    quantity: str
    value: float | None


@dataclass(frozen=True)
class BenchConditions:
    """What the bench supplies gave, and how long the chassis had been warm."""

    ht_v: float | None = None
    ht_ma: float | None = None
    bias_v: float | None = None
    heater_v: float | None = None
    heater_a: float | None = None
    temperature_c: float | None = None
    warm_up_min: float | None = None


def test_on_bench(
    *,
    chassis: Chassis,
    readings: Iterable[BenchFigure],
    done_by: Person,
    second_person: Person | None,
    entered_by: Person,
    at: datetime | None = None,
    instrument: Instrument | None = None,
    remarks: str = "",
    replaces: BenchTest | None = None,
    replaces_why: str = "",
    **conditions: float | None,
) -> BenchTest:
    """Record a bench test and work its result out from the figures; each keeps the limit that was in force.

    `conditions` are the fields of BenchConditions. A figure of the design that was not measured is stored as
    such, and then the test cannot pass.
    """
    told = BenchConditions(**conditions)
    with transaction.atomic():
        chassis = held(chassis)
        heading = head_record(
            chassis,
            done_by=done_by,
            second_person=second_person,
            entered_by=entered_by,
            at=at,
            replaces=replaces,
            replaces_why=replaces_why,
            second_needed=TESTED_BY_TWO,
        )
        refused = why_no_bench_test(chassis, at=heading.at)
        if refused:
            raise ValidationError(refused)
        rows = _judged(chassis, list(readings), instrument)
        test: BenchTest = BenchTest.objects.create(
            chassis=chassis,
            issue_letter=issue_letter(chassis),
            instrument=instrument,
            result=result_of(rows),
            remarks=remarks.strip(),
            place=Place.BENCH,
            **vars(told),
            **heading.fields(),
        )
        for row in rows:
            row.test = test
        BenchReading.objects.bulk_create(rows)
        write_chassis_line(test, heading, "bench test", _sentence(test, rows))
    return test


test_on_bench.__test__ = False  # type: ignore[attr-defined]  # its name is that of the act, not of a test


def why_no_bench_test(chassis: Chassis, *, at: datetime | None = None) -> str:
    """Say why a chassis may not go on the bench: not built, not checked cold, or changed since; else nothing."""
    steps = steps_of(chassis)
    unbuilt = why_unbuilt(chassis, steps, "cannot be tested on the bench")
    if unbuilt:
        return unbuilt
    cold = ColdCheck.objects.of(chassis).in_force().filter(done_at__lte=at or timezone.now()).last()
    if cold is None:
        return f"Chassis {chassis.serial} has not been checked cold, so no power may go on it. Check it cold first."
    day = timezone.localtime(cold.done_at).strftime("%d %b %Y")
    again = "Check it cold again first."
    if cold.result != Result.PASSED:
        return f"The cold check of chassis {chassis.serial} on {day} did not pass ({cold.result}). {again}"
    if _reworked_since(steps, cold):
        return f"Chassis {chassis.serial} was sent back for rework after its cold check on {day}. {again}"
    if not chassis.design.bench_points.exists():
        return f"Drawing {chassis.design.number} names no bench figures yet, so there is nothing to test against."
    return ""


def _reworked_since(steps: list[Step], cold: ColdCheck) -> bool:
    return any(step.kind == StepKind.SENT_BACK and step.done_at > cold.done_at for step in steps)


def _judged(chassis: Chassis, figures: list[BenchFigure], instrument: Instrument | None) -> list[BenchReading]:
    """Put each figure beside its limit; whatever the design names and nobody measured is there without a value."""
    points = list(chassis.design.bench_points.all())
    read = {(figure.place, figure.quantity): figure.value for figure in figures}
    known = {(point.place, point.quantity) for point in points}
    strange = sorted(f"{quantity} at {place}" for place, quantity in set(read) - known)
    if strange:
        raise ValidationError(f"Drawing {chassis.design.number} names no {', '.join(strange)}.")
    if all(value is None for value in read.values()):
        raise ValidationError("No figure was given, so there is no test to record. Give those that were measured.")
    setting = Setting.of(instrument, 1.0, is_multiplied=True)
    return [
        _reading(
            point,
            read.get((point.place, point.quantity)),
            setting,
            [one for one in points if one.place == point.place],
        )
        for point in points
    ]


def _reading(point: BenchPoint, value: float | None, setting: Setting, beside: list[BenchPoint]) -> BenchReading:
    row = BenchReading(
        place=point.place,
        quantity=point.quantity,
        least=point.least,
        nominal=point.nominal,
        most=point.most,
        value=value,
        load_resistance_ohm=point.load_resistance_ohm,
        load_capacitance_f=point.load_capacitance_f,
        verdict=Verdict.CANNOT_TELL,
    )
    if value is not None:
        row.uncertainty = readings_by_hand({point.quantity: value}, setting, beside)[0].uncertainty
        row.verdict = judge(value, row.uncertainty or 0.0, Limit(least=point.least, most=point.most))
    return row


def result_of(rows: Iterable[BenchReading]) -> Result:
    """Work the result out: the worst of all figures that have a limit; a nominal alone judges nothing."""
    return RESULTS[overall(Verdict(row.verdict) for row in rows if judges(row))]


def _sentence(test: BenchTest, rows: list[BenchReading]) -> str:
    judged = [row for row in rows if judges(row)]
    within = sum(row.verdict == Verdict.WITHIN for row in judged)
    return (
        f"{test.done_by} tested chassis {test.chassis.serial} on the bench with {test.second_person}: "
        f"{within} of {len(judged)} figures within their limits. Result: {test.result}."
    )
