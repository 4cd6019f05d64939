"""Turns the rows of a rack into the facts that `engineering.readiness` judges."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Protocol

from django.db.models import Q, QuerySet

from restoration.commissioning.gates import ACTS, LINK_GATES, RECORDED_OF, gate_of
from restoration.commissioning.gates.racks import SOAKED
from restoration.commissioning.reading import not_done, recorded_standings
from restoration.engineering.readiness import (
    GateCount,
    LinkFacts,
    Missing,
    RackReadiness,
    SlotFacts,
    count_gates,
    rack_readiness,
)
from restoration.engineering.standing import Standing
from restoration.faults.models import Fault
from restoration.machine.models import Chassis, Fitting, Interconnect, Rack, Slot
from restoration.people.roles import Permission
from restoration.workshop.models import Step, StepKind

CHASSIS_GATES = RECORDED_OF["chassis"]  # "proved in place" is the work on its links, which are counted themselves
POWER_PERSON = "the power responsible person"


@dataclass(frozen=True)
class Meant:
    """A chassis and the slot it is in, or will go to."""

    pk: int
    serial: str
    builder: str
    is_on_site: bool
    standings: tuple[Standing, ...]


def readiness_of(racks: Iterable[Rack]) -> list[RackReadiness]:
    """Work out the readiness of these racks, in a fixed number of queries."""
    racks = list(racks)
    slots = _slots_that_matter(racks)
    facts = facts_of_slots(slots)
    by_rack = defaultdict(list)
    for slot in slots:
        by_rack[slot.rack_id].append(facts[slot.pk])
    links = _links_by_rack(racks)
    own = recorded_standings("rack", [rack.pk for rack in racks])
    everywhere = list(facts.values())
    return [
        rack_readiness(
            rack.code,
            by_rack[rack.pk],
            links[rack.pk],
            chassis_gates=CHASSIS_GATES,
            link_gates=LINK_GATES,
            slots_elsewhere=everywhere,
            rack_standings=own[rack.pk],
            rack_waits_for=_who_signs("rack", own[rack.pk]) or "the site lead",
            with_all_chassis=[SOAKED.code],
        )
        for rack in racks
    ]


def _slots_that_matter(racks: list[Rack]) -> list[Slot]:
    """The slots of these racks, and those at the far ends of their wires: a wire waits for the chassis at both."""
    ids = [rack.pk for rack in racks]
    links = Interconnect.objects.filter(Q(source__slot__rack__in=ids) | Q(load__slot__rack__in=ids))
    ends = Q(pk__in=links.values("source__slot")) | Q(pk__in=links.values("load__slot"))
    return list(Slot.objects.from_the_top().select_related("rack").filter(Q(rack__in=ids) | ends))


def facts_of_slots(slots: list[Slot]) -> dict[int, SlotFacts]:
    """Say of each slot how its chassis stands, in a fixed number of queries."""
    meant = chassis_meant_for(slots)
    return {slot.pk: _slot_facts(slot, meant.get(slot.pk)) for slot in slots}


def chassis_meant_for(slots: list[Slot]) -> dict[int, Meant]:
    """Say for each slot which chassis is in it; empty slots get the unit of their design that is furthest on.

    Units are shared out over all the empty slots of their design, from the top, whichever slots are asked about.
    """
    wanted = {slot.pk for slot in slots}
    in_slot = dict(Fitting.objects.standing().filter(slot__in=wanted).values_list("slot_id", "chassis_id"))
    designs = {slot.design_id for slot in slots if slot.design_id and slot.pk not in in_slot}
    waiting_units = Chassis.objects.filter(design__in=designs).exclude(fittings__in=Fitting.objects.standing())
    chassis = list(
        Chassis.objects.filter(Q(pk__in=in_slot.values()) | Q(pk__in=waiting_units.values("pk")))
        .select_related("builder")
        .order_by("serial")
    )
    units = _units(chassis)
    meant = {slot: units[pk] for slot, pk in in_slot.items()}
    fitted = set(in_slot.values())
    waiting: dict[int | None, list[Meant]] = defaultdict(list)
    for unit in chassis:
        if unit.pk not in fitted:
            waiting[unit.design_id].append(units[unit.pk])
    for queue in waiting.values():
        queue.sort(key=lambda unit: sum(standing.is_good for standing in unit.standings))
    empty = Slot.objects.wanting_a_chassis().filter(design__in=designs).from_the_top()
    for slot, design in empty.values_list("pk", "design_id"):
        if waiting[design]:
            next_unit = waiting[design].pop()
            if slot in wanted:
                meant[slot] = next_unit
    return meant


def _units(chassis: list[Chassis]) -> dict[int, Meant]:
    ids = [unit.pk for unit in chassis]
    steps = Step.objects.filter(kind__in=MOVES, chassis__in=ids).order_by("done_at", "pk")
    last_step = dict(steps.values_list("chassis_id", "kind"))
    standings = recorded_standings("chassis", ids)
    return {
        unit.pk: Meant(
            unit.pk,
            unit.serial,
            str(unit.builder or ""),
            is_on_site(last_step.get(unit.pk), standings[unit.pk]),
            standings[unit.pk],
        )
        for unit in chassis
    }


MOVES = (StepKind.ALLOTTED, StepKind.HANDED_OVER, StepKind.RECEIVED, StepKind.SENT_BACK)
ON_SITE = (StepKind.HANDED_OVER, StepKind.RECEIVED)
RECEIVED, FITTED = CHASSIS_GATES.index("received"), CHASSIS_GATES.index("fitted")


def is_on_site(last_step: str | None, standings: tuple[Standing, ...]) -> bool:
    """Say whether the next act on a chassis is the site's: it is in its slot, or was handed over and not sent back."""
    if standings[FITTED].is_good:
        return True
    return last_step in ON_SITE or (last_step is None and standings[RECEIVED].is_good)


