"""The interconnects that histories are gathered of, and what all of them share."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NamedTuple, Self

from django.db.models import Q

from restoration.commissioning.facts.fittings import fitting_rows, moves_of
from restoration.commissioning.facts.known import Known
from restoration.commissioning.facts.rows import Part, moment
from restoration.engineering.doubt import Reach
from restoration.engineering.standing import Change
from restoration.machine.models import Fitting, Interconnect, SignalLimit, Terminal, WiringChange

SAYS_SOMETHING = Q(least__isnull=False) | Q(most__isnull=False)
Limit = tuple[Any, ...]  # quantity, least, most


class Link(NamedTuple):
    """An interconnect as its row has it."""

    pk: int
    code: str
    signal: int | None
    source: int
    source_slot: int
    load_slot: int


@dataclass
class Wiring:
    """The interconnects asked about, and the other loads of their sources."""

    links: dict[int, Link]
    asked: Collection[int]
    on_source: dict[int, list[int]] = field(default_factory=lambda: defaultdict(list))

    @classmethod
    def of(cls, part: Part) -> Self:
        """Read the interconnects of a part of the machine."""
        rows = part.on_sources(Interconnect.objects.all(), "").values_list(
            "pk", "code", "signal_id", "source_id", "source__slot_id", "load__slot_id"
        )
        links = {row[0]: Link(*row) for row in rows.order_by().iterator(chunk_size=2000)}
        asked = links.keys() if part.ids is None else links.keys() & set(part.ids)
        wiring = cls(links, asked)
        for link in links.values():
            wiring.on_source[link.source].append(link.pk)
        return wiring

    def beside(self, pk: int) -> list[int]:
        """The other loads of the source of a link, those asked about."""
        others = self.on_source[self.links[pk].source]
        return [other for other in others if other != pk and other in self.asked] if len(others) > 1 else []

    @property
    def slots(self) -> set[int]:
        """The slots at which the links asked about end."""
        ends = (self.links[pk] for pk in self.asked)
        return {slot for link in ends for slot in (link.source_slot, link.load_slot)}


class TakenOff(NamedTuple):
    """A link that the wire list took off a source: row id and code, when, and the terminal row it had been at."""

    link: int
    code: str
    at: datetime
    source: int


@dataclass
class Around:
    """What stands around the interconnects: moves at their slots, limits of their signals, links that left a source."""

    at_slot: dict[int, list[Change]] = field(default_factory=lambda: defaultdict(list))
    limits: dict[int, set[Limit]] = field(default_factory=lambda: defaultdict(set))
    taken_off: dict[int, list[TakenOff]] = field(default_factory=lambda: defaultdict(list))

    @classmethod
    def of(cls, known: Known, wiring: Wiring | None) -> Self:
        """Read what stands around some interconnects, or, without them, around all."""
        around = cls()
        around._add_moves(known, None if wiring is None else wiring.slots)
        around._add_limits(None if wiring is None else {wiring.links[pk].signal for pk in wiring.asked})
        around._add_taken_off()
        return around

    def _add_moves(self, known: Known, slots: Collection[int] | None) -> None:
        fittings = Fitting.objects.all() if slots is None else Fitting.objects.filter(slot_id__in=slots)
        for row in fitting_rows(fittings):
            for move in moves_of(row, known):
                change = known.clause(move.kind, Reach.SLOT_LINKS).change(move.at, move.what)
                if change is not None:
                    self.at_slot[move.slot].append(change)

    def _add_limits(self, signals: Collection[int | None] | None) -> None:
        limits = SignalLimit.objects.filter(SAYS_SOMETHING)
        rows = limits if signals is None else limits.filter(signal_id__in={pk for pk in signals if pk})
        for signal, *limit in rows.values_list("signal_id", "quantity", "least", "most").order_by():
            self.limits[signal].add(tuple(limit))

    def _add_taken_off(self) -> None:
        rows = WiringChange.objects.filter(fields__has_key="source").values_list(
            "interconnect_id", "interconnect__code", moment("changed_at"), "fields"
        )
        moved = [(pk, code, at, str(fields["source"][0])) for pk, code, at, fields in rows.order_by()]
        terminals = terminals_painted({former for *_, former in moved}) if moved else {}
        for pk, code, at, former in moved:
            if former in terminals:
                self.taken_off[terminals[former]].append(TakenOff(pk, code, at, terminals[former]))


def terminals_painted(names: Iterable[str]) -> dict[str, int]:
    """Find terminals by what is painted beside them, "slot:terminal"; either part may hold a colon itself."""
    names = set(names)
    rows: Any = Terminal.objects.filter(slot__code__in=slots_painted(names)).values_list("pk", "slot__code", "code")
    painted = {f"{slot}:{code}": pk for pk, slot, code in rows}
    return {name: painted[name] for name in names if name in painted}


def slots_painted(names: Iterable[str]) -> set[str]:
    """Every slot code that may stand before a colon in these names."""
    return {name[:place] for name in names for place, sign in enumerate(name) if sign == ":"}
