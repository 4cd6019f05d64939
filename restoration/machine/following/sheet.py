"""Puts a sheet together: plates and folds, the wires between them, and the same hop by hop as a list."""

from dataclasses import dataclass, field

import numpy as np

from restoration.machine.following.asked import Asked
from restoration.machine.following.facts import Facts, LinkFacts, SlotFacts, facts_of
from restoration.machine.following.folding import DRAWN, Fold, Ints, Shown, Unfolded, fold
from restoration.machine.following.reaching import Followed, follow, racks_of
from restoration.machine.following.wires import Bundle, choose_wires
from restoration.machine.models import Rack, Slot
from restoration.machine.wiring import KnownWiring, Place, wiring_now


@dataclass(frozen=True)
class Plate:
    """One slot of the drawing; `beyond` slots are folded behind it, and `opens` is the address that shows the next.

    `more_back` links run back from it that are not shown one by one.
    """

    slot: SlotFacts
    hop: int
    beyond: int
    follows: str
    opens: str
    more_back: int = 0

    @property
    def says(self) -> str:
        """What is folded behind it."""
        return f"and {self.beyond} more beyond slot {self.slot.code}"


@dataclass(frozen=True)
class FoldPlate:
    """Several slots of one hop in one plate."""

    words: str
    hop: int
    beyond: int
    opens: str

    @property
    def says(self) -> str:
        """What is folded in it and behind it."""
        return f"{self.words}, and {self.beyond} more beyond them" if self.beyond else self.words


AnyPlate = Plate | FoldPlate


@dataclass(frozen=True)
class DrawnWire:
    """A wire between two plates, by their places; for a bundle `link` is None and `count` says how many.

    `back` says where it leads if not onward: "back to slot A-01".
    """

    source: int
    load: int
    hop: int
    link: LinkFacts | None = None
    count: int = 1
    terminal: str = ""
    back: str = ""


@dataclass(frozen=True)
class ListRow:
    """One line of the list: the slot that is reached, over which wire, and where it leads back to, if it does."""

    far: AnyPlate
    near: AnyPlate
    wire: DrawnWire
    is_down: bool

    @property
    def source_code(self) -> str:
        """The slot the wire comes from."""
        return _code_of(self.near if self.is_down else self.far)

    @property
    def load_code(self) -> str:
        """The slot the wire goes to."""
        return _code_of(self.far if self.is_down else self.near)


def _code_of(plate: "Plate | FoldPlate") -> str:
    return plate.slot.code if isinstance(plate, Plate) else plate.words


@dataclass
class Hop:
    """One hop of the list."""

    number: int
    slots: int
    rows: list[ListRow] = field(default_factory=list)
    folds: list[AnyPlate] = field(default_factory=list)

    @property
    def words(self) -> str:
        """The hop and how many slots are first reached with it, folded ones among them."""
        if not self.slots:
            return f"Hop {self.number}: only back to slots that were reached before" if self.number else "At the start"
        return f"Hop {self.number}: {self.slots} slot{'s' if self.slots > 1 else ''}"


@dataclass(frozen=True)
class Sheet:
    """All that a page about a followed signal shows."""

    asked: Asked
    start: SlotFacts
    plates: list[AnyPlate]
    wires: list[DrawnWire]
    hops: list[Hop]
    slot_count: int
    link_count: int
    farthest: int

    @property
    def heading(self) -> str:
        """What the sheet is about."""
        return f"{self.asked.stream} of {f'link {self.asked.link}' if self.asked.link else self.asked.place}"

    @property
    def sentence(self) -> str:
        """The answer: how many slots, over how many links, how far."""
        asked, count, links = self.asked, self.slot_count, self.link_count
        whose = f"link {asked.link}" if asked.link else asked.place
        if not count and links:
            return f"{whose} leads only back to its own slot, over {links} link{'' if links == 1 else 's'}."
        if not links:
            return f"Nothing is driven from {whose}." if asked.is_down else f"Nothing drives {whose}."
        slots = f"{count} slot{'' if count == 1 else 's'}"
        over = f"over {links} link{'' if links == 1 else 's'}"
        what = (
            f"{whose} drives {slots} {over}"
            if asked.is_down
            else f"{slots} drive{'s' if count == 1 else ''} {whose} {over}"
        )
        return f"{what}, the farthest {self.farthest} hop{'' if self.farthest == 1 else 's'} away."

    @property
    def has_back(self) -> bool:
        """Whether a wire is drawn that runs back."""
        return any(wire.back for wire in self.wires)

    @property
    def gate_names(self) -> str:
        """The gates whose marks stand on a plate, from left to right."""
        marked = (plate.slot.gates for plate in self.plates if isinstance(plate, Plate) and plate.slot.gates)
        return ", ".join(mark.gate for mark in next(marked, ()))

    @property
    def columns(self) -> list[int]:
        """In which column each plate stands: a signal runs from left to right, whichever way it is followed."""
        last = max(plate.hop for plate in self.plates)
        return [plate.hop if self.asked.is_down else last - plate.hop for plate in self.plates]


