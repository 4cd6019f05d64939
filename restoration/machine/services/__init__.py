"""Every write to the machine's own records, by what it is about."""

from restoration.machine.services.chassis import add_chassis, edit_chassis
from restoration.machine.services.designs import BenchFigureLimit, add_design, add_issue, edit_design, set_bench_points
from restoration.machine.services.ends import EndGiven, ends_of, set_terminal_figures, stamp_of
from restoration.machine.services.places import add_rack, add_slot, add_terminal, edit_rack, edit_slot
from restoration.machine.services.queries import answer_query, raise_query
from restoration.machine.services.shared import add_earth, add_rail, edit_earth, edit_rail
from restoration.machine.services.signals import Limit, add_signal, set_limits
from restoration.machine.services.stages import StageGiven, set_stages, stages_of
from restoration.machine.services.wire_kinds import WireGiven, add_wire_kind, edit_wire_kind
from restoration.machine.services.wire_list import ImportOutcome, import_wire_list
from restoration.machine.services.wiring import End, add_interconnect, edit_interconnect

__all__ = [
    "BenchFigureLimit",
    "End",
    "EndGiven",
    "ImportOutcome",
    "Limit",
    "StageGiven",
    "WireGiven",
    "add_chassis",
    "add_design",
    "add_earth",
    "add_interconnect",
    "add_issue",
    "add_rack",
    "add_rail",
    "add_signal",
    "add_slot",
    "add_terminal",
    "add_wire_kind",
    "answer_query",
    "edit_chassis",
    "edit_design",
    "edit_earth",
    "edit_interconnect",
    "edit_rack",
    "edit_rail",
    "edit_slot",
    "edit_wire_kind",
    "ends_of",
    "import_wire_list",
    "raise_query",
    "set_bench_points",
    "set_limits",
    "set_stages",
    "set_terminal_figures",
    "stages_of",
    "stamp_of",
]
