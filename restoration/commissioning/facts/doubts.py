"""Doubts that a recorded change left, each by its rule and the path it took."""

from typing import Any

from restoration.commissioning.facts.history import Histories
from restoration.commissioning.facts.known import Known
from restoration.commissioning.facts.rows import Part, moment
from restoration.commissioning.models import Change as RecordedChange
from restoration.commissioning.models import Doubt
from restoration.engineering.doubt import Kind, Reach
from restoration.engineering.standing import Change
from restoration.proving.models import BenchTest, SignalCheck

MADE_WITH: dict[str, tuple[Any, str, str, str]] = {
    "chassis": (BenchTest, "bench-tested", "bench test", "chassis__serial"),
    "interconnect": (SignalCheck, "signal-checked", "signal check", "interconnect__code"),
}


def reason_of(number: int, what: str, day: str, path: str, rule: int) -> str:
    """The sentence that stands beside a gate that a recorded change doubts; `names_change` knows it again.

    >>> reason_of(7, "slot C-07 knocked", "3 May 2026", "slot C-07 → link 214", 40)
    'Change 7, slot C-07 knocked, on 3 May 2026: slot C-07 → link 214 (rule 40).'
    """
    return f"Change {number}, {what}, on {day}: {path} (rule {rule})."


def names_change(reason: str, number: int) -> bool:
    """Say whether a reason tells of this change."""
    return reason.startswith(f"Change {number}, ")


def add_doubts(histories: Histories, known: Known, part: Part, item: str) -> None:
    """Add what is asked for, of changes that no correction has replaced."""
    rows = Doubt.objects.filter(is_asked=True, change__replaced_by=None).exclude(**{item: None})
    for pk, number, what, at, gates, path, rule, record in (
        part.of(rows, item, item)
        .values_list(
            f"{item}_id",
            "change_id",
            "change__what",
            moment("change__done_at"),
            "gates",
            "path",
            "rule_number",
            "record",
        )
        .order_by()
        .iterator(chunk_size=2000)
    ):
        change = Change(frozenset(gates), at, reason_of(number, what, known.days.of(at), path, rule))
        if record:
            histories[pk].doubt_record(record, change)
        else:
            histories[pk].changes.append(change)


def add_instrument_doubts(histories: Histories, known: Known, part: Part, item: str) -> None:
    """Doubt records made with an instrument in its bad days that were entered, or corrected, after it was found bad.

    The doubts stored with the change name the records of that day; a late entry and a correction are no better.
    """
    found = RecordedChange.objects.in_force().filter(kind=Kind.INSTRUMENT.value, since__isnull=False)
    for number, what, at, since, instrument, mark in found.order_by("pk").values_list(
        "pk", "what", "done_at", "since", "instrument_id", "instrument__mark"
    ):
        rule = known.clause(Kind.INSTRUMENT, Reach.MADE_WITH).rule(at)
        model, gate, kind, code = MADE_WITH[item]
        if rule is None or gate not in rule.gates:
            continue
        noun = "link" if item == "interconnect" else item
        rows = model.objects.filter(instrument=instrument, done_at__gt=since, done_at__lt=at)
        for pk, record, thing in part.of(rows, item, item).values_list(f"{item}_id", "pk", code).order_by():
            name = f"{kind} {record}"
            path = f"instrument {mark} → {name} → {noun} {thing}"
            reason = reason_of(number, what, known.days.of(at), path, rule.number)
            change = Change(frozenset({gate}), at, reason)
            if all(change.what != other.what for other in histories[pk].if_newest.get(name, [])):
                histories[pk].doubt_record(name, change)
