"""Writing down designs, their drawing issues, and what they should show on the bench."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date

from django.db import transaction
from django.utils import timezone

from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import BenchPoint, Chassis, Design, DesignIssue
from restoration.machine.services.saving import checked, refuse, stored, who
from restoration.people.models import Person


@transaction.atomic
def add_design(*, number: str, title: str, by: Person | None, remarks: str = "") -> Design:
    """Put one kind of chassis on the list, by its drawing number."""
    taken = {"number": f"There is a design {number} already; a drawing number is used once."}
    design = stored(Design(number=number, title=title, remarks=remarks), taken=taken)
    _line("design added", f"{who(by)} put drawing {number}, {title}, on the list.", design, by)
    return design


@transaction.atomic
def edit_design(*, design: Design, title: str, remarks: str, by: Person | None) -> Design:
    """Say anew what a design is called, and what to know of it."""
    design.title, design.remarks = title, remarks
    checked(design).save(update_fields=["title", "remarks"])
    _line("design edited", f"{who(by)} wrote anew what drawing {design.number} is: {title}.", design, by)
    return design


@transaction.atomic
def add_issue(*, design: Design, letter: str, issued_on: date, by: Person | None, reason: str = "") -> DesignIssue:
    """Issue a drawing anew; from then on it is the one to build to."""
    if issued_on > timezone.localdate():
        raise refuse(f"{issued_on:%d %b %Y} has not come yet; give the day the issue was drawn.", field="issued_on")
    if design.issues.filter(letter=letter).exists():
        raise refuse(f"Drawing {design.number} has an issue {letter} already.", field="letter")
    design.issues.filter(is_current=True).update(is_current=False)
    issue = stored(DesignIssue(design=design, letter=letter, issued_on=issued_on, reason=reason, is_current=True))
    why = f", because: {reason}" if reason else ""
    _line("issue added", f"{who(by)} issued drawing {design.number} anew, issue {letter}{why}.", design, by)
    tell_facts_changed(chassis=Chassis.objects.filter(design=design).values_list("pk", flat=True))
    return issue


@dataclass(frozen=True)
class BenchFigureLimit:
    """What one place of a chassis should show on the bench, in SI units, and the load it is read with."""

    place: str
    quantity: str
    least: float | None = None
    nominal: float | None = None
    most: float | None = None
    load_resistance_ohm: float | None = None
    load_capacitance_f: float | None = None


@transaction.atomic
def set_bench_points(*, design: Design, points: Sequence[BenchFigureLimit], by: Person | None) -> list[BenchPoint]:
    """Write down, in place of what stood there, all that a chassis of this design should show on the bench."""
    design.bench_points.all().delete()
    rows = [BenchPoint(design=design, **asdict(point)) for point in points]
    for row in rows:
        stored(row)
    sentence = f"{who(by)} set {len(rows)} bench figures for drawing {design.number}."
    _line("bench figures set", sentence, design, by)
    tell_facts_changed(chassis=Chassis.objects.filter(design=design).values_list("pk", flat=True))
    return rows


def _line(act: str, sentence: str, design: Design, by: Person | None) -> None:
    write_line(act=act, sentence=sentence, by=by, subject_kind="design", subject_code=design.number)
