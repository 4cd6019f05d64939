"""A chassis received on site, and checked cold."""

import math
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.machine.models import Chassis
from restoration.machine.records import Place, Result
from restoration.people.models import Person
from restoration.proving.models import ColdCheck, ReceivingCheck
from restoration.proving.services.chassis_records import (
    held,
    issue_letter,
    steps_of,
    why_unbuilt,
    write_chassis_line,
)
from restoration.proving.services.headings import Heading, head_record
from restoration.proving.wording import ohms
from restoration.workshop.models import StepKind
from restoration.workshop.order import stage_of, why_not
from restoration.workshop.services import take_step

LOOKED_OVER_BY_TWO = "A cold check is seen by a second person; say who."
SHORT_BELOW_OHM = 100.0  # common practice, no source: less is a short, whatever the drawing shows


@transaction.atomic
def receive_chassis(
    *,
    chassis: Chassis,
    label_read: str,
    papers_complete: bool,
    done_by: Person,
    entered_by: Person,
    damage: str = "",
    result: str | None = None,
    second_person: Person | None = None,
    at: datetime | None = None,
    remarks: str = "",
    replaces: ReceivingCheck | None = None,
    replaces_why: str = "",
) -> ReceivingCheck:
    """Take a chassis in on site: its label read, what came with it, and any damage on the way.

    Without a result given, it passes if its papers are complete and nothing was damaged.
    """
    chassis = held(chassis)
    heading = head_record(
        chassis,
        done_by=done_by,
        second_person=second_person,
        entered_by=entered_by,
        at=at,
        replaces=replaces,
        replaces_why=replaces_why,
    )
    _refuse_label(chassis, label_read)
    if replaces is None:
        _refuse(why_not_received(chassis))
    record = ReceivingCheck.objects.create(
        chassis=chassis,
        issue_letter=issue_letter(chassis),
        label_read=label_read.strip(),
        papers_complete=papers_complete,
        damage=damage.strip(),
        result=_received_result(papers_complete, damage.strip(), result),
        remarks=remarks.strip(),
        place=Place.BENCH,
        **heading.fields(),
    )
    _move_on_site(record)
    write_chassis_line(record, heading, "chassis received", _received_sentence(record))
    return record


def _refuse_label(chassis: Chassis, label_read: str) -> None:
    if label_read.strip() != chassis.serial:
        raise ValidationError(
            {
                "label_read": f"The label reads {label_read.strip() or 'nothing'}, and this is the page of chassis "
                f"{chassis.serial}. Nothing was received; look at the label again, or open the page of the other."
            }
        )


def why_not_received(chassis: Chassis) -> str:
    """Say why a chassis cannot be received now; nothing where it can."""
    return why_not(chassis.serial, steps_of(chassis), StepKind.RECEIVED)


def why_no_cold_check(chassis: Chassis) -> str:
    """Say why a chassis cannot be checked cold now; nothing where it can."""
    return why_unbuilt(chassis, steps_of(chassis), "cannot be checked cold")


def _refuse(sentence: str) -> None:
    if sentence:
        raise ValidationError(sentence)


def _received_result(papers_complete: bool, damage: str, given: str | None) -> Result:
    if given is None:
        return Result.PASSED if papers_complete and not damage else Result.FAILED
    if Result(given) == Result.PASSED and not papers_complete:
        raise ValidationError(
            {"papers_complete": "Papers are missing, so it cannot pass; record what is missing, and receive it again."}
        )
    return Result(given)


def _move_on_site(record: ReceivingCheck) -> None:
    """A chassis that passed stands on site from then on; one that did not still waits at the door."""
    chassis, steps = record.chassis, steps_of(record.chassis)
    if record.result == Result.PASSED and stage_of(steps) != StepKind.RECEIVED:
        take_step(
            chassis=chassis,
            kind=StepKind.RECEIVED,
            done_by=record.done_by,
            entered_by=record.entered_by,
            at=record.done_at,
        )


def _received_sentence(record: ReceivingCheck) -> str:
    papers = "papers complete" if record.papers_complete else "papers missing"
    damage = f"damage: {record.damage.rstrip('.')}" if record.damage else "no damage seen"
    return (
        f"{record.done_by} looked chassis {record.chassis.serial} over as it came in, label read: {papers}, {damage}. "
        f"Result: {record.result}."
    )


