"""Records with a worked-out result, and what becomes of the concessions given on them."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db.models import Model, QuerySet
from django.utils import timezone

from restoration.commissioning.facts.history import Histories, written
from restoration.commissioning.facts.known import Known
from restoration.commissioning.facts.rows import Part, moment_kept, stored_moment
from restoration.commissioning.models import GateRecord
from restoration.engineering.doubt import Kind, Reach
from restoration.engineering.standing import Evidence, State
from restoration.machine.records import Result

RESULTS = {
    Result.PASSED.value: State.PASSED,
    Result.FAILED.value: State.FAILED,
    Result.TOO_CLOSE.value: State.IN_HAND,
    Result.CANNOT_TELL.value: State.IN_HAND,
}
HEADING = ("done_by_id", "result", "replaces_id")
CONCESSION = ("concession__reason", "concession__until")
REACH = {"chassis": Reach.CHASSIS, "interconnect": Reach.LINK}


def add_judged(
    histories: Histories, known: Known, part: Part, item: str, gate: str, kind: str, model: type[Model], *more: str
) -> None:
    """Add every record of one kind to the histories of its items."""
    rows = part.of(model._default_manager.all(), item, item)
    for row in judged_rows(rows, f"{item}_id", *more):
        add_record(histories, known, item, gate, kind, row)


def judged_rows(rows: QuerySet[Any], *names: str) -> Iterator[tuple[Any, ...]]:
    """Read what `judged_record` needs, and then what else is named; the item first, moments as kept."""
    item, *more = names
    return rows.values_list(item, "pk", stored_moment("done_at"), *HEADING, *more).order_by().iterator(chunk_size=2000)


def add_record(histories: Histories, known: Known, item: str, gate: str, kind: str, row: tuple[Any, ...]) -> Evidence:
    """Add one record, and what becomes of its concession."""
    record = judged_record(known, gate, kind, row)
    history = histories[row[0]]
    history.evidence.append(record)
    if len(row) > 7 and row[7] is not None and (over := over_at(row[7])) <= known.now:
        what = f"The concession on {record.name} ran out on {written(row[7])}."
        clause = known.clause(Kind.CONCESSION_OVER, REACH[item])
        history.doubt_record(record.name, clause.change(over, what, only=frozenset({gate})))
    return record


def over_at(until: date) -> datetime:
    """When a concession is over that was given until a day: when that day is."""
    return timezone.make_aware(datetime.combine(until + timedelta(days=1), time.min))


def judged_record(known: Known, gate: str, kind: str, row: tuple[Any, ...]) -> Evidence:
    """Turn a record with a worked-out result, and perhaps a concession, into evidence."""
    pk, at, result = row[1], moment_kept(row[2]), row[4]
    state, name = RESULTS[result], f"{kind} {pk}"
    said = f"{name[0].upper()}{name[1:]} by {known.names[row[3]]} on {known.days.of(at)}: {result}."
    if len(row) > 6 and row[6]:
        state = State.ON_CONCESSION
        limit = f" until {written(row[7])}" if row[7] else ""
        said = f"{said[:-1]}; accepted on concession{limit}: {row[6]}"
    return Evidence(gate, at, name, state, said, f"{kind} {row[5]}" if row[5] else "", pk)


def add_signed(histories: Histories, known: Known, part: Part, item: str) -> None:
    """Add the gates that were signed for."""
    rows = part.of(GateRecord.objects.exclude(**{item: None}), item, item)
    for *row, gate in judged_rows(rows, f"{item}_id", "gate"):
        histories[row[0]].evidence.append(judged_record(known, gate, "gate record", tuple(row)))
