"""What a change can be felt by: slots and wires around it, and the questions that are asked of whoever knows them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from restoration.engineering.doubt.records import Item


@dataclass(frozen=True)
class Spot:
    """A slot, and where one comes to it when one walks along the racks."""

    pk: int
    code: str
    rack: str = ""
    rack_position: int = 0
    position: int = 0

    @property
    def on_the_walk(self) -> tuple[int, str, int, str]:
        """Its place in the walking order: racks as they stand on the floor, slots from the top."""
        return (self.rack_position, self.rack, self.position, self.code)


@dataclass(frozen=True)
class Wire:
    """An interconnect between two slots (or two terminals of one)."""

    pk: int
    code: str
    source: Spot
    load: Spot
    is_critical: bool = False

    @property
    def item(self) -> Item:
        """The interconnect as a thing that has gates."""
        return Item("interconnect", self.pk, self.code)


@dataclass(frozen=True)
class Area:
    """Slots that feel a change together: one slot, those on a rail, those of racks, those of racks on an earth.

    Just one of the four is given; racks may be given with the earth that they are touched through.
    """

    slot: int | None = None
    rail: int | None = None
    earth: int | None = None
    racks: tuple[int, ...] = ()


@dataclass(frozen=True)
class Met:
    """A wire that ends in an area, and the slot of the area where it does; one with both ends there is met twice."""

    wire: Wire
    at: Spot


@dataclass(frozen=True)
class Seat:
    """A chassis, and the slot it is fitted in; none where it is not in a rack."""

    chassis: Item
    spot: Spot | None = None


@dataclass(frozen=True)
class AtStage:
    """The wires into a stage and out of it."""

    into: tuple[Wire, ...] = ()
    out_of: tuple[Wire, ...] = ()


@dataclass(frozen=True)
class Walked:
    """A wire come to on a walk, and the place in the walk of the wire gone through just before it; none at first."""

    wire: Wire
    before: int | None = None


@dataclass(frozen=True)
class Belonging:
    """A group, and the slot or the wire by which it has a part in an area."""

    group: Item
    spot: Spot | None = None
    wire: Wire | None = None


@dataclass(frozen=True)
class Made:
    """A record that was made with an instrument: of which item and gate, and its name for people."""

    item: Item
    gate: str
    record: str


@dataclass(frozen=True)
class Older:
    """A chassis that is not built to an issue, and the letter it is built to; empty where nobody wrote it down."""

    chassis: Item
    letter: str


class Surroundings(Protocol):
    """Whoever knows the machine answers these, each in a fixed number of reads."""

    def spot(self, slot: int) -> Spot:
        """A slot."""

    def seat(self, chassis: int) -> Seat:
        """A chassis, and where it is fitted."""

    def seats(self, area: Area) -> Sequence[Seat]:
        """The chassis fitted in an area."""

    def wire(self, link: int) -> Wire:
        """An interconnect."""

    def wires(self, area: Area, *, critical: bool = False) -> Sequence[Met]:
        """The wires with an end in an area, once for each end there; within one slot only at the source.

        `critical` leaves out those that are not.
        """

    def at_stage(self, slot: int, stage: int | None) -> AtStage:
        """The wires into and out of a stage of what is in a slot; without a stage, of the slot as one stage."""

    def others_on_source(self, link: int) -> Sequence[Wire]:
        """The other wires on the source of this one."""

    def loom_of(self, link: int) -> tuple[str, Sequence[Wire]]:
        """The loom of a wire, and its other wires; nothing where it runs in none."""

    def walk(self, slot: int) -> Sequence[Walked]:
        """The wires downstream of a slot, nearest first, each once and by the fewest wires.

        The walk goes on behind every stage but a barrier; the wires into a barrier are come to.
        """

    def racks(self, area: Area) -> Sequence[Item]:
        """The racks of an area, as they stand on the floor."""

    def groups(self, area: Area) -> Sequence[Belonging]:
        """The groups with a member slot in an area, and those that name a wire which ends there."""

    def groups_of(self, links: Sequence[int]) -> Sequence[tuple[Item, int]]:
        """The groups that each of these wires belongs to."""

    def rail(self, rail: int) -> tuple[str, str]:
        """The code of a rail, and what it carries: heaters, HT or bias."""

    def earth(self, earth: int) -> str:
        """The code of an earth."""

    def issue(self, issue: int) -> str:
        """A drawing issue in words: "drawing KS-207 issue E"."""

    def older_units(self, issue: int) -> Sequence[Older]:
        """The chassis of the design that are built to an issue before this one, or to nobody knows which."""

    def instrument(self, instrument: int) -> str:
        """The mark of an instrument."""

    def made_with(self, instrument: int, since: datetime) -> Sequence[Made]:
        """The records in force made with an instrument after a moment."""