@transaction.atomic
def check_cold(
    *,
    chassis: Chassis,
    agrees_with_drawing: bool,
    joints_good: bool,
    ht_to_chassis_ohm: float | None,
    heater_to_chassis_ohm: float | None,
    done_by: Person,
    second_person: Person | None,
    entered_by: Person,
    fault_seen: str = "",
    hazards: str = "",
    place: str = Place.BENCH,
    at: datetime | None = None,
    remarks: str = "",
    replaces: ColdCheck | None = None,
    replaces_why: str = "",
) -> ColdCheck:
    """Look a built chassis over with no power on it; any no, any short and any fault seen fails it."""
    chassis = held(chassis)
    heading = head_record(
        chassis,
        done_by=done_by,
        second_person=second_person,
        entered_by=entered_by,
        at=at,
        replaces=replaces,
        replaces_why=replaces_why,
        second_needed=LOOKED_OVER_BY_TWO,
    )
    _refuse_ohms(ht_to_chassis_ohm=ht_to_chassis_ohm, heater_to_chassis_ohm=heater_to_chassis_ohm)
    _refuse(why_no_cold_check(chassis))
    fault_seen = fault_seen.strip()
    record = ColdCheck.objects.create(
        chassis=chassis,
        issue_letter=issue_letter(chassis),
        agrees_with_drawing=agrees_with_drawing,
        joints_good=joints_good,
        ht_to_chassis_ohm=ht_to_chassis_ohm,
        heater_to_chassis_ohm=heater_to_chassis_ohm,
        hazards=hazards.strip(),
        result=cold_result(agrees_with_drawing, joints_good, ht_to_chassis_ohm, heater_to_chassis_ohm, fault_seen),
        remarks="\n".join(part for part in (fault_seen and f"Fault seen: {fault_seen}", remarks.strip()) if part),
        place=place,
        **heading.fields(),
    )
    _write_cold(record, heading, fault_seen)
    return record


def cold_result(
    agrees_with_drawing: bool,
    joints_good: bool,
    ht_to_chassis_ohm: float | None,
    heater_to_chassis_ohm: float | None,
    fault_seen: str = "",
) -> Result:
    """Work a cold check out: a no, a fault or a short fails; a resistance not measured leaves it untold.

    >>> cold_result(True, True, 2.2e6, 1e7), cold_result(True, False, 2.2e6, 1e7), cold_result(True, True, None, 1e7)
    (Result.PASSED, Result.FAILED, Result.CANNOT_TELL)
    """
    measured = (ht_to_chassis_ohm, heater_to_chassis_ohm)
    shorted = any(ohm is not None and ohm < SHORT_BELOW_OHM for ohm in measured)
    if not agrees_with_drawing or not joints_good or fault_seen or shorted:
        return Result.FAILED
    return Result.CANNOT_TELL if None in measured else Result.PASSED


def _refuse_ohms(**given: float | None) -> None:
    for name, ohm in given.items():
        if ohm is not None and (math.isnan(ohm) or ohm < 0):
            raise ValidationError({name: f"A resistance of {ohm} Ω cannot be; give zero ohms or more."})


def _write_cold(record: ColdCheck, heading: Heading, fault_seen: str) -> None:
    said = [
        "agrees with the drawing" if record.agrees_with_drawing else "does not agree with the drawing",
        "joints good" if record.joints_good else "joints not good",
        f"HT to chassis {ohms(record.ht_to_chassis_ohm)}",
        f"heaters to chassis {ohms(record.heater_to_chassis_ohm)}",
        *([f"fault seen: {fault_seen.rstrip('.')}"] if fault_seen else []),
        *([f"hazards: {record.hazards.rstrip('.')}"] if record.hazards else []),
    ]
    sentence = (
        f"{record.done_by} checked chassis {record.chassis.serial} cold, seen by {record.second_person}: "
        f"{', '.join(said)}. Result: {record.result}."
    )
    write_chassis_line(record, heading, "cold check", sentence)
