"""Every gate: what it takes, who may sign, and what opens it again. One table, shown as a page."""

from dataclasses import dataclass

from restoration.people.roles import Permission


@dataclass(frozen=True)
class Gate:
    """One gate of a chassis or of an interconnect."""

    code: str
    evidence: str
    signed_by: Permission
    is_witnessed: bool
    reopened_by: str
    act: str


ALLOTTED = Gate(
    "allotted",
    "A builder has taken it on, and holds the drawing at its current issue.",
    Permission.ALLOT_CHASSIS,
    False,
    "It is allotted to another builder.",
    "allot it",
)
BUILT = Gate(
    "built",
    "The builder says that it is built.",
    Permission.BUILD_CHASSIS,
    False,
    "It is sent back for rework.",
    "build it",
)
RECEIVED = Gate(
    "received",
    "The serial is read off the label on site, the papers are complete, and damage on the way is written down.",
    Permission.RECEIVE_CHASSIS,
    False,
    "It is sent back for rework.",
    "hand it over and receive it",
)
COLD_CHECKED = Gate(
    "cold-checked",
    "With no power: it agrees with the drawing, the joints are good, HT and heaters are clear of the chassis.",
    Permission.CHECK_COLD,
    True,
    "It is sent back for rework.",
    "check it cold",
)
BENCH_TESTED = Gate(
    "bench-tested",
    "DC points and pulse outputs are within their limits on the bench, each with its stated load.",
    Permission.BENCH_TEST,
    True,
    "It is sent back for rework.",
    "test it on the bench",
)
FITTED = Gate(
    "fitted",
    "The labels of slot and chassis are read together, and the slot wants this design.",
    Permission.FIT_CHASSIS,
    True,
    "It is withdrawn.",
    "fit it",
)
JOINED = Gate(
    "joined",
    "Both ends are joined with the power off, and a second person has viewed the joints.",
    Permission.JOIN_WIRE,
    True,
    "It is lifted, or the wire list gives it other ends.",
    "join it",
)
RUNG_OUT = Gate(
    "rung out",
    "Proved end to end with the power off, clear of the chassis, both labels read.",
    Permission.JOIN_WIRE,
    False,
    "It is lifted, joined or made again, or changed on the wire list; a chassis at either end is withdrawn or swapped.",
    "ring it out",
)
SIGNAL_CHECKED = Gate(
    "signal-checked",
    "Every figure that has a limit is within it at the load end, with all loads joined.",
    Permission.CHECK_SIGNAL,
    True,
    "Whatever opens the ring-out again; a chassis fitted at either end; a load joined, lifted or a part changed on the "
    "same source; another signal or other limits; a fault logged on it.",
    "check its signal",
)

CHASSIS = (ALLOTTED, BUILT, RECEIVED, COLD_CHECKED, BENCH_TESTED, FITTED)
INTERCONNECT = (JOINED, RUNG_OUT, SIGNAL_CHECKED)
CHASSIS_GATES = tuple(gate.code for gate in CHASSIS)
LINK_GATES = tuple(gate.code for gate in INTERCONNECT)
ACTS = {gate.code: gate.act for gate in (*CHASSIS, *INTERCONNECT)}
