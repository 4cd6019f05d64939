"""The cast and the plan of the machine: people, designs, racks, slots, signals, and the wire list."""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from restoration.engineering.wire_list.wires import WireRow
from restoration.engineering.wire_list.writing import write_csv
from restoration.kestrel.cast import CAST
from restoration.kestrel.loading.calendar import Calendar
from restoration.kestrel.machine_plan import MACHINE_NAME, machine_plan
from restoration.kestrel.plan_records import BenchPulsePlan, DesignPlan, InterconnectPlan, Limits, SignalPlan
from restoration.machine.models import (
    BenchPoint,
    Design,
    DesignIssue,
    Machine,
    Rack,
    Signal,
    SignalLimit,
    Slot,
)
from restoration.machine.models.limits import Quantity
from restoration.machine.services import import_wire_list
from restoration.people.models import Person, RoleHolding

TRUST = "Kestrel Sands Tide Computer Trust, the Net Loft"
Q = Quantity
LIMITED = (Q.AMPLITUDE, Q.PULSE_DURATION, Q.RISE_TIME, Q.FALL_TIME, Q.OVERSHOOT)


@dataclass(frozen=True)
class Cast:
    """The people of the demonstration, by the short name the story calls them."""

    people: dict[str, Person]

    def __getitem__(self, short_name: str) -> Person:
        return self.people[short_name]


def load_cast(calendar: Calendar) -> Cast:
    """Write the cast down, each with the roles they hold."""
    people = {}
    for member in CAST:
        person = Person(email=member.email, display_name=member.display_name)
        person.set_unusable_password()
        person.save()
        people[member.short_name] = person
        RoleHolding.objects.bulk_create(RoleHolding(person=person, role=role) for role in member.roles)
    return Cast(people)


def load_plan(calendar: Calendar, by: Person) -> None:
    """Enter designs, places and signals, then bring the wire list in as anyone would."""
    plan = machine_plan()
    machine = Machine.objects.the_one()
    machine.name, machine.keeper, machine.is_demo = MACHINE_NAME, TRUST, True
    machine.save()
    designs = {design.number: _design(design, calendar) for design in plan.designs}
    racks = {
        rack.letter: Rack.objects.create(code=rack.letter, function=rack.name, position=position)
        for position, rack in enumerate(plan.racks, start=1)
    }
    Slot.objects.bulk_create(
        Slot(
            code=slot.code,
            rack=racks[slot.rack],
            position=slot.position,
            function=slot.function,
            design=designs[slot.design_number],
        )
        for slot in plan.slots
    )
    _signals(plan.signals)
    outcome = import_wire_list(data=wire_list(), name="kestrel-sands-wire-list.csv", by=by, create_missing=True)
    if outcome.is_refused:
        raise RuntimeError(f"The demonstration's own wire list was refused: {outcome.plan.refused[:3]}")


def _design(plan: DesignPlan, calendar: Calendar) -> Design:
    design = Design.objects.create(number=plan.number, title=plan.title, remarks=plan.purpose)
    DesignIssue.objects.bulk_create(
        DesignIssue(
            design=design,
            letter=issue.letter,
            issued_on=calendar.on(issue.issued),
            is_current=issue is plan.issues[-1],
            reason=issue.reason,
        )
        for issue in plan.issues
    )
    levels = [
        BenchPoint(
            design=design,
            place=point.name,
            quantity=Q.DC_LEVEL,
            least=point.nominal_v - point.tolerance_v,
            nominal=point.nominal_v,
            most=point.nominal_v + point.tolerance_v,
        )
        for point in plan.dc_points
    ]
    pulses = [point for pulse in plan.bench_pulses for point in _bench_pulse(design, pulse)]
    BenchPoint.objects.bulk_create([*levels, *pulses])
    return design


def _bench_pulse(design: Design, pulse: BenchPulsePlan) -> Iterator[BenchPoint]:
    limits = (
        (Q.AMPLITUDE, pulse.amplitude_v),
        (Q.PULSE_DURATION, pulse.pulse_duration_s),
        (Q.RISE_TIME, pulse.rise_time_s),
        (Q.FALL_TIME, pulse.fall_time_s),
    )
    for quantity, limit in limits:
        if _says_something(limit):
            yield BenchPoint(
                design=design,
                place=f"terminal {pulse.terminal}",
                quantity=quantity,
                load_resistance_ohm=pulse.load_ohm,
                load_capacitance_f=pulse.load_f,
                least=limit.least,
                nominal=limit.nominal,
                most=limit.most,
            )


def _says_something(limit: Limits) -> bool:
    return any(value is not None for value in (limit.least, limit.nominal, limit.most))


def _signals(plans: tuple[SignalPlan, ...]) -> None:
    rows = Signal.objects.bulk_create(Signal(name=plan.name, remarks=f"{plan.kind}, {plan.polarity}") for plan in plans)
    SignalLimit.objects.bulk_create(
        SignalLimit(signal=signal, quantity=quantity, least=limit.least, nominal=limit.nominal, most=limit.most)
        for signal, plan in zip(rows, plans, strict=True)
        for quantity in LIMITED
        if _says_something(limit := getattr(plan, _field(quantity)))
    )


def _field(quantity: Quantity) -> str:
    units = {Q.AMPLITUDE: "_v", Q.OVERSHOOT: ""}
    return f"{quantity.value}{units.get(quantity, '_s')}"


def wire_codes(link: InterconnectPlan) -> list[tuple[str, str]]:
    """Number the wires of one line of the old list, a wire for each load: 214, 214b, 214c."""
    suffixes = itertools.chain([""], (chr(letter) for letter in range(ord("b"), ord("z"))))
    return [(f"{link.code}{suffix}", load) for suffix, load in zip(suffixes, link.loads, strict=False)]


def wire_list() -> bytes:
    """Write the machine's wire list as the file that is brought in."""
    return write_csv(list(_rows()))


def _rows() -> Iterator[WireRow]:
    for link in machine_plan().interconnects:
        from_slot, from_terminal = link.source.split("/")
        for code, load in wire_codes(link):
            to_slot, to_terminal = load.split("/")
            yield WireRow(
                line=0,
                link=code,
                signal=link.signal,
                from_rack=from_slot[0],
                from_slot=from_slot,
                from_terminal=from_terminal,
                to_rack=to_slot[0],
                to_slot=to_slot,
                to_terminal=to_terminal,
                wire=link.wire,
                colour=link.colour,
                length_m=link.length_m,
                loom=link.loom,
                critical=link.critical,
                remarks=link.remarks,
            )
