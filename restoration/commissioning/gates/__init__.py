"""Every gate: what it takes, who may sign, and what opens it again. One table a kind, shown as a page."""

from restoration.commissioning.gates.chassis import CHASSIS
from restoration.commissioning.gates.gate import Gate
from restoration.commissioning.gates.groups import GROUP
from restoration.commissioning.gates.interconnects import INTERCONNECT
from restoration.commissioning.gates.racks import RACK

TABLES: dict[str, tuple[Gate, ...]] = {"chassis": CHASSIS, "interconnect": INTERCONNECT, "rack": RACK, "group": GROUP}
KINDS = tuple(TABLES)
GATES_OF = {kind: tuple(gate.code for gate in table) for kind, table in TABLES.items()}
CHASSIS_GATES, LINK_GATES = GATES_OF["chassis"], GATES_OF["interconnect"]
RACK_GATES, GROUP_GATES = GATES_OF["rack"], GATES_OF["group"]
RECORDED_OF = {kind: tuple(gate.code for gate in table if not gate.is_derived) for kind, table in TABLES.items()}
ACTS = {gate.code: gate.act for table in TABLES.values() for gate in table}


def gate_of(kind: str, code: str) -> Gate | None:
    """Find a gate of a kind of thing by its code; None where that kind has no such gate."""
    return next((gate for gate in TABLES.get(kind, ()) if gate.code == code), None)


__all__ = [
    "ACTS",
    "CHASSIS",
    "CHASSIS_GATES",
    "GATES_OF",
    "GROUP",
    "GROUP_GATES",
    "INTERCONNECT",
    "KINDS",
    "LINK_GATES",
    "RACK",
    "RACK_GATES",
    "RECORDED_OF",
    "TABLES",
    "Gate",
    "gate_of",
]
