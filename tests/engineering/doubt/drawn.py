"""A machine drawn by hand, and the answers to every question about it, worked out in the plainest way there is.

It knows nothing of graphs in arrays nor of a database, so that it can be held against what does.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from restoration.engineering.doubt.around import Area, AtStage, Belonging, Made, Met, Older, Seat, Spot, Walked, Wire
from restoration.engineering.doubt.kinds import Kind
from restoration.engineering.doubt.records import Item, Subject


@dataclass(frozen=True)
class DrawnStage:
    """A stage of a design, with the marks of the terminals into it and out of it."""

    name: str
    into: tuple[str, ...]
    out_of: tuple[str, ...]
    is_barrier: bool = False


@dataclass(frozen=True)
class DrawnWire:
    """A wire between two terminals, each named slot:terminal."""

    code: str
    source: str
    load: str
    is_critical: bool = False
    loom: str = ""


@dataclass(frozen=True)
class DrawnChassis:
    """A unit, its design, the issue it is built to, and the slot it is in."""

    serial: str
    design: str
    letter: str = ""
    slot: str = ""


@dataclass(frozen=True)
class DrawnRecord:
    """A bench test of a chassis or a signal check of a link, with what, and when."""

    of: str
    instrument: str
    at: datetime


@dataclass(frozen=True)
class Drawing:
    """All that is drawn. Racks stand in the order given, slots hang in it from the top; issues follow each other."""

    racks: dict[str, tuple[str, ...]] = field(default_factory=dict)
    wires: tuple[DrawnWire, ...] = ()
    designs: dict[str, tuple[DrawnStage, ...]] = field(default_factory=dict)
    slots_of_design: dict[str, str] = field(default_factory=dict)
    chassis: tuple[DrawnChassis, ...] = ()
    rails: dict[str, tuple[str, tuple[str, ...]]] = field(default_factory=dict)
    earths: dict[str, tuple[str, ...]] = field(default_factory=dict)
    groups: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = field(default_factory=dict)
    issues: dict[str, tuple[str, ...]] = field(default_factory=dict)
    bench_tests: tuple[DrawnRecord, ...] = ()
    signal_checks: tuple[DrawnRecord, ...] = ()

    @property
    def slots(self) -> tuple[str, ...]:
        """Every slot, along the walk."""
        return tuple(slot for slots in self.racks.values() for slot in slots)

    def with_barriers(self, *designs: str) -> "Drawing":
        """The same machine, every stage of these designs a barrier."""
        made = {
            number: tuple(replace(stage, is_barrier=True) for stage in stages) if number in designs else stages
            for number, stages in self.designs.items()
        }
        return replace(self, designs=made)


def slot_of(terminal: str) -> str:
    """The slot of a terminal named slot:terminal."""
    return terminal.partition(":")[0]


def mark_of(terminal: str) -> str:
    """The mark of a terminal named slot:terminal."""
    return terminal.partition(":")[2]


class Numbers:
    """Gives each name a number, and finds it again."""

    def __init__(self, first: int) -> None:
        self.first = first
        self.names: list[str] = []

    def __call__(self, name: str) -> int:
        if name not in self.names:
            self.names.append(name)
        return self.first + self.names.index(name)

    def name(self, number: int) -> str:
        return self.names[number - self.first]


class DrawnAround:
    """Answers the questions of a change about a drawn machine."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        words = ("slot", "wire", "chassis", "rack", "rail", "earth", "group", "issue", "instrument", "stage")
        self.numbers = {word: Numbers(1000 * (place + 1)) for place, word in enumerate(words)}

    def subject(self, kind: Kind, **names: object) -> Subject:
        """A subject by names: `stage` and `issue` as "design/name", racks as a tuple of codes."""
        numbered = {
            "slot": "slot",
            "chassis": "chassis",
            "taken_out": "chassis",
            "link": "wire",
            "rail": "rail",
            "earth": "earth",
            "issue": "issue",
            "instrument": "instrument",
            "stage": "stage",
        }
        given: dict[str, object] = {}
        for key, name in names.items():
            if key == "racks":
                given[key] = tuple(self.numbers["rack"](code) for code in name)  # type: ignore[attr-defined]
            else:
                given[key] = self.numbers[numbered[key]](str(name)) if key in numbered else name
        return Subject(kind, **given)  # type: ignore[arg-type]

    # the machine

    def _spot(self, code: str) -> Spot:
        for place, (rack, slots) in enumerate(self.drawing.racks.items()):
            if code in slots:
                return Spot(self.numbers["slot"](code), code, rack, place + 1, slots.index(code) + 1)
        raise LookupError(f"Slot {code} is not drawn.")

    def _wire(self, drawn: DrawnWire) -> Wire:
        source, load = self._spot(slot_of(drawn.source)), self._spot(slot_of(drawn.load))
        return Wire(self.numbers["wire"](drawn.code), drawn.code, source, load, drawn.is_critical)

    def _drawn(self, link: int) -> DrawnWire:
        code = self.numbers["wire"].name(link)
        return next(wire for wire in self.drawing.wires if wire.code == code)

    def _item(self, serial: str) -> Item:
        return Item("chassis", self.numbers["chassis"](serial), serial)

    def _slots(self, area: Area) -> set[str]:
        if area.slot is not None:
            return {self.numbers["slot"].name(area.slot)}
        if area.rail is not None:
            return set(self.drawing.rails[self.numbers["rail"].name(area.rail)][1])
        return {slot for rack in self._racks(area) for slot in self.drawing.racks[rack]}

    def _racks(self, area: Area) -> list[str]:
        if area.rail is not None:
            slots = self._slots(area)
            return [rack for rack, held in self.drawing.racks.items() if slots & set(held)]
        if area.racks:
            named = {self.numbers["rack"].name(rack) for rack in area.racks}
        else:
            named = set(self.drawing.earths[self.numbers["earth"].name(area.earth or 0)])
        return [rack for rack in self.drawing.racks if rack in named]

    # the questions

    def spot(self, slot: int) -> Spot:
        return self._spot(self.numbers["slot"].name(slot))

    def seat(self, chassis: int) -> Seat:
        serial = self.numbers["chassis"].name(chassis)
        drawn = next(unit for unit in self.drawing.chassis if unit.serial == serial)
        return Seat(self._item(serial), self._spot(drawn.slot) if drawn.slot else None)

    def seats(self, area: Area) -> Sequence[Seat]:
        slots = self._slots(area)
        return [
            Seat(self._item(unit.serial), self._spot(unit.slot)) for unit in self.drawing.chassis if unit.slot in slots
        ]

    def wire(self, link: int) -> Wire:
        return self._wire(self._drawn(link))

    def wires(self, area: Area, *, critical: bool = False) -> Sequence[Met]:
        slots = self._slots(area)
        made = [self._wire(drawn) for drawn in self.drawing.wires if drawn.is_critical or not critical]
        leaving = [Met(wire, wire.source) for wire in made if wire.source.code in slots]
        coming = [Met(wire, wire.load) for wire in made if wire.load.code in slots]
        if area.slot is not None:
            coming = [met for met in coming if met.wire.source != met.wire.load]
        return coming + leaving

    def at_stage(self, slot: int, stage: int | None) -> AtStage:
        code = self.numbers["slot"].name(slot)
        out_of = [wire for wire in self.drawing.wires if slot_of(wire.source) == code]
        into = [wire for wire in self.drawing.wires if slot_of(wire.load) == code]
        if stage is not None:
            design, _, name = self.numbers["stage"].name(stage).partition("/")
            stages = self.drawing.designs[design]
            this = next(drawn for drawn in stages if drawn.name == name)
            named = {mark for drawn in stages for mark in (*drawn.into, *drawn.out_of)}
            out_of = [w for w in out_of if mark_of(w.source) in this.out_of or mark_of(w.source) not in named]
            into = [w for w in into if mark_of(w.load) in this.into or mark_of(w.load) not in named]
        return AtStage(tuple(self._wire(w) for w in into), tuple(self._wire(w) for w in out_of))

    def others_on_source(self, link: int) -> Sequence[Wire]:
        this = self._drawn(link)
        return [self._wire(w) for w in self.drawing.wires if w.source == this.source and w != this]

    def loom_of(self, link: int) -> tuple[str, Sequence[Wire]]:
        this = self._drawn(link)
        others = [w for w in self.drawing.wires if this.loom and w.loom == this.loom and w != this]
        return this.loom, [self._wire(w) for w in others]

    def walk(self, slot: int) -> Sequence[Walked]:
        code = self.numbers["slot"].name(slot)
        walk: list[tuple[DrawnWire, int | None]] = []
        walk += [(wire, None) for wire in self.drawing.wires if slot_of(wire.source) == code]
        for place, (wire, _) in enumerate(walk):  # which grows while it is walked
            seen = {walked for walked, _ in walk}
            walk += [(after, place) for after in self._behind(wire) if after not in seen]
        return [Walked(self._wire(wire), before) for wire, before in walk]

    def _behind(self, wire: DrawnWire) -> Iterator[DrawnWire]:
        """The wires that what comes by this one goes on by, where no barrier stops it."""
        slot, mark = slot_of(wire.load), mark_of(wire.load)
        reached = self._outputs(slot, mark)
        for after in self.drawing.wires:
            if slot_of(after.source) == slot and (
                reached is None or mark_of(after.source) in reached or after.source == wire.load
            ):
                yield after

    def _outputs(self, slot: str, mark: str) -> set[str] | None:
        """The outputs that an input reaches; None for all."""
        stages = self.drawing.designs.get(self.drawing.slots_of_design.get(slot, ""), ())
        if not stages:
            return None
        named = {name for stage in stages for name in (*stage.into, *stage.out_of)}
        entered = [stage for stage in stages if mark in stage.into or mark not in named]
        ends = {mark_of(wire.source) for wire in self.drawing.wires if slot_of(wire.source) == slot}
        passed = [stage for stage in entered if not stage.is_barrier]
        return {name for stage in passed for name in (*stage.out_of, *(ends - named))}

    def racks(self, area: Area) -> Sequence[Item]:
        return [Item("rack", self.numbers["rack"](code), code) for code in self._racks(area)]

    def groups(self, area: Area) -> Sequence[Belonging]:
        slots, found = self._slots(area), []
        for code, (members, links) in self.drawing.groups.items():
            group = Item("group", self.numbers["group"](code), code)
            found += [Belonging(group, spot=self._spot(slot)) for slot in members if slot in slots]
            for drawn in (wire for wire in self.drawing.wires if wire.code in links):
                ends = {slot_of(drawn.source), slot_of(drawn.load)} & slots
                found += [Belonging(group, self._spot(end), self._wire(drawn)) for end in ends]
        return found

    def groups_of(self, links: Sequence[int]) -> Sequence[tuple[Item, int]]:
        found = []
        for code, (members, named) in self.drawing.groups.items():
            group = Item("group", self.numbers["group"](code), code)
            for link in links:
                wire = self._drawn(link)
                if wire.code in named or {slot_of(wire.source), slot_of(wire.load)} <= set(members):
                    found.append((group, link))
        return found

    def rail(self, rail: int) -> tuple[str, str]:
        code = self.numbers["rail"].name(rail)
        return code, self.drawing.rails[code][0]

    def earth(self, earth: int) -> str:
        return self.numbers["earth"].name(earth)

    def issue(self, issue: int) -> str:
        design, _, letter = self.numbers["issue"].name(issue).partition("/")
        return f"drawing {design} issue {letter}"

    def older_units(self, issue: int) -> Sequence[Older]:
        design, _, letter = self.numbers["issue"].name(issue).partition("/")
        letters = self.drawing.issues[design]
        before = {*letters[: letters.index(letter)], ""}
        units = [unit for unit in self.drawing.chassis if unit.design == design and unit.letter in before]
        return [Older(self._item(unit.serial), unit.letter) for unit in units]

    def instrument(self, instrument: int) -> str:
        return self.numbers["instrument"].name(instrument)

    def made_with(self, instrument: int, since: datetime) -> Sequence[Made]:
        mark = self.numbers["instrument"].name(instrument)
        tests = [
            Made(self._item(record.of), "bench-tested", f"bench test {place + 1}")
            for place, record in enumerate(self.drawing.bench_tests)
            if record.instrument == mark and record.at > since
        ]
        checks = [
            Made(
                Item("interconnect", self.numbers["wire"](record.of), record.of),
                "signal-checked",
                f"signal check {place + 1}",
            )
            for place, record in enumerate(self.drawing.signal_checks)
            if record.instrument == mark and record.at > since
        ]
        return tests + checks
