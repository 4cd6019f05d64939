"""The machine as it is meant to be and as it stands: places, designs, units, wires."""

from restoration.machine.models.chassis import Chassis, Fitting
from restoration.machine.models.designs import BenchPoint, Design, DesignIssue
from restoration.machine.models.places import Machine, Rack, Slot, Terminal
from restoration.machine.models.queries import Query
from restoration.machine.models.wiring import Interconnect, Signal, SignalLimit, WiringChange

__all__ = [
    "BenchPoint",
    "Chassis",
    "Design",
    "DesignIssue",
    "Fitting",
    "Interconnect",
    "Machine",
    "Query",
    "Rack",
    "Signal",
    "SignalLimit",
    "Slot",
    "Terminal",
    "WiringChange",
]
