"""A chassis moved on: allotted, taken in hand, built, handed over, and what is told on the way."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from restoration.common.moments import refuse_future
from restoration.common.versions import save_version
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Chassis
from restoration.people.models import Person
from restoration.people.roles import Permission
from restoration.workshop.models import Step, StepKind
from restoration.workshop.order import why_not

K = StepKind
NEEDS_WORDS = {
    K.NOTE: "A note needs a few words.",
    K.STUCK: "Say in a few words what you are stuck with, so that somebody can help.",
    K.SENT_BACK: "Say in a few words what is to be done again.",
}


def allot(*, chassis: Chassis, builder: Person, by: Person, at: datetime | None = None, text: str = "") -> Step:
    """Give a chassis to a builder, with the current issue of its drawing where none was named."""
    if not builder.is_active:
        raise ValidationError({"builder": f"{builder} does not take part any more, so cannot be given a chassis."})
    if not builder.may(Permission.BUILD_CHASSIS, owner_id=builder.pk):
        raise ValidationError({"builder": f"{builder} is not recorded as a builder. Give them that role first."})
    with transaction.atomic():
        chassis = _locked(chassis)
        step = _step(chassis, K.ALLOTTED, done_by=by, entered_by=by, at=at, text=text)
        issue = chassis.issue or chassis.design.current_issue
        save_version(chassis, version=chassis.version, builder=builder, issue=issue)
        _write(step, f"{by} allotted chassis {chassis.serial} to {builder}, to be built to {built_to(chassis)}.")
    return step


def take_step(
    *,
    chassis: Chassis,
    kind: str,
    done_by: Person,
    entered_by: Person,
    at: datetime | None = None,
    text: str = "",
) -> Step:
    """Move a chassis one step on, or tell something about it; refuses a step out of order, with the reason."""
    if kind == K.ALLOTTED:
        raise ValidationError("A chassis is allotted to somebody: say to whom.")
    with transaction.atomic():
        chassis = _locked(chassis)
        step = _step(chassis, kind, done_by=done_by, entered_by=entered_by, at=at, text=text)
        _write(step, _sentence(step))
    return step


def hand_over(
    *,
    chassis: Chassis,
    done_by: Person,
    entered_by: Person,
    readings: str = "",
    snags: str = "",
    spare_parts: str = "",
    at: datetime | None = None,
) -> Step:
    """Hand a built chassis over to the site, and say what goes with it."""
    told = [("Readings", readings), ("Snags", snags), ("Spare parts", spare_parts)]
    text = "\n".join(f"{name}: {words.strip()}" for name, words in told if words.strip())
    return take_step(chassis=chassis, kind=K.HANDED_OVER, done_by=done_by, entered_by=entered_by, at=at, text=text)


def built_to(chassis: Chassis) -> str:
    """Name the drawing and issue that a chassis is built to."""
    return f"{chassis.design.number} issue {chassis.issue.letter}" if chassis.issue else chassis.design.number


def _locked(chassis: Chassis) -> Chassis:
    """Hold the chassis until the act is stored, so that two people move it one after the other."""
    return (
        Chassis.objects.select_for_update(of=("self",), no_key=True)
        .select_related("design", "issue")
        .get(pk=chassis.pk)
    )


def _step(chassis: Chassis, kind: str, *, done_by: Person, entered_by: Person, at: datetime | None, text: str) -> Step:
    """Store one step after checking that it may follow those before it."""
    text = text.strip()
    if K(kind) in NEEDS_WORDS and not text:
        raise ValidationError({"text": NEEDS_WORDS[K(kind)]})
    steps = list(Step.objects.of(chassis).select_related("done_by"))
    refused = why_not(chassis.serial, steps, kind)
    if refused:
        raise ValidationError(refused)
    _refuse_fitted(chassis, kind)
    moment = _in_order(chassis, kind, steps, at or timezone.now())
    return Step.objects.create(
        chassis=chassis, kind=kind, done_at=moment, done_by=done_by, entered_by=entered_by, text=text
    )


def _refuse_fitted(chassis: Chassis, kind: str) -> None:
    fitting = chassis.fitting_now if kind == K.SENT_BACK else None
    if fitting:
        raise ValidationError(
            f"Chassis {chassis.serial} is in slot {fitting.slot.code}. Withdraw it first, then send it back."
        )


def _in_order(chassis: Chassis, kind: str, steps: list[Step], at: datetime) -> datetime:
    """Settle the moment of a step: not in the future, and not before the step it follows.

    Forms give whole minutes: within the minute of the step before, it is put right after that step.
    """
    refuse_future(at)
    before = [step for step in steps if kind != K.NOTE and step.kind != K.NOTE]
    if not before or at >= before[-1].done_at:
        return at
    last = before[-1]
    if at >= last.done_at.replace(second=0, microsecond=0):
        return last.done_at
    when = timezone.localtime(last.done_at).strftime("%d %b %Y, %H:%M")
    raise ValidationError(
        f"Chassis {chassis.serial} was recorded as {K(last.kind).label} on {when}; "
        f"what follows cannot have happened before that."
    )


def _sentence(step: Step) -> str:
    """Say the step as a volunteer would."""
    who, serial, text = step.done_by, step.chassis.serial, step.text.replace("\n", " ")
    with_text = f": {text}" if text else "."
    return {
        K.IN_HAND: f"{who} took chassis {serial} in hand{with_text}",
        K.NOTE: f"{who} noted on chassis {serial}{with_text}",
        K.STUCK: f"{who} is stuck with chassis {serial}{with_text}",
        K.GOING_ON: f"{who} gets on with chassis {serial} again{with_text}",
        K.BUILT: f"{who} finished building chassis {serial} to {built_to(step.chassis)}{with_text}",
        K.HANDED_OVER: f"{who} handed over chassis {serial}, built to {built_to(step.chassis)}{with_text}",
        K.RECEIVED: f"{who} received chassis {serial} on site{with_text}",
        K.SENT_BACK: f"{who} sent chassis {serial} back for rework{with_text}",
    }[K(step.kind)]


def _write(step: Step, sentence: str) -> None:
    """Write the line of a step and tell of new facts; must stand in the step's transaction."""
    write_line(
        act=f"chassis {step.kind}",
        sentence=sentence,
        by=step.entered_by,
        told_by=step.done_by,
        subject_kind="chassis",
        subject_code=step.chassis.serial,
        happened_at=step.done_at,
        details={"step": step.pk, "text": step.text},
    )
    tell_facts_changed(chassis=[step.chassis_id])
