"""How far a change is felt: for each reach, what it leads to from the thing that was changed, and by which steps."""

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property

from restoration.engineering.doubt.around import Area, Spot, Surroundings, Wire
from restoration.engineering.doubt.kinds import Kind, Reach
from restoration.engineering.doubt.records import Subject
from restoration.engineering.doubt.sampling import Reached
from restoration.engineering.doubt.ways import ways_there

HEATERS = "heaters"
OF_HEATERS = frozenset({"heaters on", "heaters proved"})
OF_HT = frozenset({"HT proved"})


class Reaching:
    """All that one change leads to; each reach is worked out once."""

    def __init__(self, subject: Subject, around: Surroundings) -> None:
        self.subject, self.around = subject, around
        self._found: dict[tuple[Reach, bool], tuple[Reached, ...]] = {}

    def by(self, reach: Reach, *, critical: bool = False) -> tuple[Reached, ...]:
        """What one reach leads to, as often as there are ways to it; groups are asked for apart.

        Where only critical wires count, a wide reach need not read the others.
        """
        key = (reach, critical and reach in WIDE)
        if key not in self._found:
            self._found[key] = tuple(_area_links(self, critical=True) if key[1] else REACHES[reach](self))
        return self._found[key]

    @cached_property
    def spot(self) -> Spot | None:
        """The slot that was worked at; that of the chassis where only the chassis was named."""
        if self.subject.slot is not None:
            return self.around.spot(self.subject.slot)
        return self.around.seat(self.subject.chassis).spot if self.subject.chassis is not None else None

    @cached_property
    def area(self) -> Area | None:
        """The slots that feel the change together; None for a change at a wire."""
        subject = self.subject
        if subject.kind is Kind.RAIL:
            return Area(rail=subject.rail)
        if subject.kind is Kind.EARTH:
            return Area(earth=subject.earth, racks=subject.racks)
        if subject.racks:
            return Area(racks=subject.racks)
        return Area(slot=self.spot.pk) if self.spot else None

    @cached_property
    def leaves_alone(self) -> frozenset[str]:
        """The gates that a change of a rail does not touch, because of what the rail carries."""
        if self.subject.kind is not Kind.RAIL or self.subject.rail is None:
            return frozenset()
        return OF_HT if self.rail[1] == HEATERS else OF_HEATERS

    @cached_property
    def rail(self) -> tuple[str, str]:
        """The code of the rail that was changed, and what it carries."""
        return self.around.rail(self.subject.rail or 0)

    @cached_property
    def wire(self) -> Wire | None:
        """The wire that was worked at."""
        return self.around.wire(self.subject.link) if self.subject.link is not None else None

    @cached_property
    def shared(self) -> tuple[str, ...]:
        """What the change is felt through, as the first step of a path."""
        area = self.area
        if area and area.rail is not None:
            return (f"rail {self.rail[0]}",)
        return (f"earth {self.around.earth(area.earth)}",) if area and area.earth is not None else ()

    def steps_to(self, spot: Spot) -> tuple[str, ...]:
        """The steps to a slot of the area."""
        through_rack = self.area and (self.area.racks or self.area.earth is not None)
        return (*self.shared, *((f"rack {spot.rack}",) if through_rack else ()), f"slot {spot.code}")


def _chassis(change: Reaching) -> Iterator[Reached]:
    """The chassis worked on, and the one taken out; without either, what is in the slot."""
    subject, spot = change.subject, change.spot
    named = [pk for pk in (subject.chassis, subject.taken_out) if pk is not None]
    units = [change.around.seat(pk).chassis for pk in named]
    if not named and spot:
        units = [seat.chassis for seat in change.around.seats(Area(slot=spot.pk))]
    lead = (f"slot {spot.code}",) if spot else ()
    for unit in units:
        yield Reached(unit, (*lead, f"chassis {unit.code}"), spot=spot)


def _stage_out(change: Reaching) -> Iterator[Reached]:
    """The wires out of the stage."""
    if change.spot:
        outward = change.around.at_stage(change.spot.pk, change.subject.stage).out_of
        yield from (_at_slot(change.spot, wire) for wire in outward)


def _stage_in_out(change: Reaching) -> Iterator[Reached]:
    """The wires out of the stage and into it."""
    if change.spot:
        stage = change.around.at_stage(change.spot.pk, change.subject.stage)
        yield from (_at_slot(change.spot, wire) for wire in (*stage.out_of, *stage.into))


def _slot_links(change: Reaching) -> Iterator[Reached]:
    """Every wire with an end at the slot."""
    if change.spot:
        yield from (_at_slot(met.at, met.wire) for met in change.around.wires(Area(slot=change.spot.pk)))


