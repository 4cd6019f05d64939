"""Takes from the wiring in memory what is reached from a place, in the shape in which it is folded and drawn."""

from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np
from django.db.models import Value
from django.db.models.functions import Coalesce

from restoration.engineering.wiring import cone
from restoration.machine.following.folding import Ints, Reached
from restoration.machine.models import Slot
from restoration.machine.wiring import KnownWiring
from restoration.machine.wiring.places import Place

NO_RACK = 0  # where the row id of a rack would stand

# Rack of each slot, for as long as that state of the wiring is kept: the mark of the wiring is renewed with it.
_racks: "WeakKeyDictionary[KnownWiring, Ints]" = WeakKeyDictionary()


@dataclass(frozen=True, eq=False)
class Followed:
    """A signal followed to its end: the slots reached, and the links gone over with the places of their two slots."""

    reached: Reached
    links: Ints
    link_hop: Ints
    sources: Ints
    loads: Ints

    @property
    def hops(self) -> int:
        """How far the farthest slot is."""
        return int(self.reached.hop[-1])


def follow(wiring: KnownWiring, place: Place, *, is_down: bool) -> Followed:
    """Follow a signal from a place to its end. Links lead from slot to slot as places among those reached."""
    graph = wiring.graph
    found = cone(graph, wiring.start(place), down=is_down)
    source_slot, load_slot = graph.source_slot, graph.load_slot
    order = np.argsort(found.slot_hop, kind="stable")
    slots, through = found.slots[order], found.through[order]
    place_of = np.zeros(len(wiring.slot_ids), dtype=np.intp)
    place_of[slots] = np.arange(1, len(slots) + 1)
    near = source_slot if is_down else load_slot
    parent = np.concatenate(([0], place_of[near[through]]))
    reached = Reached(np.concatenate(([found.start_slot], slots)), np.concatenate(([0], found.slot_hop[order])), parent)
    sources, loads = place_of[source_slot[found.links]], place_of[load_slot[found.links]]
    return Followed(reached, found.links, found.link_hop, sources, loads)


def racks_of(wiring: KnownWiring) -> Ints:
    """The row id of the rack of each slot, `NO_RACK` where a slot is in none."""
    known = _racks.get(wiring)
    if known is None:
        in_rack = Coalesce("rack_id", Value(NO_RACK))
        rows = np.fromiter(
            Slot.objects.order_by("pk").values_list("pk", in_rack).iterator(), dtype=np.dtype((np.int64, 2))
        )
        known = np.full(len(wiring.slot_ids), NO_RACK, dtype=np.int64)
        at = np.minimum(np.searchsorted(rows[:, 0], wiring.slot_ids), max(0, len(rows) - 1))
        is_there = rows[at, 0] == wiring.slot_ids
        known[is_there] = rows[at[is_there], 1]
        _racks[wiring] = known
    return known
