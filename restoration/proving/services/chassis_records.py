"""What every record of a chassis shares when it is stored: its pair, its moment, what it corrects, its line."""

from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.common.moments import refuse_future
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Chassis
from restoration.people.models import Person
from restoration.proving.services.headings import Heading
from restoration.workshop.models import Step, StepKind
from restoration.workshop.order import STANDS, stage_of


def head_chassis_record(
    *,
    chassis: Chassis,
    done_by: Person,
    second_person: Person | None,
    entered_by: Person,
    at: datetime | None,
    replaces: Any,
    replaces_why: str,
    second_needed: str = "",
) -> Heading:
    """Check the heading of a record of a chassis; `second_needed` is said where a second person is missing."""
    moment = at or timezone.now()
    refuse_future(moment)
    if second_needed and second_person is None:
        raise ValidationError({"second_person": second_needed})
    if second_person is not None and second_person == done_by:
        sentence = f"The second person must be another than the doer, and both are {done_by}."
        raise ValidationError({"second_person": sentence})
    if replaces is not None:
        _refuse_correction(replaces, chassis, replaces_why)
    return Heading(done_by, second_person, entered_by, moment, replaces, replaces_why.strip())


def _refuse_correction(replaces: Any, chassis: Chassis, why: str) -> None:
    if not why.strip():
        raise ValidationError({"replaces_why": "A correction says why the earlier record was wrong."})
    if replaces.chassis_id != chassis.pk:
        raise ValidationError(f"{_capital(replaces)} is of another chassis, and cannot be corrected by one of this.")
    later = type(replaces).objects.filter(replaces=replaces).first()
    if later is not None:
        raise ValidationError(f"{_capital(replaces)} was corrected already, by record {later.pk}; correct that one.")


def _capital(record: Any) -> str:
    text = str(record)
    return text[:1].upper() + text[1:]


def held(chassis: Chassis) -> Chassis:
    """Read a chassis and hold it until the act is stored, so that two acts on it come one after the other."""
    return (
        Chassis.objects.select_for_update(of=("self",)).select_related("design", "issue", "builder").get(pk=chassis.pk)
    )


def steps_of(chassis: Chassis) -> list[Step]:
    """The way of a chassis, oldest first."""
    return list(Step.objects.of(chassis))


def issue_letter(chassis: Chassis) -> str:
    """The drawing issue that a record is compared with: the one it is built to."""
    return chassis.issue.letter if chassis.issue else ""


def why_unbuilt(chassis: Chassis, steps: list[Step], cannot: str) -> str:
    """Say why something cannot be done to a chassis that is still being built; nothing where it is built."""
    stage = stage_of(steps)
    if stage in (StepKind.BUILT, StepKind.HANDED_OVER, StepKind.RECEIVED):
        return ""
    return f"Chassis {chassis.serial} {STANDS[stage]}, so it {cannot}."


def write_record_line(record: Any, heading: Heading, act: str, sentence: str) -> None:
    """Write the line of a record of a chassis and tell of new facts; must stand in its transaction."""
    write_line(
        act=act,
        sentence=sentence + heading.correction(),
        by=heading.entered_by,
        told_by=heading.told_by(),
        subject_kind="chassis",
        subject_code=record.chassis.serial,
        happened_at=heading.at,
        details={"record": record.pk, "result": str(record.result)},
    )
    tell_facts_changed(chassis=[record.chassis_id])
