"""What stands around a change, read from the database: the questions of `engineering.doubt`, a few reads each."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from typing import Any

from django.db.models import Q, QuerySet

from restoration.commissioning.groups import groups_of_links
from restoration.commissioning.models import Group
from restoration.commissioning.walks import walk_to_barriers
from restoration.engineering.doubt.around import Area, AtStage, Belonging, Made, Met, Older, Seat, Spot, Walked, Wire
from restoration.engineering.doubt.records import Item
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
    StagePort,
)
from restoration.machine.models.stages import Way
from restoration.proving.models import BenchTest, Instrument, SignalCheck

SPOT = ("pk", "code", "rack__code", "rack__position", "position")
GROUP = ("group_id", "group__code")


def spot_fields(to_slot: str) -> list[str]:
    """The columns of a slot, by the way that leads to it."""
    return [f"{to_slot}__{field}" for field in SPOT]


WIRE = ["pk", "code", "is_critical", *spot_fields("source__slot"), *spot_fields("load__slot")]
LOAD = len(WIRE) - len(SPOT)


def spot_of(values: Sequence[Any]) -> Spot:
    """A slot from its columns; one in no rack comes first on a walk."""
    pk, code, rack, rack_position, position = values
    return Spot(pk, code, rack or "", rack_position or 0, position)


def wires_of(rows: QuerySet[Interconnect]) -> Iterator[Wire]:
    """Wires with both their ends, in one read; a slot is made once for all its wires."""
    spots: dict[int, Spot] = {}
    for row in rows.order_by().values_list(*WIRE):
        pk, code, is_critical, source = row[:4]
        load = row[LOAD]
        if source not in spots:
            spots[source] = spot_of(row[3:LOAD])
        if load not in spots:
            spots[load] = spot_of(row[LOAD:])
        yield Wire(pk, code, spots[source], spots[load], is_critical is True)


class MachineAround:
    """The machine as it is in the database now."""

    def spot(self, slot: int) -> Spot:
        """A slot."""
        return spot_of(Slot.objects.values_list(*SPOT).get(pk=slot))

    def seat(self, chassis: int) -> Seat:
        """A chassis, and where it is fitted."""
        fitted = next(iter(_seats(Fitting.objects.standing().filter(chassis=chassis))), None)
        return fitted or Seat(
            Item("chassis", chassis, Chassis.objects.values_list("serial", flat=True).get(pk=chassis))
        )

    def seats(self, area: Area) -> Sequence[Seat]:
        """The chassis fitted in an area."""
        return list(_seats(Fitting.objects.standing().filter(_within("slot", area))))

    def wire(self, link: int) -> Wire:
        """An interconnect."""
        return next(wires_of(Interconnect.objects.filter(pk=link)))

    def wires(self, area: Area, *, critical: bool = False) -> Sequence[Met]:
        """The wires with an end in an area: those that leave it and those that come in, a read for each."""
        wanted = Q(is_critical=True) if critical else Q()
        out_of = [Met(wire, wire.source) for wire in wires_of(_leaving(area).filter(wanted))]
        into = [Met(wire, wire.load) for wire in wires_of(_coming_in(area).filter(wanted))]
        if area.slot is not None:
            into = [met for met in into if met.wire.source.pk != area.slot]
        return out_of + into

    def at_stage(self, slot: int, stage: int | None) -> AtStage:
        """The wires into and out of a stage; a terminal that no stage of the design names belongs to each."""
        area = Area(slot=slot)
        out_of, into = _leaving(area), _coming_in(area)
        if stage is not None:
            named = _ports(stage)
            out_of = out_of.exclude(source__code__in=_not_of(stage, Way.OUT, named))
            into = into.exclude(load__code__in=_not_of(stage, Way.IN, named))
        return AtStage(tuple(wires_of(into)), tuple(wires_of(out_of)))

    def others_on_source(self, link: int) -> Sequence[Wire]:
        """The other wires on the source of this one."""
        source = Interconnect.objects.filter(pk=link).values("source_id")
        return list(wires_of(Interconnect.objects.filter(source__in=source).exclude(pk=link)))

    def loom_of(self, link: int) -> tuple[str, Sequence[Wire]]:
        """The loom of a wire, and its other wires."""
        loom = Interconnect.objects.values_list("loom", flat=True).get(pk=link)
        others = Interconnect.objects.filter(loom=loom).exclude(pk=link)
        return (loom, list(wires_of(others))) if loom else ("", [])

    def walk(self, slot: int) -> Sequence[Walked]:
        """The wires downstream of a slot up to the next barriers, nearest first."""
        return walk_to_barriers(slot, wires_of)

    def racks(self, area: Area) -> Sequence[Item]:
        """The racks of an area, as they stand on the floor."""
        rows = Rack.objects.filter(slots__in=_slots(area)) if area.rail is not None else _racks(area)
        return [
            Item("rack", pk, code)
            for pk, code in rows.order_by("position", "code").distinct().values_list("pk", "code")
        ]

    def groups(self, area: Area) -> Sequence[Belonging]:
        """The groups with a member slot in an area, and those that name a wire which ends there."""
        members = Group.slots.through.objects.filter(_within("slot", area))
        by_slot = [
            Belonging(Item("group", pk, code), spot=spot_of(slot))
            for pk, code, *slot in members.values_list(*GROUP, *spot_fields("slot"))
        ]
        return by_slot + list(_naming(_leaving(area), "source")) + list(_naming(_coming_in(area), "load"))

    def groups_of(self, links: Sequence[int]) -> Sequence[tuple[Item, int]]:
        """The groups that each of these wires belongs to."""
        found = groups_of_links(links)
        wanted = {pk for groups in found.values() for pk in groups}
        codes = dict(Group.objects.filter(pk__in=wanted).values_list("pk", "code"))
        return [(Item("group", pk, codes[pk]), link) for link, groups in found.items() for pk in sorted(groups)]

    def rail(self, rail: int) -> tuple[str, str]:
        """The code of a rail, and what it carries."""
        return Rail.objects.values_list("code", "kind").get(pk=rail)

    def earth(self, earth: int) -> str:
        """The code of an earth."""
        return Earth.objects.values_list("code", flat=True).get(pk=earth)

    def issue(self, issue: int) -> str:
        """A drawing issue in words."""
        number, letter = DesignIssue.objects.values_list("design__number", "letter").get(pk=issue)
        return f"drawing {number} issue {letter}"

    def older_units(self, issue: int) -> Sequence[Older]:
        """The chassis of the design built to an issue before this one, or to nobody knows which."""
        design = DesignIssue.objects.filter(pk=issue).values("design_id")
        in_order = sorted(
            DesignIssue.objects.filter(design__in=design).values_list("issued_on", "letter", "pk"),
            key=lambda row: (row[0], len(row[1]), row[1]),
        )
        pks = [pk for _, _, pk in in_order]
        built_before = Q(issue=None) | Q(issue__in=pks[: pks.index(issue)])
        units = Chassis.objects.filter(built_before, design__in=design).order_by("serial")
        rows = units.values_list("pk", "serial", "issue__letter")
        return [Older(Item("chassis", pk, serial), letter or "") for pk, serial, letter in rows]

    def instrument(self, instrument: int) -> str:
        """The mark of an instrument."""
        return Instrument.objects.values_list("mark", flat=True).get(pk=instrument)

    def made_with(self, instrument: int, since: datetime) -> Sequence[Made]:
        """The records in force made with an instrument after a moment."""
        used = Q(instrument=instrument, done_at__gt=since)
        tests = BenchTest.objects.in_force().filter(used).values_list("pk", "chassis_id", "chassis__serial")
        checks = SignalCheck.objects.in_force().filter(used).values_list("pk", "interconnect_id", "interconnect__code")
        return [
            *(Made(Item("chassis", of, code), "bench-tested", f"bench test {pk}") for pk, of, code in tests),
            *(Made(Item("interconnect", of, code), "signal-checked", f"signal check {pk}") for pk, of, code in checks),
        ]


def _racks(area: Area) -> QuerySet[Rack]:
    """The racks named; where none is, those on the earth."""
    return Rack.objects.filter(pk__in=area.racks) if area.racks else Rack.objects.filter(earths=area.earth)


def _slots(area: Area) -> QuerySet[Slot]:
    if area.slot is not None:
        return Slot.objects.filter(pk=area.slot)
    return Slot.objects.filter(rails=area.rail) if area.rail is not None else Slot.objects.filter(rack__in=_racks(area))


def _within(to_slot: str, area: Area) -> Q:
    """That a row's slot lies in an area; one slot is asked for straight, so that an index answers."""
    if area.slot is not None:
        return Q(**{to_slot: area.slot})
    return Q(**{f"{to_slot}__in": _slots(area).values("pk")})