def _to_barrier(change: Reaching) -> Iterator[Reached]:
    """The wires downstream of the slot, up to and into the stages that restore the pulse."""
    if change.spot:
        walk = change.around.walk(change.spot.pk)
        for walked, through in zip(walk, ways_there(walk), strict=True):
            last = walked.wire
            steps = (f"slot {change.spot.code}", *through, f"link {last.code}")
            spot = change.spot if walked.before is None else last.source
            yield _wire(last, steps, f"load at {last.load.code}", spot)


def _link(change: Reaching) -> Iterator[Reached]:
    """The wire itself."""
    if wire := change.wire:
        yield _wire(wire, (f"link {wire.code}",), "", wire.source)


def _source(change: Reaching) -> Iterator[Reached]:
    """The other loads on its source."""
    if this := change.wire:
        for wire in change.around.others_on_source(this.pk):
            steps = (f"link {this.code}", f"source at {this.source.code}", f"link {wire.code}")
            yield _wire(wire, steps, f"load at {wire.load.code}", wire.source)


def _loom(change: Reaching) -> Iterator[Reached]:
    """The other wires of its loom."""
    if this := change.wire:
        name, wires = change.around.loom_of(this.pk)
        for wire in wires:
            yield _wire(wire, (f"link {this.code}", f"loom {name}", f"link {wire.code}"), "", wire.source)


def _area_chassis(change: Reaching) -> Iterator[Reached]:
    """The chassis fitted in the area; of one that is in no rack, itself."""
    if change.area is None:
        yield from _chassis(change)
        return
    for seat in change.around.seats(change.area):
        if seat.spot:
            steps = (*change.steps_to(seat.spot), f"chassis {seat.chassis.code}")
            yield Reached(seat.chassis, steps, spot=seat.spot, leaves_alone=change.leaves_alone)


def _area_links(change: Reaching, *, critical: bool = False) -> Iterator[Reached]:
    """The wires with an end in the area, or the critical ones among them."""
    if change.area:
        for met in change.around.wires(change.area, critical=critical):
            yield _wire(met.wire, (*change.steps_to(met.at), f"link {met.wire.code}"), "", met.at)


def _racks(change: Reaching) -> Iterator[Reached]:
    """The racks of the area; what is felt at one slot alone does not reach its rack."""
    if change.area and change.area.slot is None:
        for place, rack in enumerate(change.around.racks(change.area)):
            steps = (*change.shared, f"rack {rack.code}")
            walk = Spot(0, "", rack.code, place)
            yield Reached(rack, steps, spot=walk, leaves_alone=change.leaves_alone)


def _older_units(change: Reaching) -> Iterator[Reached]:
    """The chassis built to an older issue."""
    if change.subject.issue is not None:
        title = change.around.issue(change.subject.issue)
        for unit in change.around.older_units(change.subject.issue):
            built = f"built to issue {unit.letter}" if unit.letter else "issue not recorded"
            yield Reached(unit.chassis, (title, f"chassis {unit.chassis.code}, {built}, for a decision"))


def _made_with(change: Reaching) -> Iterator[Reached]:
    """The records made with the instrument since it was last known to be good."""
    subject = change.subject
    if subject.instrument is not None and subject.since is not None:
        mark = f"instrument {change.around.instrument(subject.instrument)}"
        for made in change.around.made_with(subject.instrument, subject.since):
            noun = "link" if made.item.kind == "interconnect" else made.item.kind
            steps = (mark, made.record, f"{noun} {made.item.code}")
            yield Reached(made.item, steps, only=made.gate, record=made.record)


def _wire(wire: Wire, steps: tuple[str, ...], end: str, spot: Spot) -> Reached:
    return Reached(wire.item, steps, end, spot, wire.is_critical)


def _at_slot(spot: Spot, wire: Wire) -> Reached:
    end = f"load at {wire.load.code}" if wire.source == spot else f"source at {wire.source.code}"
    return _wire(wire, (f"slot {spot.code}", f"link {wire.code}"), end, spot)


WIDE = frozenset({Reach.RAIL_LINKS, Reach.RACK_LINKS})
REACHES: dict[Reach, Callable[[Reaching], Iterable[Reached]]] = {
    Reach.CHASSIS: _chassis,
    Reach.STAGE_OUT: _stage_out,
    Reach.STAGE_IN_OUT: _stage_in_out,
    Reach.SLOT_LINKS: _slot_links,
    Reach.TO_BARRIER: _to_barrier,
    Reach.LINK: _link,
    Reach.SOURCE: _source,
    Reach.LOOM: _loom,
    Reach.RAIL_CHASSIS: _area_chassis,
    Reach.RAIL_LINKS: _area_links,
    Reach.RACKS: _racks,
    Reach.RACK_CHASSIS: _area_chassis,
    Reach.RACK_LINKS: _area_links,
    Reach.OLDER_UNITS: _older_units,
    Reach.MADE_WITH: _made_with,
}
"""How each reach is followed; groups depend on what else was touched, and stand in `group_reach`."""
