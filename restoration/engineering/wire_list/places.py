"""The racks, slots and terminals that a wire list names, against those that are known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import NamedTuple

from restoration.engineering.wire_list.known import End, KnownWiring
from restoration.engineering.wire_list.refusals import Refusal, shown
from restoration.engineering.wire_list.wires import WireColumns


class SlotRack(NamedTuple):
    """A slot and the rack it stands in; the rack is blank where the list says none."""

    slot: str
    rack: str


@dataclass(frozen=True, slots=True)
class Places:
    """What a list names, in the order it does: racks, slots with their rack, terminals.

    ``stated`` holds each slot with each rack given for it, blanks among them. ``sources`` and
    ``loads`` run beside the wires and number their ends by the place in ``terminals``.
    """

    stated: tuple[SlotRack, ...]
    racks: tuple[str, ...]
    slots: dict[str, str]
    terminals: tuple[End, ...]
    sources: Sequence[int]
    loads: Sequence[int]

    def new_racks(self, known: KnownWiring) -> tuple[str, ...]:
        """Racks that are not known yet."""
        return tuple(rack for rack in self.racks if rack not in known.racks)

    def new_slots(self, known: KnownWiring) -> tuple[SlotRack, ...]:
        """Slots that are not known yet, with the rack the list gives them."""
        return tuple(SlotRack(slot, rack) for slot, rack in self.slots.items() if slot not in known.slots)

    def new_terminals(self, known: KnownWiring) -> tuple[End, ...]:
        """Terminals that are not known yet."""
        return tuple(end for end in self.terminals if end not in known.terminals)

    def filled_racks(self, known: KnownWiring) -> tuple[SlotRack, ...]:
        """Known slots without a rack to which the list gives one."""
        return tuple(
            SlotRack(slot, rack) for slot, rack in self.slots.items() if rack and known.slots.get(slot, rack) == ""
        )


class Numbers(dict[End, int]):
    """Numbers terminals from 0 in the order they are first asked for."""

    def __missing__(self, end: End) -> int:
        self[end] = number = len(self)
        return number


def places_named(wires: WireColumns) -> Places:
    """Gather the racks, slots and terminals that wires name; a slot has the first rack stated for it.

    >>> from restoration.engineering.wire_list.wires import WireRow, in_columns
    >>> row = WireRow(2, "", "", "R1", "B-05", "7", "", "C-04", "2", "", "", None, "", None, "")
    >>> named = places_named(in_columns([row]))
    >>> named.racks, named.slots, named.terminals, named.loads
    (('R1',), {'B-05': 'R1', 'C-04': ''}, (('B-05', '7'), ('C-04', '2')), [1])
    """
    at_source = zip(wires.from_slot, wires.from_rack, strict=True)
    at_load = zip(wires.to_slot, wires.to_rack, strict=True)
    stated = tuple(SlotRack(slot, rack) for slot, rack in dict.fromkeys(chain(at_source, at_load)))
    slots = dict.fromkeys((slot for slot, _ in stated), "")
    for slot, rack in stated:
        slots[slot] = slots[slot] or rack
    number = Numbers()
    sources = list(map(number.__getitem__, zip(wires.from_slot, wires.from_terminal, strict=True)))
    loads = list(map(number.__getitem__, zip(wires.to_slot, wires.to_terminal, strict=True)))
    racks = tuple(dict.fromkeys(rack for _, rack in stated if rack))
    return Places(stated, racks, slots, tuple(number), sources, loads)


def racks_that_disagree(wires: WireColumns, named: Places, known: KnownWiring) -> Iterator[Refusal]:
    """Refuse each cell that puts a slot in another rack than the records or an earlier line do.

    A blank rack cell says nothing.
    """
    racks: dict[str, set[str]] = {}
    for slot, rack in named.stated:
        if rack:
            racks.setdefault(slot, set(filter(None, [known.slots.get(slot)]))).add(rack)
    torn = {slot for slot, stated in racks.items() if len(stated) > 1}
    return _torn_cells(wires, torn, known) if torn else iter(())


def _torn_cells(wires: WireColumns, torn: set[str], known: KnownWiring) -> Iterator[Refusal]:
    stated = {slot: (known.slots[slot], "by the records") for slot in torn if known.slots.get(slot)}
    for row in wires.rows():
        for column, slot, rack in (
            ("from_rack", row.from_slot, row.from_rack),
            ("to_rack", row.to_slot, row.to_rack),
        ):
            if slot not in torn or not rack:
                continue
            before, where = stated.setdefault(slot, (rack, f"on line {row.line}"))
            if rack != before:
                reason = (
                    f"The slot “{shown(slot)}” is put in the rack “{shown(rack)}” here and in “{shown(before)}” "
                    f"{where}; a slot stands in one rack."
                )
                yield Refusal(row.line, column, shown(rack), reason)


@dataclass(frozen=True, slots=True)
class Unknown:
    """The racks, slots and terminals that a list names and the records do not."""

    racks: frozenset[str]
    slots: frozenset[str]
    terminals: frozenset[End]


def unknown_places(wires: WireColumns, named: Places, known: KnownWiring) -> Iterator[Refusal]:
    """Refuse each cell that names a rack, slot or terminal not known; for lists that may create none."""
    unknown = Unknown(
        frozenset(named.new_racks(known)),
        frozenset(slot for slot, _ in named.new_slots(known)),
        frozenset(named.new_terminals(known)),
    )
    if unknown.racks or unknown.slots or unknown.terminals:
        for row in wires.rows():
            yield from _unknown_at(row.line, "from", row.from_rack, row.source, unknown)
            yield from _unknown_at(row.line, "to", row.to_rack, row.load, unknown)


def _unknown_at(line: int, end: str, rack: str, place: End, unknown: Unknown) -> Iterator[Refusal]:
    slot, terminal = place
    advice = "correct it, or let the import create what is missing."
    if rack in unknown.racks:
        yield Refusal(line, f"{end}_rack", rack, f"No rack “{rack}” is known; {advice}")
    if slot in unknown.slots:
        yield Refusal(line, f"{end}_slot", slot, f"No slot “{slot}” is known; {advice}")
    elif place in unknown.terminals:
        reason = f"The slot “{slot}” has no terminal “{terminal}”; {advice}"
        yield Refusal(line, f"{end}_terminal", terminal, reason)
