"""The history of one item, as it is gathered from several kinds of record."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from typing import Any

from django.db.models import Model, QuerySet
from django.utils import timezone

from restoration.engineering.standing import Change, Evidence, State, in_force
from restoration.machine.records import Result

CONCESSION = ("concession__reason", "concession__until")
RESULTS = {
    Result.PASSED.value: State.PASSED,
    Result.FAILED.value: State.FAILED,
    Result.TOO_CLOSE.value: State.IN_HAND,
    Result.CANNOT_TELL.value: State.IN_HAND,
}


@dataclass
class History:
    """What was recorded of one item, and what was changed at it.

    `if_newest` holds what counts only while the record of that name is the newest in force of its gate: a
    concession that ran out, limits that are not those of the check any more.
    """

    evidence: list[Evidence] = field(default_factory=list)
    changes: list[Change] = field(default_factory=list)
    if_newest: dict[str, list[Change]] = field(default_factory=dict)

    def settle(self) -> None:
        """Take in what hangs on the newest record of each gate."""
        newest = {record.gate: record.name for record in in_force(self.evidence)}
        self.changes += [change for name in newest.values() for change in self.if_newest.get(name, [])]


class Histories(defaultdict[int, History]):
    """Histories by row id; an item nothing is known of has an empty one."""

    def __init__(self) -> None:
        super().__init__(History)

    def settled(self) -> "Histories":
        """Settle every history, when all of them are gathered."""
        for history in self.values():
            history.settle()
        return self

    def add_judged(self, pk: int, gate: str, kind: str, row: dict[str, Any], now: datetime) -> None:
        """Add a record with a worked-out result, and what becomes of its concession."""
        evidence = judged_record(gate, kind, row)
        self[pk].evidence.append(evidence)
        self[pk].if_newest.setdefault(evidence.name, []).extend(ran_out(gate, kind, row, now))


def day(moment: datetime) -> str:
    """Write a day as people say it: 3 May 2026."""
    local = timezone.localtime(moment)
    return f"{local.day} {local:%b %Y}"


def only(rows: QuerySet[Any], field_name: str, ids: Collection[int] | None) -> QuerySet[Any]:
    """Narrow rows to some ids, or leave them whole for a full recompute."""
    return rows if ids is None else rows.filter(**{f"{field_name}__in": ids})


def ran_out(gate: str, kind: str, row: dict[str, Any], now: datetime) -> list[Change]:
    """A concession that was given until a day puts its gate in doubt when that day is over."""
    until = row.get("concession__until")
    if until is None:
        return []
    midnight = datetime.combine(until + timedelta(days=1), time.min)
    at = timezone.make_aware(midnight)
    what = f"The concession on {kind} {row['pk']} ran out on {until.day} {until:%b %Y}."
    return [Change(frozenset({gate}), at, what)] if at <= now else []


def judged_record(gate: str, kind: str, row: dict[str, Any]) -> Evidence:
    """Turn a record with a worked-out result, and perhaps a concession, into evidence."""
    state, said = RESULTS[row["result"]], f"{kind.capitalize()} {row['pk']} by {row['done_by__display_name']}"
    said = f"{said} on {day(row['done_at'])}: {row['result']}."
    if row.get("concession__reason"):
        state = State.ON_CONCESSION
        until = row.get("concession__until")
        limit = f" until {until.day} {until:%b %Y}" if until else ""
        said = f"{said[:-1]}; accepted on concession{limit}: {row['concession__reason']}"
    replaces = f"{kind} {row['replaces_id']}" if row["replaces_id"] else ""
    return Evidence(gate, row["done_at"], f"{kind} {row['pk']}", state, said, replaces, row["pk"])


def judged_rows(model: type[Model], item: str, ids: Collection[int] | None, *more: str) -> QuerySet[Any]:
    """Read just what `judged_record` needs of one kind of record."""
    rows = only(model._default_manager.all(), item, ids)
    return rows.values("pk", item, "done_at", "done_by__display_name", "result", "replaces_id", *more).order_by()
