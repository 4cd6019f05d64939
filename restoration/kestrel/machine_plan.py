"""The tide computer as it is meant to be: racks, slots, designs, signals, terminals, wire list."""

from collections.abc import Iterator
from functools import cache

from restoration.kestrel.designs import designs
from restoration.kestrel.plan_records import DesignPlan, MachinePlan, SlotPlan
from restoration.kestrel.signal_kinds import signal_plan
from restoration.kestrel.slots import carried_signal, racks, slots, terminals
from restoration.kestrel.wiring import interconnects

MACHINE_NAME = "Kestrel Sands tide computer"


@cache
def machine_plan() -> MachinePlan:
    """The whole plan; always the same one."""
    all_designs = designs()
    all_slots = slots(all_designs)
    all_terminals = terminals(all_slots, all_designs)
    kind_of = dict(_kinds(all_slots, all_designs))
    return MachinePlan(
        racks=racks(),
        designs=all_designs,
        slots=all_slots,
        signals=tuple(signal_plan(name, kind) for name, kind in kind_of.items()),
        terminals=all_terminals,
        interconnects=interconnects(all_terminals, all_slots, kind_of),
    )


def _kinds(all_slots: tuple[SlotPlan, ...], all_designs: tuple[DesignPlan, ...]) -> Iterator[tuple[str, str]]:
    """Each signal with its kind, as its sources give it."""
    by_number = {design.number: design for design in all_designs}
    for slot in all_slots:
        for port in by_number[slot.design_number].ports:
            name = carried_signal(port, slot)
            if port.direction == "out" and name is not None:
                yield name, port.kind