def _slot_facts(slot: Slot, unit: Meant | None) -> SlotFacts:
    nothing = tuple(not_done(gate) for gate in CHASSIS_GATES)
    if slot.design_id is None:
        keeper = "the drawings keeper, to name its design"
        return SlotFacts(slot.code, slot.function, "", nothing, keeper, ("name its design",))
    if unit is None:
        return SlotFacts(slot.code, slot.function, "", nothing, "the site lead, to allot a chassis")
    on_site = _who_signs("chassis", unit.standings) or "the site team"
    with_whom = on_site if unit.is_on_site else unit.builder or "the site lead, to allot it to a builder"
    return SlotFacts(slot.code, slot.function, unit.serial, unit.standings, with_whom)


def _who_signs(kind: str, standings: tuple[Standing, ...]) -> str:
    """Name the power responsible person where the next gate is theirs to sign."""
    left = next((standing.gate for standing in standings if not standing.is_good), "")
    gate = gate_of(kind, left)
    return POWER_PERSON if gate and gate.signed_by is Permission.SIGN_POWER else ""


def _links_by_rack(racks: list[Rack]) -> dict[int, list[LinkFacts]]:
    ids = {rack.pk for rack in racks}
    by_rack: dict[int, list[LinkFacts]] = defaultdict(list)
    for facts, at in facts_of_links(
        Interconnect.objects.filter(Q(source__slot__rack__in=ids) | Q(load__slot__rack__in=ids))
    ):
        for rack in at & ids:
            by_rack[rack].append(facts)
    return by_rack


def facts_of_links(links: QuerySet[Interconnect]) -> list[tuple[LinkFacts, set[int]]]:
    """Say of each link how it stands and which faults are open on it, and the racks it ends in; in three reads."""
    rows = list(
        links.values_list(
            "pk", "code", "source__slot__code", "load__slot__code", "source__slot__rack", "load__slot__rack"
        ).order_by("code")
    )
    pks = [row[0] for row in rows]
    standings = recorded_standings("interconnect", pks)
    faults = defaultdict(list)
    for number, link in Fault.objects.open().filter(interconnect__in=pks).values_list("pk", "interconnect"):
        faults[link].append(str(number))
    return [
        (LinkFacts(code, source, load, standings[pk], tuple(faults[pk])), {rack for rack in racks if rack})
        for pk, code, source, load, *racks in rows
    ]


def standing_at_slots(slot_ids: Collection[int]) -> dict[int, tuple[GateCount, ...]]:
    """Count, slot by slot, how the gates of the wires at it stand, in two reads."""
    ends = list(
        Interconnect.objects.filter(Q(source__slot__in=slot_ids) | Q(load__slot__in=slot_ids))
        .values_list("pk", "source__slot", "load__slot")
        .order_by()
    )
    standings = recorded_standings("interconnect", [pk for pk, _, _ in ends])
    at_slot: dict[int, list[tuple[Standing, ...]]] = defaultdict(list)
    for pk, source, load in ends:
        for slot in {source, load}:
            at_slot[slot].append(standings[pk])
    return {slot: count_gates(LINK_GATES, at_slot[slot]) for slot in slot_ids}


def sentence(readiness: RackReadiness) -> str:
    """Answer "is this rack ready, and what holds it?" in one breath."""
    if readiness.is_ready:
        return "Ready: the rack's own gates stand, every chassis passed its gates, and every signal is proved."
    if not any(count.total for count in readiness.gates):
        return "There is nothing in this rack yet to be ready."
    nearest = readiness.missing[0]
    doubts = len(readiness.in_doubt)
    doubted = f" {doubts} in doubt." if doubts else ""
    count = len(readiness.missing)
    missing = "1 thing is missing" if count == 1 else f"{count} things are missing"
    return f"Not ready: {missing}.{doubted} Nearest: {say(nearest)}"


NAMES = {"slot": "chassis for slot {}", "link": "link {}", "rack": "rack {} itself"}


def say(item: Missing) -> str:
    """Say what is missing as a person would: what, what to do, whom it waits for."""
    return f"{NAMES[item.kind].format(item.code)}: {acts_in_words(item)}; waits for {item.waits_for}."


class Due(Protocol):
    """A thing with acts still to be done on it, some of them again."""

    @property
    def acts(self) -> tuple[str, ...]: ...

    @property
    def again(self) -> tuple[str, ...]: ...


def acts_in_words(item: Due) -> str:
    """Say in order what must be done: "ring it out again, then check its signal"."""
    return ", then ".join(f"{ACTS.get(act, act)}{' again' if act in item.again else ''}" for act in item.acts)


def as_json(readiness: RackReadiness) -> dict[str, object]:
    """The same answer for a program."""
    return {
        "rack": readiness.rack,
        "ready": readiness.is_ready,
        "gates": [
            {"gate": count.gate, "total": count.total, "stand": count.good, **{str(s): n for s, n in count.by_state}}
            for count in readiness.gates
        ],
        "rack_gates": {standing.gate: standing.state.value for standing in readiness.own},
        "missing": [_item_json(item) for item in readiness.missing],
        "in_doubt": [_item_json(item) for item in readiness.in_doubt],
    }


def _item_json(item: Missing) -> dict[str, object]:
    return {
        "kind": item.kind,
        "code": item.code,
        "acts": list(item.acts),
        "distance": item.distance,
        "waits_for": item.waits_for,
        "frees": item.frees,
        "state": item.state.value,
        "reasons": list(item.reasons),
    }