def _leaving(area: Area) -> QuerySet[Interconnect]:
    return Interconnect.objects.filter(_within("source__slot", area))


def _coming_in(area: Area) -> QuerySet[Interconnect]:
    return Interconnect.objects.filter(_within("load__slot", area))


def _seats(fittings: QuerySet[Fitting]) -> Iterator[Seat]:
    for pk, serial, *slot in fittings.values_list("chassis_id", "chassis__serial", *spot_fields("slot")):
        yield Seat(Item("chassis", pk, serial), spot_of(slot))


def _ports(stage: int) -> list[tuple[int, str, str]]:
    """The ports of every stage of the design that this stage is of."""
    design = Stage.objects.filter(pk=stage).values("design_id")
    return list(StagePort.objects.filter(stage__design__in=design).values_list("stage_id", "terminal", "way"))


def _not_of(stage: int, way: str, ports: Iterable[tuple[int, str, str]]) -> set[str]:
    """The terminals that some stage names, but this one not, or not for this way."""
    named, of_this = set(), set()
    for of, terminal, port_way in ports:
        named.add(terminal)
        if of == stage and port_way == way:
            of_this.add(terminal)
    return named - of_this


def _naming(links: QuerySet[Interconnect], end: str) -> Iterator[Belonging]:
    """The groups that name one of these links among their further ones, met at this end of it."""
    rows = Group.further_links.through.objects.filter(interconnect__in=links.values("pk"))
    columns = [f"interconnect__{field}" for field in WIRE]
    for pk, code, link, link_code, is_critical, *ends in rows.values_list(*GROUP, *columns):
        half = len(SPOT)
        wire = Wire(link, link_code, spot_of(ends[:half]), spot_of(ends[half:]), is_critical is True)
        yield Belonging(Item("group", pk, code), wire.source if end == "source" else wire.load, wire)
