"""The machine as it is meant to be and as it stands: places, designs, units, wires."""

from restoration.machine.models.chassis import Chassis, Fitting
from restoration.machine.models.designs import BenchPoint, Design, DesignIssue
from restoration.machine.models.ends import Basis, TerminalFigures, WireForm, WireKind
from restoration.machine.models.places import Machine, Rack, Slot, Terminal
from restoration.machine.models.queries import Query
from restoration.machine.models.shared import Earth, Rail, RailKind
from restoration.machine.models.stages import Stage, StagePort, Way, WiringStamp
from restoration.machine.models.wiring import Interconnect, Signal, SignalLimit, WiringChange

__all__ = [
    "Basis",
    "BenchPoint",
    "Chassis",
    "Design",
    "DesignIssue",
    "Earth",
    "Fitting",
    "Interconnect",
    "Machine",
    "Query",
    "Rack",
    "Rail",
    "RailKind",
    "Signal",
    "SignalLimit",
    "Slot",
    "Stage",
    "StagePort",
    "Terminal",
    "TerminalFigures",
    "Way",
    "WireForm",
    "WireKind",
    "WiringChange",
    "WiringStamp",
]
