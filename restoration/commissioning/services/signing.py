"""A gate is signed for: what was seen, by whom, with what result."""

from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.commissioning.gates import Gate, gate_of
from restoration.commissioning.models import GateRecord, Group
from restoration.commissioning.signing.order import why_not_passed
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Chassis, Rack
from restoration.machine.records import Result
from restoration.people.models import Person
from restoration.proving.services.headings import Heading, head_record, named, write_record_line

SIGNED_BY_TWO = "This gate is passed with heaters or HT on, so it is signed for by two; say who the second person was."
WITNESSED = "This gate is witnessed; say who saw it."
PAPER_WANTED = {
    "mains side certified": "Write down the number of the electrician's paper; it is all that is kept here."
}
WORD_OF = {"chassis": "chassis", "rack": "racks", "group": "groups"}

Signed = Chassis | Rack | Group


@transaction.atomic
def sign_gate(
    *,
    kind: str,
    item: Signed,
    gate: str,
    result: str,
    seen: str,
    paper: str = "",
    done_by: Person,
    second_person: Person | None,
    entered_by: Person,
    at: datetime | None = None,
    remarks: str = "",
    replaces: GateRecord | None = None,
    replaces_why: str = "",
) -> GateRecord:
    """Record a gate of a chassis, a rack or a group as seen; as passed only where the gates before it stand.

    A result that is not "passed" can be recorded at any time. A correction names the record it replaces, and why.
    """
    signed = _signed_gate(kind, gate)
    if not seen.strip():
        raise ValidationError({"seen": "Say what was seen or measured."})
    heading = head_record(
        item,
        done_by=done_by,
        second_person=second_person,
        entered_by=entered_by,
        at=at,
        replaces=replaces,
        replaces_why=replaces_why,
        second_needed=second_needed(signed),
    )
    _refuse_unauthorised(signed, heading)
    _refuse_other_gate(replaces, gate)
    if result == Result.PASSED:
        _refuse_unready(kind, item, gate, paper, heading.at)
    record = GateRecord(
        gate=gate,
        result=result,
        seen=seen.strip(),
        paper=paper.strip(),
        remarks=remarks.strip(),
        **{kind: item},
        **heading.fields(),
    )
    record.full_clean()
    record.save()
    _write(record, item, heading)
    tell_facts_changed(**{WORD_OF[kind]: [item.pk]})
    return record


def _signed_gate(kind: str, code: str) -> Gate:
    gate = gate_of(kind, code)
    if gate is None or kind not in WORD_OF:
        raise ValidationError(f"“{code}” is not among the gates that are signed for of the kind “{kind}”.")
    if not gate.is_signed:
        raise ValidationError(f"The gate “{code}” of a {kind} follows from other records; nobody signs for it.")
    return gate


def second_needed(gate: Gate) -> str:
    """The sentence said where a gate needs a second person and none is named; nothing where it needs none."""
    if not gate.is_witnessed:
        return ""
    return SIGNED_BY_TWO if gate.is_live else WITNESSED


def _refuse_unauthorised(gate: Gate, heading: Heading) -> None:
    """One of those who were there may sign for it; whoever only enters it does not count."""
    there = [person for person in (heading.done_by, heading.second_person) if person is not None]
    if not any(person.may(gate.signed_by) for person in there):
        names = " or ".join(str(person) for person in there)
        raise ValidationError(
            f"To {gate.signed_by.value} is not among the things that {names} may do here; one of those who were "
            "there must be one who may."
        )


def _refuse_other_gate(replaces: GateRecord | None, gate: str) -> None:
    if replaces is not None and replaces.gate != gate:
        sentence = (
            f"Gate record {replaces.pk} is of the gate “{replaces.gate}”, and cannot be corrected by one of “{gate}”."
        )
        raise ValidationError(sentence)


def _refuse_unready(kind: str, item: Signed, gate: str, paper: str, at: datetime) -> None:
    if gate in PAPER_WANTED and not paper.strip():
        raise ValidationError({"paper": PAPER_WANTED[gate]})
    problems = why_not_passed(kind, item, gate, at)
    if problems:
        raise ValidationError(problems)


def _write(record: GateRecord, item: Any, heading: Heading) -> None:
    noun, code = named(item)
    seen_by = f", seen by {heading.second_person}" if heading.second_person else ""
    paper = f" Paper: {record.paper}." if record.paper else ""
    seen = record.seen if record.seen.endswith((".", "!", "?")) else f"{record.seen}."
    write_record_line(
        record,
        item,
        heading,
        act="gate signed",
        sentence=f"{heading.done_by} recorded the gate “{record.gate}” of {noun} {code} as {record.result}{seen_by}: "
        f"{seen}{paper}",
        gate=record.gate,
        result=str(record.result),
        **({"pass_test": item.pass_test} if isinstance(item, Group) else {}),
    )
