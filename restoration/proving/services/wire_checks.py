"""An interconnect joined, lifted and rung out."""

import math
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Interconnect
from restoration.machine.records import Result
from restoration.people.models import Person
from restoration.proving.models import Joining, RingOut
from restoration.proving.models.wire_checks import JoiningKind
from restoration.proving.services.headings import Heading, head_record, write_record_line
from restoration.proving.wording import ohms

THROUGH_UP_TO_OHM = 5.0  # common practice, no source: metres of wire, two joints and the leads of the meter
SHORT_BELOW_OHM = 100.0  # common practice, no source: below any resistor that a drawing puts to the chassis
JOINT_SEEN = "Both joints are viewed by a second person; say who."


@transaction.atomic
def join_wire(
    *,
    interconnect: Interconnect,
    done_by: Person,
    second_person: Person | None,
    entered_by: Person,
    at: datetime | None = None,
    kind: str = JoiningKind.JOINED,
    remarks: str = "",
    replaces: Joining | None = None,
    replaces_why: str = "",
) -> Joining:
    """Record that both ends of a wire were joined, or made again, and that both joints were viewed."""
    heading = head_record(
        interconnect,
        done_by=done_by,
        second_person=second_person,
        entered_by=entered_by,
        at=at,
        replaces=replaces,
        replaces_why=replaces_why,
        second_needed=JOINT_SEEN,
    )
    _refuse_joining(interconnect, JoiningKind(kind), heading)
    return _store_joining(interconnect, JoiningKind(kind), heading, remarks)


@transaction.atomic
def lift_wire(
    *,
    interconnect: Interconnect,
    done_by: Person,
    entered_by: Person,
    remarks: str,
    second_person: Person | None = None,
    at: datetime | None = None,
    replaces: Joining | None = None,
    replaces_why: str = "",
) -> Joining:
    """Record that an end of a wire was opened on purpose, and why."""
    heading = head_record(
        interconnect,
        done_by=done_by,
        second_person=second_person,
        entered_by=entered_by,
        at=at,
        replaces=replaces,
        replaces_why=replaces_why,
    )
    if not remarks.strip():
        raise ValidationError(
            {"remarks": "A lifted wire carries a reason, so that the next person knows it was meant."}
        )
    last = before(interconnect, heading)
    if not _takes_back(heading) and (last is None or last.kind == JoiningKind.LIFTED):
        state = "was never joined" if last is None else f"is lifted already, since {last.done_at:%d %b %Y}"
        raise ValidationError(f"{_called(interconnect)} {state}, so there is nothing to lift.")
    return _store_joining(interconnect, JoiningKind.LIFTED, heading, remarks)


@transaction.atomic
def ring_out(
    *,
    interconnect: Interconnect,
    resistance_ohm: float | None,
    to_chassis_ohm: float | None,
    both_labels_read: bool,
    done_by: Person,
    entered_by: Person,
    second_person: Person | None = None,
    at: datetime | None = None,
    test_v: float | None = None,
    remarks: str = "",
    replaces: RingOut | None = None,
    replaces_why: str = "",
) -> RingOut:
    """Record a wire proved end to end with no power, and work out whether it passed."""
    heading = head_record(
        interconnect,
        done_by=done_by,
        second_person=second_person,
        entered_by=entered_by,
        at=at,
        replaces=replaces,
        replaces_why=replaces_why,
    )
    _refuse_ring_out(interconnect, heading, resistance_ohm, to_chassis_ohm, both_labels_read)
    record = RingOut.objects.create(
        interconnect=interconnect,
        resistance_ohm=resistance_ohm,
        to_chassis_ohm=to_chassis_ohm,
        both_labels_read=both_labels_read,
        test_v=test_v,
        remarks=remarks,
        result=ring_out_result(resistance_ohm, to_chassis_ohm),
        **heading.fields(),
    )
    _write_ring_out(record, heading)
    tell_facts_changed(interconnects=[interconnect.pk])
    return record


def before(interconnect: Interconnect, heading: Heading) -> Joining | None:
    """Find how the wire stood just before an act, leaving out the record that the act corrects."""
    records = (
        Joining.objects.exclude(pk=heading.replaces.pk) if isinstance(heading.replaces, Joining) else Joining.objects
    )
    return records.newest_at(interconnect, heading.at)  # type: ignore[no-any-return]


def is_joined(interconnect: Interconnect, at: datetime) -> bool:
    """Say whether the wire is recorded as joined at a moment."""
    last = Joining.objects.newest_at(interconnect, at)
    return last is not None and last.kind != JoiningKind.LIFTED


