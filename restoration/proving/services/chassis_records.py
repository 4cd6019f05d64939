"""What every record of a chassis shares: the chassis held, how far it is built, its issue, its line."""

from typing import Any

from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Chassis
from restoration.proving.services.headings import Heading, write_record_line
from restoration.workshop.models import Step, StepKind
from restoration.workshop.order import STANDS, stage_of


def held(chassis: Chassis) -> Chassis:
    """Read a chassis and hold it until the act is stored, so that two acts on it come one after the other."""
    return (
        Chassis.objects.select_for_update(of=("self",), no_key=True)
        .select_related("design", "issue", "builder")
        .get(pk=chassis.pk)
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


def write_chassis_line(record: Any, heading: Heading, act: str, sentence: str) -> None:
    """Write the line of a record of a chassis and tell of new facts; must stand in its transaction."""
    write_record_line(record, record.chassis, heading, act=act, sentence=sentence, result=str(record.result))
    tell_facts_changed(chassis=[record.chassis_id])
