"""The gates of an interconnect."""

from restoration.commissioning.gates.gate import Gate
from restoration.people.roles import Permission

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
    is_live=True,
)

INTERCONNECT = (JOINED, RUNG_OUT, SIGNAL_CHECKED)
