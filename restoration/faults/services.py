"""A fault from the first symptom to its cure, and back again when it returns."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from restoration.common.moments import moment_of
from restoration.common.versions import save_version
from restoration.faults.models import Attempt, Fault, Outcome, Reopening
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Interconnect
from restoration.machine.records import Result
from restoration.people.models import Person
from restoration.proving.models import SignalCheck


def open_fault(
    *,
    interconnect: Interconnect,
    symptom: str,
    how_often: str = "",
    conditions: str = "",
    seen_by: Person,
    entered_by: Person,
    at: datetime | None = None,
    from_check: SignalCheck | None = None,
) -> Fault:
    """Log a fault as it was seen; the signal check of the link is then in doubt."""
    at = moment_of(at)
    if not symptom.strip():
        raise ValidationError({"symptom": "Say what was seen, in a few words."})
    if from_check and from_check.interconnect_id != interconnect.pk:
        raise ValidationError(f"Signal check {from_check.pk} was made on another link than {interconnect.code}.")
    with transaction.atomic():
        fault = Fault.objects.create(
            interconnect=interconnect,
            symptom=symptom.strip(),
            how_often=how_often.strip(),
            conditions=conditions.strip(),
            seen_by=seen_by,
            entered_by=entered_by,
            opened_at=at,
            from_check=from_check,
        )
        _write(
            fault,
            "log fault",
            f"{seen_by} logged {fault} on link {interconnect.code}: {symptom.strip()}",
            entered_by,
            seen_by,
            at,
        )
    return fault


def edit_fault(*, fault: Fault, version: int, symptom: str, how_often: str, conditions: str, by: Person) -> Fault:
    """Put what was seen in better words; refused where another did so since the form was opened."""
    if not symptom.strip():
        raise ValidationError({"symptom": "Say what was seen, in a few words."})
    with transaction.atomic():
        save_version(
            fault,
            version=version,
            symptom=symptom.strip(),
            how_often=how_often.strip(),
            conditions=conditions.strip(),
        )
        _write(fault, "reword fault", f"{by} put {fault} in other words: {fault.symptom}", by, by, timezone.now())
    return fault


def log_attempt(
    *,
    fault: Fault,
    tried: str,
    read: str = "",
    minutes: int = 0,
    done_by: Person,
    entered_by: Person,
    at: datetime | None = None,
) -> Attempt:
    """Write down what was tried, what was read, and the time it took."""
    at = moment_of(at)
    if not tried.strip():
        raise ValidationError({"tried": "Say what was tried."})
    with transaction.atomic():
        fault = _locked(fault)
        attempt = Attempt.objects.create(
            fault=fault,
            tried=tried.strip(),
            read=read.strip(),
            minutes=minutes,
            done_by=done_by,
            entered_by=entered_by,
            done_at=at,
        )
        found = f" Read: {attempt.read}" if attempt.read else ""
        _write(fault, "try at fault", f"{done_by} tried at {fault}: {attempt.tried}{found}", entered_by, done_by, at)
    return attempt


def close_fault(
    *,
    fault: Fault,
    version: int | None = None,
    outcome: str,
    cause: str = "",
    cure: str = "",
    by: Person,
    proof: SignalCheck | None = None,
    at: datetime | None = None,
) -> Fault:
    """Close a fault: cured, with cause, cure and a passed check as proof; or no fault found."""
    at = moment_of(at)
    with transaction.atomic():
        fault = _locked(fault)
        _refuse_closing(fault, outcome, cause.strip(), cure.strip(), proof, at)
        save_version(
            fault,
            version=fault.version if version is None else version,
            outcome=outcome,
            cause=cause.strip(),
            cure=cure.strip(),
            closed_by=by,
            closed_at=at,
            proof=proof,
        )
        _write(fault, "close fault", _closing_sentence(fault, by), by, by, at)
    return fault


def _refuse_closing(fault: Fault, outcome: str, cause: str, cure: str, proof: SignalCheck | None, at: datetime) -> None:
    if fault.closed_at is not None:
        raise ValidationError(f"Fault {fault.pk} is closed already; it can be opened again if it came back.")
    seen_again = fault.reopenings.order_by("-seen_at").values_list("seen_at", flat=True).first()
    if seen_again and at < seen_again:
        raise ValidationError(f"Fault {fault.pk} came back on {_when(seen_again)}; it cannot be closed before that.")
    seen_again = fault.reopenings.order_by("-seen_at").values_list("seen_at", flat=True).first()
    if seen_again and at < seen_again:
        raise ValidationError(f"Fault {fault.pk} came back on {_when(seen_again)}; it cannot be closed before that.")
    if at < fault.opened_at:
        raise ValidationError(
            f"Fault {fault.pk} was seen on {_when(fault.opened_at)}; it cannot be closed before that."
        )
    if outcome == Outcome.CURED:
        _refuse_unproved(fault, cause, cure, proof)


def _refuse_unproved(fault: Fault, cause: str, cure: str, proof: SignalCheck | None) -> None:
    missing = {
        name: f"A cured fault says what the {name} was."
        for name, said in (("cause", cause), ("cure", cure))
        if not said
    }
    if proof is None:
        missing["proof"] = (
            "A cure is proved by a signal check of this link that passed after the fault was seen. "
            "Record one, or close the fault as “no fault found”."
        )
    elif proof not in proofs_for(fault):
        missing["proof"] = (
            f"Signal check {proof.pk} is no proof: it must be of this link, passed, and after the fault was seen."
        )
    if missing:
        raise ValidationError(missing)


def proofs_for(fault: Fault) -> list[SignalCheck]:
    """The checks of the fault's link that passed since it was last seen, the newest first."""
    last = fault.reopenings.order_by("-seen_at").values_list("seen_at", flat=True).first() or fault.opened_at
    checks = fault.interconnect.signal_checks.filter(result=Result.PASSED, done_at__gte=last, replaced_by=None)
    return list(checks.order_by("-done_at", "-pk"))


