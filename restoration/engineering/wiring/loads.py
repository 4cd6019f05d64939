"""Sources with their whole load: what hangs on one source by wire alone, however it is strung."""

from __future__ import annotations

import numpy as np

from restoration.engineering.wiring.given import Ints, index_given
from restoration.engineering.wiring.graph import Wiring
from restoration.engineering.wiring.rows import Rows


def loads_of_source(wiring: Wiring, terminal: int) -> Ints:
    """The links that carry what a terminal sends out, by wire alone: its own, and those on from each load terminal.

    A load terminal that is the source of a further link hands the signal on (a daisy chain), and its links are loads
    of the same source; no stage is gone through. Shape (n,), ascending; empty for a terminal that is no source.
    Common practice, no source. Errors: ValueError with a whole sentence for a terminal out of range.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 2, 2], source=[0, 1], load=[1, 2])
    >>> loads_of_source(wiring, 0).tolist()
    [0, 1]
    """
    begin = index_given("terminal", terminal, wiring.terminal_count)
    return _by_wire(wiring.links_from, np.array([begin], np.int32))[0]


def sources_of_link(wiring: Wiring, link: int) -> Ints:
    """The terminals that a link carries the signal of, by wire alone: those before it that no link leads to.

    Where wires go round in a ring that nothing feeds, all its terminals. Shape (n,), ascending. Common practice, no
    source. Errors: ValueError with a whole sentence for a link out of range.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 2, 2], source=[0, 1], load=[1, 2])
    >>> sources_of_link(wiring, 1).tolist()
    [0]
    """
    begin = wiring.source[index_given("link", link, wiring.link_count)]
    before = _by_wire(wiring.links_to, np.array([begin], np.int32))[1]
    fed = np.diff(wiring.links_to.start)[before] > 0
    return before if fed.all() else before[~fed]


def same_source(wiring: Wiring, link: int) -> Ints:
    """The links that share a source with a link, the link itself among them: every load on the same source.

    Shape (n,), ascending. Common practice, no source. Errors: ValueError with a whole sentence for a link out of
    range.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 2, 2], source=[0, 0], load=[1, 2])
    >>> same_source(wiring, 1).tolist()
    [0, 1]
    """
    return _by_wire(wiring.links_from, sources_of_link(wiring, link))[0]


def _by_wire(rows: Rows, begin: Ints) -> tuple[Ints, Ints]:
    """Links and terminals come to from some terminals, terminal after terminal; both ascending."""
    seen, front = begin, begin
    links = np.empty(0, np.int32)
    while front.size:
        places = rows.places(front)
        links = np.union1d(links, rows.edges[places])
        front = np.setdiff1d(rows.ends[places], seen)
        seen = np.union1d(seen, front)
    return links.astype(np.int32), seen.astype(np.int32)
