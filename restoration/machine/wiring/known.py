"""The wiring as it is kept in memory: the graph, and which row stands at which place of it."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from restoration.engineering.wiring import Start, Wiring
from restoration.machine.wiring.names import link_codes, slot_codes, terminal_names
from restoration.machine.wiring.numbering import Integers, Numbering
from restoration.machine.wiring.places import Place


@dataclass(frozen=True, eq=False)
class KnownWiring:
    """One state of the wiring. Nothing in it changes; another state is another of these."""

    graph: Wiring
    slots: Numbering
    terminals: Numbering
    links: Numbering

    @property
    def slot_ids(self) -> Integers:
        """Row id of the slot at each place."""
        return self.slots.ids

    @property
    def terminal_ids(self) -> Integers:
        """Row id of the terminal at each place."""
        return self.terminals.ids

    @property
    def link_ids(self) -> Integers:
        """Row id of the interconnect at each place."""
        return self.links.ids

    def slot_index(self, pk: int) -> int:
        """Where the slot of this row id stands."""
        return self.slots.index(pk)

    def terminal_index(self, pk: int) -> int:
        """Where the terminal of this row id stands."""
        return self.terminals.index(pk)

    def link_index(self, pk: int) -> int:
        """Where the interconnect of this row id stands."""
        return self.links.index(pk)

    def start(self, place: Place) -> Start:
        """Where following a signal from this place begins."""
        if place.link is not None:
            return self.graph.at_link(self.links.index(place.link))
        if place.terminal is not None:
            return self.graph.at_terminal(self.terminals.index(place.terminal))
        return self.graph.at_slot(self.slots.index(place.slot))

    def slot_codes(self, places: Iterable[int]) -> list[str]:
        """The codes of slots, in the order asked for."""
        return slot_codes(self.slots.ids[_at(places)])

    def link_codes(self, places: Iterable[int]) -> list[str]:
        """The codes of interconnects, in the order asked for."""
        return link_codes(self.links.ids[_at(places)])

    def terminal_names(self, places: Iterable[int]) -> list[str]:
        """Terminals as they are named, slot:terminal, in the order asked for."""
        return terminal_names(self.terminals.ids[_at(places)])


def _at(places: Iterable[int]) -> Integers:
    return places.astype(np.int64) if isinstance(places, np.ndarray) else np.fromiter(places, dtype=np.int64)