def reopen_fault(
    *, fault: Fault, what_was_seen: str, seen_by: Person, entered_by: Person, at: datetime | None = None
) -> Reopening:
    """The same fault came back; what its closing said is kept beside it."""
    at = moment_of(at)
    if not what_was_seen.strip():
        raise ValidationError({"what_was_seen": "Say what was seen this time."})
    with transaction.atomic():
        fault = _locked(fault)
        if fault.closed_at is None or fault.closed_by is None:
            raise ValidationError(f"Fault {fault.pk} is open; add what was seen to it.")
        if at < fault.closed_at:
            raise ValidationError(
                f"Fault {fault.pk} was closed on {_when(fault.closed_at)}; it cannot have come back before."
            )
        reopening = Reopening.objects.create(
            fault=fault,
            seen_at=at,
            seen_by=seen_by,
            entered_by=entered_by,
            what_was_seen=what_was_seen.strip(),
            earlier_outcome=fault.outcome,
            earlier_cause=fault.cause,
            earlier_cure=fault.cure,
            earlier_closed_at=fault.closed_at,
            earlier_closed_by=fault.closed_by,
        )
        nothing = {"outcome": "", "cause": "", "cure": "", "closed_at": None, "closed_by": None, "proof": None}
        save_version(fault, version=fault.version, **nothing)
        _write(
            fault, "reopen fault", f"{seen_by} saw {fault} come back: {what_was_seen.strip()}", entered_by, seen_by, at
        )
    return reopening


def _locked(fault: Fault) -> Fault:
    return Fault.objects.select_for_update(of=("self",), no_key=True).select_related("interconnect").get(pk=fault.pk)


def _when(moment: datetime) -> str:
    return f"{timezone.localtime(moment):%d %b %Y, %H:%M}"


def _closing_sentence(fault: Fault, by: Person) -> str:
    if fault.outcome == Outcome.NOT_FOUND:
        return f"{by} closed {fault}: no fault found."
    return (
        f"{by} closed {fault} as cured. Cause: {fault.cause} Cure: {fault.cure} Proof: signal check {fault.proof_id}."
    )


def _write(fault: Fault, act: str, sentence: str, by: Person, told_by: Person, at: datetime) -> None:
    write_line(
        act=act,
        sentence=sentence,
        by=by,
        told_by=told_by,
        happened_at=at,
        subject_kind="fault",
        subject_code=str(fault.pk),
        details={"link": fault.interconnect.code},
    )
    tell_facts_changed(interconnects=[fault.interconnect_id])
