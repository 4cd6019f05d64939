"""The order of proving as pages show it: worked out once for each state of the wiring, named part by part."""

import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from restoration.engineering.proving_order import Deed, Loop, Opening, ProvingOrder, proving_order
from restoration.engineering.wiring import components, self_links
from restoration.machine.models import Interconnect
from restoration.machine.wiring import KnownWiring, wiring_now

SHOWN_LOOPS = 24
SHOWN_SLOTS = 40
SHOWN_SELF = 60


class Row(NamedTuple):
    """A deed, and where it stands: its layer, its loop (0: none), its round in that loop (0: none).

    An opening, or its closing, is of all the links of a source that are lifted together; other deeds are of one link.
    """

    deed: Deed
    link: int
    layer: int
    loop: int
    round: int
    opening: Opening | None = None

    @property
    def links(self) -> tuple[int, ...]:
        """The links it is about."""
        return self.opening.links if self.opening else (self.link,)

    @property
    def part(self) -> tuple[object, ...]:
        """What stands under one heading."""
        return self.layer, self.loop, self.loop and self.deed, self.round


@dataclass(frozen=True, eq=False)
class KnownOrder:
    """The order of one state of the wiring."""

    known: KnownWiring
    order: ProvingOrder
    steps: tuple[Row, ...]
    slot_layers: int
    own_links: Sequence[int]

    @property
    def loops(self) -> list[tuple[int, Loop]]:
        """The loops through several slots, with their numbers, the largest first."""
        wide = [(number, loop) for number, loop in enumerate(self.order.loops, 1) if len(loop.slots) > 1]
        return sorted(wide, key=lambda each: (-each[1].link_count, -len(each[1].slots), each[0]))


@dataclass(frozen=True)
class LoopShown:
    """A loop with the codes of its slots, as many as are shown."""

    number: int
    loop: Loop
    slots: tuple[str, ...]
    more: int


@dataclass(frozen=True)
class Step:
    """One deed with a link, and the heading it stands under where a part of the order begins."""

    number: int
    row: Row
    links: tuple[Interconnect, ...]
    begins: bool

    @property
    def link(self) -> Interconnect:
        """The link it is about, or the first of those that are lifted together."""
        return self.links[0]

    @property
    def one(self) -> bool:
        """Whether it is about one link alone."""
        return len(self.links) == 1

    @property
    def frees(self) -> int | None:
        """How many further links an opening frees, where it was counted."""
        return self.row.opening.frees if self.row.opening else None

    @property
    def signal(self) -> str:
        """The signal that the link carries, in words."""
        return self.link.signal.name if self.link.signal else "its signal, which is not named yet"


class _OrderKept:
    """The last order that was asked for; another state of the wiring gets another."""

    def __init__(self) -> None:
        self._last: KnownOrder | None = None
        self._working = threading.Lock()

    def of(self, known: KnownWiring) -> KnownOrder:
        last = self._last
        if last is not None and last.known is known:
            return last
        with self._working:
            if self._last is None or self._last.known is not known:
                self._last = _worked_out(known)
            return self._last


_kept = _OrderKept()


def order_now() -> KnownOrder:
    """Give the order of proving of the wiring as it is now."""
    return _kept.of(wiring_now())


def _worked_out(known: KnownWiring) -> KnownOrder:
    order = proving_order(known.graph, rank=_rank_by_code(known))
    layers = components(known.graph).layer_count
    return KnownOrder(known, order, tuple(_steps(order)), layers, self_links(known.graph).tolist())


def _rank_by_code(known: KnownWiring) -> np.ndarray:
    """The place of each link's code among all codes, so that what is equally good follows the codes."""
    codes = known.link_codes(np.arange(known.graph.link_count))
    rank = np.empty(len(codes), dtype=np.int64)
    rank[sorted(range(len(codes)), key=codes.__getitem__)] = np.arange(len(codes))
    return rank


def _steps(order: ProvingOrder) -> Iterator[Row]:
    at = 0
    for number, layer in enumerate(order.layers, 1):
        for loop in layer.loops:
            at += 1
            yield from (Row(Deed.OPEN, o.links[0], number, at, 0, o) for o in loop.openings)
            for turn, links in enumerate(loop.rounds, 1):
                yield from (Row(Deed.PROVE, link, number, at, turn) for link in links)
            yield from (Row(Deed.CLOSE, o.links[0], number, at, 0, o) for o in loop.closings)
        yield from (Row(Deed.PROVE, link, number, 0, 0) for link in layer.links)


def steps_shown(kept: KnownOrder, part: Sequence[Row], first: int) -> list[Step]:
    """Name the links of a part of the order, in one read; `first` is the number of its first step."""
    wanted = {link for row in part for link in row.links}
    ids = {link: int(kept.known.link_ids[link]) for link in wanted}
    links = Interconnect.objects.select_related("signal", "source__slot", "load__slot").in_bulk(set(ids.values()))
    before: list[tuple[object, ...]] = [(), *(row.part for row in part)]
    return [
        Step(first + at, row, tuple(links[ids[link]] for link in row.links), row.part != before[at])
        for at, row in enumerate(part)
    ]


def loops_shown(kept: KnownOrder) -> list[LoopShown]:
    """The largest loops with the codes of their slots, in one read."""
    chosen = kept.loops[:SHOWN_LOOPS]
    wanted = [slot for _, loop in chosen for slot in loop.slots[:SHOWN_SLOTS]]
    codes = dict(zip(wanted, kept.known.slot_codes(wanted), strict=True)) if wanted else {}
    return [
        LoopShown(
            number,
            loop,
            tuple(sorted(codes[slot] for slot in loop.slots[:SHOWN_SLOTS])),
            max(0, len(loop.slots) - SHOWN_SLOTS),
        )
        for number, loop in chosen
    ]


def own_links_shown(kept: KnownOrder) -> list[Interconnect]:
    """The first links that lead back into their own slot, in one read."""
    ids = [int(kept.known.link_ids[link]) for link in kept.own_links[:SHOWN_SELF]]
    return list(Interconnect.objects.filter(pk__in=ids).select_related("source__slot", "load__slot"))


def sentence(kept: KnownOrder) -> str:
    """Say how many loops hold how much of the machine, and how the rest is proved."""
    total = kept.known.graph.link_count
    layers = f"proved in {_so_many(len(kept.order.layers), 'layer')}"
    if not total:
        return "There are no links yet, so there is nothing to prove in order."
    every = kept.order.loops
    if not every:
        links = _so_many(total, "link")
        return f"No loop holds any of the {links}: all is {layers}, each after what comes before it."
    held = sum(loop.link_count for loop in every)
    openings = sum(len(loop.openings) for loop in every)
    found = (
        f"{_so_many(len(every), 'loop')} {'holds' if len(every) == 1 else 'hold'} {held:,} of {_so_many(total, 'link')}"
    )
    opens = f"opening {'it' if len(every) == 1 else 'them'} at {_so_many(openings, 'source')}"
    turns = len(max(every, key=lambda loop: loop.link_count).rounds)
    rounds = _so_many(turns, "round")
    if held == total and len(every) == 1:
        return f"{found}; {opens} frees all of it, and it is proved in {rounds} while open, then closed."
    largest = f", {'the loop' if len(every) == 1 else 'the largest loop'} in {rounds} while open" if turns else ""
    return f"{found}; {opens} frees every link in {'it' if len(every) == 1 else 'them'}, and all is {layers}{largest}."


def _so_many(count: int, noun: str) -> str:
    return f"{count:,} {noun}{'' if count == 1 else 's'}"
