"""Walking forward in the wiring from a slot, up to and into the stages that restore the pulse."""

from dataclasses import dataclass

import numpy as np

from restoration.engineering.wiring import Wiring, cone
from restoration.engineering.wiring.given import Ints


@dataclass(frozen=True, eq=False)
class Forward:
    """The links walked, nearest first, and for each the place in `links` of the one before it; -1 at the start.

    Shapes (n,) each.
    """

    links: Ints
    before: Ints


def walk_forward(wiring: Wiring, slot: int) -> Forward:
    """Walk from all outputs of a slot to the next barriers: links into a barrier are crossed, none behind it.

    Breadth-first, so that every link has a way of the fewest links, and comes once however many ways or loops lead
    to it; of several such ways the one over the lowest links. Shapes: see `Forward`. Source: any text on graphs;
    barriers: common practice, no source. Errors: ValueError where there is no such slot.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 1, 2, 2, 0], source=[0, 2, 4], load=[1, 3, 5])
    >>> walk = walk_forward(wiring, 0)
    >>> walk.links.tolist(), walk.before.tolist()
    ([0, 1, 2], [-1, 0, 1])
    """
    reached = cone(wiring, wiring.at_slot(slot), down=True, stop_at_barriers=True)
    hop, level = reached.hop_of_link, reached.node_level
    tail, link = wiring.edge_tail, wiring.edge_link
    goes_on = (level >= 1) & ~wiring.nodes.is_barrier
    edges = np.flatnonzero(goes_on[tail] & (hop[link] == level[tail] + 1))
    previous = np.full(wiring.link_count, -1, np.int64)
    previous[link[edges[::-1]]] = link[reached.edge_into[tail[edges[::-1]]]]
    links = reached.links[np.lexsort((reached.links, reached.link_hop))]
    place = np.full(wiring.link_count + 1, -1, np.int32)
    place[links] = np.arange(links.size, dtype=np.int32)
    return Forward(links, place[previous[links]])
