"""Keeping the stored copy of standing in step with the records."""

import gc
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from itertools import islice

from django.db import transaction

from restoration.commissioning.facts import ALL_HISTORIES_OF, HISTORIES_OF, Histories
from restoration.commissioning.facts.rows import Part
from restoration.commissioning.gates import KINDS
from restoration.commissioning.models import Standing as StoredStanding
from restoration.commissioning.services.kept import Kept, out_of_step, write_standings
from restoration.commissioning.services.touched import groups_touched, links_touched
from restoration.engineering.standing import Standing, State, recorded_standings
from restoration.logbook.services import wait_for_the_pen

CHUNK = 5000
Key = tuple[int, str]


def worked_out(histories: Histories) -> dict[Key, Standing]:
    """Work out every standing of these items that something was recorded of; the other gates are "not done"."""
    return {
        (pk, standing.gate): standing
        for pk, history in histories.items()
        for standing in recorded_standings(history.evidence, history.changes)
        if standing.state is not State.NOT_DONE
    }


def _store(kind: str, part: Part, histories: Histories) -> int:
    """Bring the stored copy of a part of the machine in step; return how many rows were touched."""
    right = worked_out(histories)
    wrong = out_of_step(kind, part, right)
    gone = [row.pk for key, row in wrong.items() if key not in right]
    for ids in _chunks(gone):
        StoredStanding.objects.filter(pk__in=ids).delete()
    write_standings(kind, right, wrong)
    return len(gone) + len(right)


def _chunks(ids: Iterable[int]) -> Iterator[list[int]]:
    rest = iter(ids)
    while part := list(islice(rest, CHUNK)):
        yield part


def recompute(
    *,
    chassis: Collection[int] = (),
    interconnects: Collection[int] = (),
    racks: Collection[int] = (),
    groups: Collection[int] = (),
) -> int:
    """Work out again what these facts touch; stands in the transaction of the act that changed them."""
    with transaction.atomic():
        touched = {
            "chassis": chassis,
            "interconnect": links_touched(chassis, interconnects),
            "rack": racks,
            "group": {*groups, *groups_touched(chassis, interconnects)},
        }
        return sum(_store(kind, Part(ids), HISTORIES_OF[kind](ids)) for kind in KINDS for ids in _chunks(touched[kind]))


@dataclass
class _Gathered:
    """What changed in a run of acts."""

    chassis: set[int] = field(default_factory=set)
    interconnects: set[int] = field(default_factory=set)
    racks: set[int] = field(default_factory=set)
    groups: set[int] = field(default_factory=set)


_gathering: ContextVar[_Gathered | None] = ContextVar("standing_gathering", default=None)


@contextmanager
def worked_out_once() -> Iterator[None]:
    """Let many acts of one transaction pass, and work standing out once, when they are done.

    Within another such run it adds to that one.
    """
    if _gathering.get() is not None:
        yield
        return
    gathered = _Gathered()
    mark = _gathering.set(gathered)
    try:
        yield
    finally:
        _gathering.reset(mark)
    recompute(
        chassis=gathered.chassis,
        interconnects=gathered.interconnects,
        racks=gathered.racks,
        groups=gathered.groups,
    )


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
        recompute(chassis=chassis, interconnects=interconnects, racks=racks, groups=groups)
    else:
        gathered.chassis.update(chassis)
        gathered.interconnects.update(interconnects)
        gathered.racks.update(racks)
        gathered.groups.update(groups)


@contextmanager
def collector_resting() -> Iterator[None]:
    """Rest the search for dead cycles: records by the hundred thousand, none of them in a cycle, make it a third of
    the work, and part after part they are let go without it."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def recompute_all(kinds: Iterable[str] = KINDS) -> int:
    """Work out every standing again from the records; return how many stored rows were wrong."""
    with transaction.atomic(), collector_resting():
        wait_for_the_pen()  # no act may end between the reading and the storing
        return sum(_store(kind, part, histories) for kind in kinds for part, histories in ALL_HISTORIES_OF[kind]())


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
    with collector_resting():
        return [
            difference
            for kind in KINDS
            for part, histories in ALL_HISTORIES_OF[kind]()
            for difference in _compare(kind, part, histories)
        ]


def _compare(kind: str, part: Part, histories: Histories) -> list[Difference]:
    """What differs is looked at a second time: an act may have ended between the two readings."""
    right = worked_out(histories)
    ids = {pk for pk, _ in out_of_step(kind, part, right).keys() | right.keys()}
    if not ids:
        return []
    right = worked_out(HISTORIES_OF[kind](ids))
    wrong = out_of_step(kind, Part(ids), right)
    return [
        Difference(f"{kind} {key[0]}", key[1], _word(wrong.get(key)), _word(right.get(key)))
        for key in sorted(wrong.keys() | right.keys())
    ]


def _word(standing: Kept | Standing | None) -> str:
    if standing is None:
        return State.NOT_DONE.value
    reasons = standing.reasons
    return f"{standing.state} ({'; '.join(reasons)})" if reasons else str(standing.state)
