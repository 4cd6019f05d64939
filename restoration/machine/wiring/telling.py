"""What following a signal and looking for loops found: as sentences for people, and as one object for a program."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.wire_list.outcome import counted
from restoration.engineering.wiring import Components, Cone, components, loops, self_links
from restoration.machine.wiring.known import KnownWiring

NAMED = 60  # slots of a hop, or of a loop, that a sentence names; a program gets all


def cone_as_json(known: KnownWiring, found: Cone, start: str, *, down: bool) -> dict[str, Any]:
    """All that was reached, with the slots in the order of their codes."""
    hops = Counter(found.slot_hop.tolist())
    return {
        "start": start,
        "direction": "down" if down else "up",
        "slots": sorted(known.slot_codes(found.slots)),
        "count": len(found.slots),
        "per_hop": {str(hop): hops[hop] for hop in sorted(hops)},
        "terminals": len(found.terminals),
        "links": len(found.links),
    }


def cone_in_sentences(known: KnownWiring, found: Cone, start: str, *, down: bool) -> Iterator[str]:
    """Say how far it goes, then hop by hop what is first reached there and by which link."""
    way = "Downstream" if down else "Upstream"
    if not len(found.slots):
        back = f"; {counted(len(found.links), 'link')} of it led back to its own slot" if len(found.links) else ""
        yield f"Nothing lies {way.lower()} of {start}{back}."
        return
    last = int(found.slot_hop.max())
    over = f"over {counted(len(found.links), 'link')} and {counted(len(found.terminals), 'terminal')}"
    yield f"{way} of {start}: {counted(len(found.slots), 'slot')} in {counted(last, 'hop')}, {over}."
    for hop in range(1, last + 1):
        at = np.flatnonzero(found.slot_hop == hop)
        if len(at):
            yield f"Hop {hop}, {counted(len(at), 'slot')}: {_reached(known, found, at)}."


def _reached(known: KnownWiring, found: Cone, at: Any) -> str:
    slots = known.slot_codes(found.slots[at[:NAMED]])
    links = known.link_codes(found.through[at[:NAMED]])
    named = sorted(f"{slot} by link {link}" for slot, link in zip(slots, links, strict=True))
    return _and_more(named, len(at))


@dataclass(frozen=True, eq=False)
class LoopsFound:
    """The loops by the codes of their slots, largest first; the links that a slot has to itself; and all the parts."""

    loops: list[list[str]]
    own_links: NDArray[np.int32]
    parts: Components

    @property
    def is_any(self) -> bool:
        """Whether a signal comes back anywhere, if only to one slot."""
        return bool(self.loops) or len(self.own_links) > 0


def find_loops(known: KnownWiring) -> LoopsFound:
    """Find where a signal comes back to where it was."""
    parts = components(known.graph)
    slots = [loop.slots for loop in loops(parts)]
    codes = iter(known.slot_codes(np.concatenate(slots)) if slots else [])
    named = [sorted(next(codes) for _ in loop) for loop in slots]
    return LoopsFound(sorted(named, key=lambda loop: (-len(loop), loop)), self_links(known.graph), parts)


def loops_as_json(found: LoopsFound) -> dict[str, Any]:
    """The loops, largest first, each with its slots in the order of their codes."""
    return {
        "components": found.parts.count,
        "loops": found.loops,
        "self_links": len(found.own_links),
        "layers": found.parts.layer_count,
    }


def loops_in_sentences(known: KnownWiring, found: LoopsFound) -> Iterator[str]:
    """Say how many loops there are, then which slots each holds."""
    if found.loops:
        largest = counted(len(found.loops[0]), "slot")
        yield f"The wiring has {counted(len(found.loops), 'loop')}; the largest holds {largest}."
        for number, slots in enumerate(found.loops, start=1):
            yield f"Loop {number}, {counted(len(slots), 'slot')}: {_and_more(slots[:NAMED], len(slots))}."
    else:
        yield "The wiring has no loop of several slots."
    own = found.own_links
    if len(own):
        named = _and_more(sorted(known.link_codes(own[:NAMED])), len(own))
        yield f"{counted(len(own), 'link')} from a slot to itself: {named}."
    parts = found.parts
    yield f"Each loop taken as one: {counted(parts.count, 'part')} in {counted(parts.layer_count, 'layer')}."


def _and_more(named: list[str], count: int) -> str:
    more = f" and {count - len(named):,} more" if count > len(named) else ""
    return ", ".join(named) + more
