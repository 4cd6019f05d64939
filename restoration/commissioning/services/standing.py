"""Keeping the stored copy of standing in step with the records."""

from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from django.db import transaction
from django.db.models import Q

from restoration.commissioning.facts import Histories, chassis_histories, link_histories
from restoration.commissioning.gates import CHASSIS_GATES, LINK_GATES
from restoration.commissioning.models import Standing as StoredStanding
from restoration.engineering.standing import Standing, State, all_standings
from restoration.logbook.services import wait_for_the_pen
from restoration.machine.models import Fitting, Interconnect

CHUNK = 5000
Key = tuple[str, int, str]


def worked_out(kind: str, ids: Collection[int] | None) -> dict[Key, Standing]:
    """Work out every standing of these items from their records; "not done" is left out."""
    gates = CHASSIS_GATES if kind == "chassis" else LINK_GATES
    histories: Histories = chassis_histories(ids) if kind == "chassis" else link_histories(ids)
    return {
        (kind, pk, standing.gate): standing
        for pk, history in histories.items()
        for standing in all_standings(gates, history.evidence, history.changes)
        if standing.state is not State.NOT_DONE
    }


def stored(kind: str, ids: Collection[int] | None) -> dict[Key, StoredStanding]:
    """Read the stored copy of these items' standings."""
    rows = StoredStanding.objects.exclude(**{kind: None})
    if ids is not None:
        rows = rows.filter(**{f"{kind}_id__in": ids})
    return {(kind, getattr(row, f"{kind}_id"), row.gate): row for row in rows}


def _differs(row: StoredStanding, standing: Standing) -> bool:
    return (row.state, row.since, row.reasons) != (standing.state.value, standing.since, list(standing.reasons))


def _fill(row: StoredStanding, standing: Standing) -> StoredStanding:
    row.state, row.since, row.reasons = standing.state.value, standing.since, list(standing.reasons)
    return row


def _store(kind: str, ids: Collection[int] | None) -> int:
    """Bring the stored copy of these items in step; return how many rows were touched."""
    right, kept = worked_out(kind, ids), stored(kind, ids)
    gone = [row.pk for key, row in kept.items() if key not in right]
    changed = [
        _fill(kept[key], standing) for key, standing in right.items() if key in kept and _differs(kept[key], standing)
    ]
    new = [
        _fill(StoredStanding(**{f"{kind}_id": key[1]}, gate=key[2]), standing)
        for key, standing in right.items()
        if key not in kept
    ]
    for part in _chunks(gone):
        StoredStanding.objects.filter(pk__in=part).delete()
    StoredStanding.objects.bulk_update(changed, ["state", "since", "reasons"], batch_size=500)
    StoredStanding.objects.bulk_create(new, batch_size=2000)
    return len(gone) + len(changed) + len(new)


def _chunks(ids: Iterable[int]) -> Iterator[list[int]]:
    rest = iter(ids)
    while part := list(islice(rest, CHUNK)):
        yield part


def links_touched(chassis: Collection[int], interconnects: Collection[int]) -> set[int]:
    """Find every interconnect whose standing may follow: at the chassis' slots, and on the same sources."""
    slots = Fitting.objects.filter(chassis__in=chassis).values("slot_id")
    at_slots = Interconnect.objects.filter(Q(source__slot__in=slots) | Q(load__slot__in=slots)).values_list(
        "pk", flat=True
    )
    touched = set(at_slots) | set(interconnects) if chassis else set(interconnects)
    for part in _chunks(interconnects):
        sources = Interconnect.objects.filter(pk__in=part).values("source_id")
        touched.update(Interconnect.objects.filter(source__in=sources).values_list("pk", flat=True))
    return touched


def recompute(*, chassis: Collection[int] = (), interconnects: Collection[int] = ()) -> int:
    """Work out again what these facts touch; stands in the transaction of the act that changed them."""
    with transaction.atomic():
        touched = sum(_store("chassis", part) for part in _chunks(chassis))
        return touched + sum(_store("interconnect", part) for part in _chunks(links_touched(chassis, interconnects)))


@dataclass
class _Gathered:
    """What changed in a run of acts."""

    chassis: set[int] = field(default_factory=set)
    interconnects: set[int] = field(default_factory=set)


_gathering: ContextVar[_Gathered | None] = ContextVar("standing_gathering", default=None)


@contextmanager
def worked_out_once() -> Iterator[None]:
    """Let many acts of one transaction pass, and work standing out once, when they are done."""
    gathered = _Gathered()
    mark = _gathering.set(gathered)
    try:
        yield
    finally:
        _gathering.reset(mark)
    recompute(chassis=gathered.chassis, interconnects=gathered.interconnects)


def follow(
    *,
    chassis: Collection[int] = (),
    interconnects: Collection[int] = (),
    racks: Collection[int] = (),
    groups: Collection[int] = (),
) -> None:
    """Work standing out after an act, or note what to work out where a run of acts is going on."""
    gathered = _gathering.get()
    if gathered is None:
        recompute(chassis=chassis, interconnects=interconnects)
    else:
        gathered.chassis.update(chassis)
        gathered.interconnects.update(interconnects)


def recompute_all() -> int:
    """Work out every standing again from the records; return how many stored rows were wrong."""
    with transaction.atomic():
        wait_for_the_pen()  # no act may end between the reading and the storing
        return _store("chassis", None) + _store("interconnect", None)


@dataclass(frozen=True)
class Difference:
    """One standing whose stored copy is not what the records say."""

    item: str
    gate: str
    stored: str
    right: str

    def __str__(self) -> str:
        return f"{self.item}, {self.gate}: stored as {self.stored}, by the records {self.right}"


def compare_standing() -> list[Difference]:
    """List where the stored copy does not agree with the records, without mending it."""
    return [difference for kind in ("chassis", "interconnect") for difference in _compare(kind)]


def _compare(kind: str) -> Iterator[Difference]:
    right, kept = worked_out(kind, None), stored(kind, None)
    for key in sorted(right.keys() | kept.keys()):
        row, standing = kept.get(key), right.get(key)
        if row is None or standing is None or _differs(row, standing):
            yield Difference(f"{kind} {key[1]}", key[2], _word(row), _word(standing))


def _word(standing: Any) -> str:
    if standing is None:
        return State.NOT_DONE.value
    return f"{standing.state} ({'; '.join(standing.reasons)})" if standing.reasons else str(standing.state)