def sheet_of(asked: Asked, place: Place) -> Sheet:
    """Follow a signal as asked, in a constant number of reads."""
    wiring = wiring_now()
    followed = follow(wiring, place, is_down=asked.is_down)
    racks = racks_of(wiring)[followed.reached.slots]
    shown = fold(followed.reached, racks, asked.hops, _unfolded(asked, wiring, followed))
    chosen = choose_wires(followed, shown, wiring.graph.source, is_down=asked.is_down)
    facts = _facts(wiring, followed, shown, chosen.named.links, chosen.bundles)
    plates = _plates(asked, wiring, followed, shown, facts, chosen.more_back)
    named = chosen.named
    ids = wiring.link_ids[named.links].tolist()
    rows = zip(ids, named.sources.tolist(), named.loads.tolist(), named.hop.tolist(), strict=True)
    wires = [
        DrawnWire(source, load, hop, facts.links[pk], back=_back(plates[source], plates[load], asked.is_down))
        for pk, source, load, hop in rows
        if pk in facts.links
    ]
    wires += [_bundle(wiring, facts, each) for each in chosen.bundles]
    return Sheet(
        asked=asked,
        start=plates[0].slot,  # type: ignore[union-attr]
        plates=plates,
        wires=wires,
        hops=_hops(asked, followed, plates, wires),
        slot_count=len(followed.reached) - 1,
        link_count=len(followed.links),
        farthest=followed.hops,
    )


def _unfolded(asked: Asked, wiring: KnownWiring, followed: Followed) -> Unfolded:
    """Turn the codes of what was unfolded into places; what is not there, or was not reached, unfolds nothing."""
    beyond: list[int] = []
    if asked.open_slots:
        ids = list(Slot.objects.filter(code__in=asked.open_slots).order_by().values_list("pk", flat=True))
        reached = wiring.slot_ids[followed.reached.slots]
        beyond = np.flatnonzero(np.isin(reached, ids)).tolist()
    racks: list[int] = []
    if asked.open_racks:
        racks = list(Rack.objects.filter(code__in=asked.open_racks).order_by().values_list("pk", flat=True))
        racks += [0] if "" in asked.open_racks else []
    return Unfolded(beyond, racks, asked.open_hops)


def _facts(wiring: KnownWiring, followed: Followed, shown: Shown, links: Ints, bundles: tuple[Bundle, ...]) -> Facts:
    return facts_of(
        wiring.slot_ids[followed.reached.slots[shown.places]].tolist(),
        wiring.link_ids[links].tolist(),
        {each.racks[0] for each in shown.folds if len(each.racks) == 1 and each.racks[0]},
        {int(wiring.terminal_ids[each.terminal]) for each in bundles if each.terminal is not None},
    )


def _plates(
    asked: Asked, wiring: KnownWiring, followed: Followed, shown: Shown, facts: Facts, more_back: dict[int, int]
) -> list[AnyPlate]:
    reached = followed.reached
    ids = wiring.slot_ids[reached.slots[shown.places]].tolist()
    hops = reached.hop[shown.places].tolist()
    is_full = len(shown.places) + len(shown.folds) >= DRAWN
    plates: list[AnyPlate] = []
    for number, (pk, hop, beyond) in enumerate(zip(ids, hops, shown.beyond.tolist(), strict=True)):
        slot = facts.slots[pk]
        follows = asked.from_slot(slot.code).address if hop else ""
        opens = _opens(asked, slot.code, is_full) if beyond else ""
        plates.append(Plate(slot, hop, beyond, follows, opens, more_back.get(number, 0)))
    return plates + [_fold_plate(asked, each, facts) for each in shown.folds]


def _opens(asked: Asked, code: str, is_full: bool) -> str:
    """Where what lies beyond a slot is shown: on this sheet, or, once it takes no more, on one that begins there."""
    further = asked.from_slot(code) if is_full or code in asked.open_slots else asked.opening_slot(code)
    return further.address


def _fold_plate(asked: Asked, each: Fold, facts: Facts) -> FoldPlate:
    count = len(each.members)
    if len(each.racks) > 1:
        words, opens = f"{count} slots in {len(each.racks)} racks", asked.opening_hop(each.hop).address
    else:
        rack = facts.racks.get(each.racks[0], "")
        words = f"{count} slots in rack {rack}" if rack else f"{count} slots in no rack"
        opens = asked.opening_rack(rack).address
    return FoldPlate(words, each.hop, each.beyond, opens)


def _bundle(wiring: KnownWiring, facts: Facts, each: Bundle) -> DrawnWire:
    terminal = "" if each.terminal is None else facts.terminals.get(int(wiring.terminal_ids[each.terminal]), "")
    return DrawnWire(each.source, each.load, each.hop, count=each.count, terminal=terminal)


def _back(source: AnyPlate, load: AnyPlate, is_down: bool) -> str:
    """Where a wire leads that does not lead onward."""
    if source is load:
        return "back to its own slot"
    onward = load.hop > source.hop if is_down else load.hop < source.hop
    if onward:
        return ""
    return f"{'across' if load.hop == source.hop else 'back'} to slot {_code_of(load)}"


def _hops(asked: Asked, followed: Followed, plates: list[AnyPlate], wires: list[DrawnWire]) -> list[Hop]:
    """The list: every hop that is drawn, in it each wire followed there, the slots as they stand in the racks."""
    reached = [0, *np.bincount(followed.reached.hop)[1:].tolist()]
    hops: dict[int, Hop] = {}

    def of(number: int) -> Hop:
        return hops.setdefault(number, Hop(number, reached[number] if number < len(reached) else 0))

    for wire in wires:
        near, far = (wire.source, wire.load) if asked.is_down else (wire.load, wire.source)
        of(wire.hop).rows.append(ListRow(plates[far], plates[near], wire, asked.is_down))
    for plate in plates:
        if plate.opens:
            of(plate.hop).folds.append(plate)
    for hop in hops.values():
        hop.rows.sort(key=_row_order)
    return [hops[number] for number in sorted(hops)]


def _row_order(row: ListRow) -> tuple[bool, tuple[int, str, int, str], str]:
    code = row.wire.link.code if row.wire.link else ""
    if isinstance(row.far, FoldPlate):
        return True, (0, row.far.words, 0, ""), code
    return bool(row.wire.back), row.far.slot.order, code
