"""Walking forward from a slot in the wiring kept in memory; of the database only what is reached is read."""

from collections.abc import Callable, Iterable

from django.db.models import QuerySet

from restoration.engineering.doubt.around import Walked, Wire
from restoration.engineering.doubt.walking import walk_forward
from restoration.machine.models import Interconnect
from restoration.machine.wiring import wiring_now

MOST_NAMED = 10_000  # beyond so many links all are read: so many row ids go into no query

WiresOf = Callable[[QuerySet[Interconnect]], Iterable[Wire]]


def walk_to_barriers(slot: int, wires_of: WiresOf) -> list[Walked]:
    """Each wire downstream of a slot up to the next barriers, nearest first, and the one before it on the way."""
    known = wiring_now()
    forward = walk_forward(known.graph, known.slot_index(slot))
    ids = known.link_ids[forward.links].tolist()
    wires = {wire.pk: wire for wire in wires_of(_these(ids))}
    return [
        Walked(wires[pk], before if before >= 0 else None)
        for pk, before in zip(ids, forward.before.tolist(), strict=True)
    ]


def _these(ids: list[int]) -> QuerySet[Interconnect]:
    every = Interconnect.objects.all()
    return every.filter(pk__in=ids) if len(ids) <= MOST_NAMED else every
