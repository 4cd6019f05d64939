"""Rows of the Kestrel Sands tide computer, made with no more than a test names."""

from datetime import date, datetime, timedelta
from itertools import count
from typing import Any

from django.utils import timezone

from restoration.machine.models import (
    BenchPoint,
    Chassis,
    Design,
    DesignIssue,
    Fitting,
    Interconnect,
    Rack,
    Signal,
    SignalLimit,
    Slot,
    Terminal,
)
from restoration.people.models import Person, RoleHolding
from restoration.people.roles import Role
from restoration.proving.models import Joining

_numbers = count(1)


def make_rack(code: str = "C", **fields: Any) -> Rack:
    """Find or make the rack of this code."""
    return Rack.objects.get_or_create(code=code, defaults=fields)[0]


def make_design(number: str = "KS-207", *, issue: str | None = "D", title: str = "Summing register", **fields: Any):
    """Find or make a design; with a current issue unless `issue` is None."""
    design: Design = Design.objects.get_or_create(number=number, defaults={"title": title, **fields})[0]
    if issue is not None and not design.issues.filter(letter=issue).exists():
        design.issues.update(is_current=False)
        DesignIssue.objects.create(design=design, letter=issue, issued_on=date(2024, 3, 1), is_current=True)
    return design


def make_bench_point(
    design: Design, place: str = "output", quantity: str = "amplitude", *, least=15.0, nominal=None, most=20.0, **fields
) -> BenchPoint:
    """Make one figure a chassis of this design should show on the bench (SI units)."""
    return BenchPoint.objects.create(
        design=design, place=place, quantity=quantity, least=least, nominal=nominal, most=most, **fields
    )


def make_slot(code: str = "C-04", *, rack: Rack | str | None = "", design: Design | None = None, **fields: Any) -> Slot:
    """Find or make a slot; the rack follows from the code (`C-04` in rack C) unless one, or None, is given."""
    if isinstance(rack, str):
        rack = make_rack(rack or code.partition("-")[0])
    return Slot.objects.get_or_create(code=code, defaults={"rack": rack, "design": design, **fields})[0]


def make_terminal(painted: str = "C-04:2") -> Terminal:
    """Find or make a terminal named `slot:terminal`, and its slot."""
    slot, _, code = painted.rpartition(":")
    return Terminal.objects.get_or_create(slot=make_slot(slot), code=code)[0]


def make_signal(name: str = "digit pulse", **limits: tuple[float | None, float | None, float | None]) -> Signal:
    """Find or make a signal; `amplitude=(15, None, 20)` gives it a limit of least, nominal, most (SI units)."""
    signal: Signal = Signal.objects.get_or_create(name=name)[0]
    for quantity, (least, nominal, most) in limits.items():
        SignalLimit.objects.create(signal=signal, quantity=quantity, least=least, nominal=nominal, most=most)
    return signal


def make_link(
    source: str = "B-05:7", load: str = "C-04:2", *, code: str = "", signal: Signal | str | None = None, **fields: Any
) -> Interconnect:
    """Make an interconnect between two terminals named `slot:terminal`; the code follows from them."""
    return Interconnect.objects.create(
        code=code or f"{source}>{load}",
        source=make_terminal(source),
        load=make_terminal(load),
        signal=make_signal(signal) if isinstance(signal, str) else signal,
        **fields,
    )


def make_chassis(
    serial: str = "SR-14", *, design: Design | None = None, builder: Person | None = None, **fields: Any
) -> Chassis:
    """Make a chassis, built to the current issue of its design unless another is given."""
    design = design or make_design()
    fields.setdefault("issue", design.issues.filter(is_current=True).first())
    return Chassis.objects.create(serial=serial, design=design, builder=builder, **fields)


def make_fitting(
    chassis: Chassis, slot: Slot, *, fitted_by: Person | None = None, at: datetime | None = None, **fields: Any
) -> Fitting:
    """Put a chassis into a slot, as if it had been fitted with both labels read."""
    fitter = fitted_by or _someone()
    return Fitting.objects.create(
        chassis=chassis,
        slot=slot,
        slot_label_read=slot.code,
        chassis_label_read=chassis.serial,
        fitted_by=fitter,
        entered_by=fields.pop("entered_by", fitter),
        fitted_at=at or timezone.now(),
        **fields,
    )


def make_fitted_ends(link: Interconnect) -> Interconnect:
    """Fit a chassis, three years ago, in each slot of a link that is empty."""
    for slot in {link.source.slot, link.load.slot}:
        if not slot.fittings.filter(removed_at=None).exists():
            chassis = make_chassis(f"KS-{next(_numbers)}")
            make_fitting(chassis, slot, at=timezone.now() - timedelta(days=1100))
    return link


def make_ready_link(*ends: str, **facts: Any) -> Interconnect:
    """Make an interconnect on which a signal can be proved: joined for three years, a chassis at either end."""
    link = make_fitted_ends(make_link(*ends, **facts))
    doer = _someone()
    at = timezone.now() - timedelta(days=1099)
    Joining.objects.create(interconnect=link, done_by=doer, second_person=_someone(), entered_by=doer, done_at=at)
    return link


def _someone() -> Person:
    number = next(_numbers)
    person: Person = Person.objects.create(
        display_name=f"Volunteer {number}", email=f"volunteer.{number}@kestrelsands.example"
    )
    RoleHolding.objects.create(person=person, role=Role.TESTER)
    return person
