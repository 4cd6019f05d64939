"""A chassis goes into its slot, or comes out, and the gates have a say."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from restoration.commissioning.facts import chassis_histories
from restoration.common.moments import moment_of
from restoration.engineering.standing import Standing, standing_of
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Chassis, Fitting, Slot
from restoration.people.models import Person

WANTED_BEFORE_FITTING = ("received", "cold-checked", "bench-tested")


def fit_chassis(
    *,
    chassis: Chassis,
    slot: Slot,
    slot_label_read: str,
    chassis_label_read: str,
    fitted_by: Person,
    second_person: Person,
    entered_by: Person,
    at: datetime | None = None,
    remarks: str = "",
) -> Fitting:
    """Fit a chassis: both labels are read, the slot wants this design, and the gates before it stand."""
    at = moment_of(at)
    with transaction.atomic():
        slot = Slot.objects.select_for_update(of=("self",), no_key=True).select_related("design").get(pk=slot.pk)
        units = Chassis.objects.select_for_update(of=("self",), no_key=True).select_related("design")
        chassis = units.get(pk=chassis.pk)
        problems = [
            *_label_problems(chassis, slot, slot_label_read, chassis_label_read),
            *_place_problems(chassis, slot, at),
        ]
        problems += _gate_problems(chassis, at)
        if problems:
            raise ValidationError(problems)
        fitting = Fitting(
            chassis=chassis,
            slot=slot,
            slot_label_read=slot_label_read,
            chassis_label_read=chassis_label_read,
            fitted_by=fitted_by,
            second_person=second_person,
            entered_by=entered_by,
            fitted_at=at,
            remarks=remarks,
        )
        fitting.full_clean()
        fitting.save()
        write_line(
            act="fit chassis",
            sentence=f"{fitted_by} fitted chassis {chassis.serial} in slot {slot.code}, seen by {second_person}.",
            by=entered_by,
            told_by=fitted_by,
            happened_at=at,
            subject_kind="chassis",
            subject_code=chassis.serial,
            details={"slot": slot.code, "slot_label": slot_label_read, "chassis_label": chassis_label_read},
        )
        tell_facts_changed(chassis=[chassis.pk])
    return fitting


def _label_problems(chassis: Chassis, slot: Slot, slot_read: str, chassis_read: str) -> list[str]:
    problems = []
    if slot_read.strip() != slot.code:
        problems.append(
            f"The label on the slot reads “{slot_read}”, but this is slot {slot.code}. Go to the right slot."
        )
    if chassis_read.strip() != chassis.serial:
        problems.append(f"The label on the chassis reads “{chassis_read}”, but chassis {chassis.serial} was meant.")
    return problems


def _place_problems(chassis: Chassis, slot: Slot, at: datetime) -> list[str]:
    problems = []
    if slot.design_id is None:
        problems.append(f"No design is drawn for slot {slot.code} yet, so nothing can be fitted in it.")
    elif slot.design_id != chassis.design_id:
        problems.append(
            f"Slot {slot.code} wants design {slot.design}; chassis {chassis.serial} is of design {chassis.design}."
        )
    for fitting in slot.fittings.filter(still_there(at)).exclude(chassis=chassis).select_related("chassis"):
        problems.append(f"Chassis {fitting.chassis.serial} {_was_in(fitting, slot.code)}")
    for fitting in chassis.fittings.filter(still_there(at)).select_related("slot"):
        problems.append(f"Chassis {chassis.serial} {_was_in(fitting, fitting.slot.code)}")
    return problems


def still_there(at: datetime) -> Q:
    """Fittings that stand, or ended only after this moment."""
    return Q(removed_at=None) | Q(removed_at__gt=at)


def _was_in(fitting: Fitting, slot: str) -> str:
    if fitting.removed_at is None:
        return f"is in slot {slot} already; withdraw it first."
    until = f"{timezone.localtime(fitting.removed_at):%d %b %Y, %H:%M}"
    return f"was in slot {slot} until {until}, so the time given for this fitting cannot be right."


def gates_before_fitting(chassis: Chassis, at: datetime) -> list[Standing]:
    """How the gates stood at that moment that come before a fitting, from the records themselves."""
    history = chassis_histories([chassis.pk])[chassis.pk]
    evidence = [record for record in history.evidence if record.at <= at]
    changes = [change for change in history.changes if change.at <= at]
    return [standing_of(gate, evidence, changes) for gate in WANTED_BEFORE_FITTING]


def _gate_problems(chassis: Chassis, at: datetime) -> list[str]:
    return [
        f"Chassis {chassis.serial} is not ready to be fitted: the gate “{standing.gate}” is {standing.state.value}."
        + "".join(f" {reason}" for reason in standing.reasons[:1])
        for standing in gates_before_fitting(chassis, at)
        if not standing.is_good
    ]


def withdraw_chassis(
    *,
    slot: Slot,
    why: str,
    removed_by: Person,
    entered_by: Person,
    at: datetime | None = None,
    seen: int | None = None,
) -> Fitting:
    """Take a chassis out of its slot, and say why; what was proved through it is then in doubt.

    `seen` is the fitting that the writer saw there: another, put in meanwhile, is not taken out in its place.
    """
    at = moment_of(at)
    with transaction.atomic():
        fitting = (
            slot.fittings.standing().select_for_update(of=("self",), no_key=True).select_related("chassis").first()
        )
        if fitting is None:
            raise ValidationError(f"There is no chassis in slot {slot.code} to withdraw.")
        if seen is not None and fitting.pk != seen:
            raise ValidationError(
                f"Another chassis stood in slot {slot.code} when this page was opened; {fitting.chassis} is there now. "
                "Look again, and send the form again only if that one is out."
            )
        if not why.strip():
            raise ValidationError("A withdrawal needs a reason, in a few words.")
        if at < fitting.fitted_at:
            since = f"{timezone.localtime(fitting.fitted_at):%d %b %Y, %H:%M}"
            raise ValidationError(
                f"Chassis {fitting.chassis.serial} was fitted on {since}; it cannot have been withdrawn before that."
            )
        fitting.removed_at, fitting.removed_by, fitting.removed_why = at, removed_by, why.strip()
        fitting.save(update_fields=["removed_at", "removed_by", "removed_why"])
        write_line(
            act="withdraw chassis",
            sentence=f"{removed_by} withdrew chassis {fitting.chassis.serial} from slot {slot.code}: {why.strip()}",
            by=entered_by,
            told_by=removed_by,
            happened_at=at,
            subject_kind="chassis",
            subject_code=fitting.chassis.serial,
            details={"slot": slot.code},
        )
        tell_facts_changed(chassis=[fitting.chassis_id])
    return fitting
