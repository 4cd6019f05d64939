"""The gates of a chassis, from the builder's hands to its work in place."""

from restoration.commissioning.gates.gate import Gate
from restoration.people.roles import Permission

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
    "It is sent back for rework, or a valve or part of another value or type goes into it.",
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
HEATERS_ON = Gate(
    "heaters on",
    "In its slot, with heaters only: the heater voltage read at the chassis itself, and every valve seen to light.",
    Permission.SIGN_POWER,
    True,
    "It is withdrawn or fitted elsewhere; its heater rail, a supply part or a fuse changes; a rest; a knock or damp.",
    "bring its heaters up",
    is_signed=True,
    is_live=True,
)
HT_ON = Gate(
    "HT on",
    "In its slot, brought up in steps: the HT current against what was expected, and its DC points. Two persons.",
    Permission.SIGN_POWER,
    True,
    "Whatever opens heaters on again; a valve or part replaced; its HT or bias rail or decoupling changed.",
    "bring its HT up",
    is_signed=True,
    is_live=True,
)
PROVED_IN_PLACE = Gate(
    "proved in place",
    "Every link at its slot is joined, rung out and signal-checked, on concession or not.",
    Permission.CHECK_SIGNAL,
    False,
    "Any link at its slot is in doubt, failed or lifted; it is withdrawn.",
    "prove the links at its slot",
    is_derived=True,
)

CHASSIS = (
    ALLOTTED,
    BUILT,
    RECEIVED,
    COLD_CHECKED,
    BENCH_TESTED,
    FITTED,
    HEATERS_ON,
    HT_ON,
    PROVED_IN_PLACE,
)
