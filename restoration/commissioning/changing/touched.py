"""What a change was done to, as rows; and the same as a subject for the rules of doubt."""

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypedDict

from restoration.engineering.doubt import Kind, Subject
from restoration.machine.models import (
    Chassis,
    DesignIssue,
    Earth,
    Fitting,
    Interconnect,
    Rack,
    Rail,
    Slot,
    Stage,
)
from restoration.proving.models import Instrument


class TouchedFields(TypedDict, total=False):
    """The fields that say what a change was done to; a kind of change needs a few of them."""

    chassis: Chassis | None
    slot: Slot | None
    stage: Stage | None
    interconnect: Interconnect | None
    rail: Rail | None
    earth: Earth | None
    issue: DesignIssue | None
    instrument: Instrument | None
    racks: tuple[Rack, ...]
    part: str
    was: str
    now: str
    since: datetime | None


@dataclass(frozen=True)
class Touched:
    """What a change was done to: the things, the part, and what it was and is now."""

    chassis: Chassis | None = None
    slot: Slot | None = None
    stage: Stage | None = None
    interconnect: Interconnect | None = None
    rail: Rail | None = None
    earth: Earth | None = None
    issue: DesignIssue | None = None
    instrument: Instrument | None = None
    racks: tuple[Rack, ...] = ()
    part: str = ""
    was: str = ""
    now: str = ""
    since: datetime | None = None
    taken_out: Chassis | None = None

    def subject(self, kind: Kind) -> Subject:
        """Name it for the rules, by row ids."""
        names = ("chassis", "slot", "stage", "rail", "earth", "issue", "instrument", "taken_out")
        ids = {name: getattr(self, name).pk for name in names if getattr(self, name) is not None}
        link = self.interconnect.pk if self.interconnect else None
        racks = tuple(rack.pk for rack in self.racks)
        return Subject(kind=kind, link=link, racks=racks, since=self.since, **ids)

    def fields(self) -> TouchedFields:
        """Give the fields of the row; the racks and what a swap took out are kept apart."""
        return {
            "chassis": self.chassis,
            "slot": self.slot,
            "stage": self.stage,
            "interconnect": self.interconnect,
            "rail": self.rail,
            "earth": self.earth,
            "issue": self.issue,
            "instrument": self.instrument,
            "part": self.part,
            "was": self.was,
            "now": self.now,
            "since": self.since,
        }


UNITS = frozenset({Kind.LIKE_VALVE, Kind.LIKE_PART, Kind.OTHER_PART})


def completed(kind: Kind, touched: Touched, at: datetime) -> Touched:
    """Fill in what follows: the chassis that was in a slot, the slot a chassis was in, all racks of a rest."""
    if kind in UNITS and touched.chassis is None and touched.slot is not None:
        return replace(touched, chassis=_chassis_in(touched.slot, at))
    if kind in UNITS and touched.slot is None and touched.chassis is not None:
        return replace(touched, slot=_slot_of(touched.chassis, at))
    if kind is Kind.SWAPPED and touched.taken_out is None and touched.slot is not None:
        return replace(touched, taken_out=_chassis_in(touched.slot, at))
    if kind is Kind.REST and not touched.racks:
        return replace(touched, racks=tuple(Rack.objects.in_order()))
    return touched


def _chassis_in(slot: Slot, at: datetime) -> Chassis | None:
    fitting = Fitting.objects.standing_at(at).filter(slot=slot).select_related("chassis__design").last()
    return fitting.chassis if fitting else None


def _slot_of(chassis: Chassis, at: datetime) -> Slot | None:
    fitting = Fitting.objects.standing_at(at).filter(chassis=chassis).select_related("slot").last()
    return fitting.slot if fitting else None