def ring_out_result(resistance_ohm: float | None, to_chassis_ohm: float | None) -> Result:
    """Work out a ring-out: through up to 5 Ω, clear of the chassis from 100 Ω; what was not measured is not known.

    >>> ring_out_result(0.4, 22e6), ring_out_result(7.0, None), ring_out_result(0.4, None)
    (Result.PASSED, Result.FAILED, Result.CANNOT_TELL)
    """
    if resistance_ohm is not None and resistance_ohm > THROUGH_UP_TO_OHM:
        return Result.FAILED
    if to_chassis_ohm is not None and to_chassis_ohm < SHORT_BELOW_OHM:
        return Result.FAILED
    return Result.CANNOT_TELL if resistance_ohm is None or to_chassis_ohm is None else Result.PASSED


def _takes_back(heading: Heading) -> bool:
    """Say whether the record corrects a joining or lifting; it then says how the wire stood instead, as before too."""
    return isinstance(heading.replaces, Joining)


def _refuse_joining(interconnect: Interconnect, kind: JoiningKind, heading: Heading) -> None:
    last = before(interconnect, heading)
    joined = last is not None and last.kind != JoiningKind.LIFTED
    if kind == JoiningKind.JOINED and joined and last is not None and not _takes_back(heading):
        raise ValidationError(
            f"{_called(interconnect)} is joined already, since {last.done_at:%d %b %Y} by {last.done_by}. "
            "If a joint was made again, record it as made again."
        )
    if kind == JoiningKind.REMADE and last is None:
        raise ValidationError(f"{_called(interconnect)} was never joined, so no joint of it can be made again.")
    if kind == JoiningKind.LIFTED:
        raise ValidationError("Lifting a wire is not joining it; record it as lifted, with its reason.")


def _refuse_ring_out(
    interconnect: Interconnect,
    heading: Heading,
    resistance_ohm: float | None,
    to_chassis_ohm: float | None,
    both_labels_read: bool,
) -> None:
    if not both_labels_read:
        sentence = "A wire is rung out with the labels read at both ends; otherwise it may be another wire that rings."
        raise ValidationError({"both_labels_read": sentence})
    if resistance_ohm is None:
        raise ValidationError(
            {"resistance_ohm": "Give the resistance from end to end; it is what a ring-out measures."}
        )
    for name, value in (("resistance_ohm", resistance_ohm), ("to_chassis_ohm", to_chassis_ohm)):
        if value is not None and (math.isnan(value) or value < 0):
            raise ValidationError({name: f"A resistance of {value} Ω cannot be; give zero ohms or more."})
    if not is_joined(interconnect, heading.at):
        raise ValidationError(
            f"{_called(interconnect)} is not recorded as joined, so it cannot be rung out. Join it first."
        )


def _called(interconnect: Interconnect) -> str:
    return f"Link {interconnect.code}"


def _store_joining(interconnect: Interconnect, kind: JoiningKind, heading: Heading, remarks: str) -> Joining:
    record: Joining = Joining.objects.create(
        interconnect=interconnect, kind=kind, remarks=remarks.strip(), **heading.fields()
    )
    sentence = _joining_sentence(record)
    write_record_line(record, interconnect, heading, act=f"wire {kind}", sentence=sentence, kind=str(kind))
    tell_facts_changed(interconnects=Interconnect.objects.with_same_source(interconnect).values_list("pk", flat=True))
    return record


def _joining_sentence(record: Joining) -> str:
    code = record.interconnect.code
    if record.kind == JoiningKind.LIFTED:
        return f"{record.done_by} lifted link {code}: {record.remarks}"
    if record.kind == JoiningKind.REMADE:
        what = f"{record.done_by} made the joints of link {code} again"
    else:
        what = f"{record.done_by} joined link {code} at both ends"
    remarks = f" {record.remarks}" if record.remarks else ""
    return f"{what}; both joints viewed by {record.second_person}.{remarks}"


def _write_ring_out(record: RingOut, heading: Heading) -> None:
    through = ohms(record.resistance_ohm)
    sentence = (
        f"{record.done_by} rang out link {record.interconnect.code}: {through} end to end, "
        f"{ohms(record.to_chassis_ohm)} to the chassis, labels read at both ends. Result: {record.result}."
    )
    details = {"result": str(record.result), "end_to_end": through}
    write_record_line(record, record.interconnect, heading, act="ring out", sentence=sentence, **details)
