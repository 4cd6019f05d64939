"""The gates of a group: a functional part of the machine, proved as one."""

from restoration.commissioning.gates.gate import Gate
from restoration.people.roles import Permission

MEMBERS_FITTED = Gate(
    "members fitted",
    "A chassis is fitted in every member slot.",
    Permission.FIT_CHASSIS,
    False,
    "A chassis is withdrawn from a member slot, or its fitting is in doubt.",
    "fit its members",
    is_derived=True,
)
LINKS_PROVED = Gate(
    "links proved",
    "Every link of the group is joined, rung out and signal-checked, on concession or not.",
    Permission.CHECK_SIGNAL,
    False,
    "Any of its links is in doubt, failed or lifted.",
    "prove its links",
    is_derived=True,
)
STATIC_CHECK = Gate(
    "static check",
    "Levels and DC states, stepped through by hand and compared with the pass test.",
    Permission.PROVE_GROUP,
    True,
    "A member is swapped or a part of it changes, where the rules ask for it.",
    "make its static check",
    is_signed=True,
    is_live=True,
)
FUNCTIONAL_CHECK = Gate(
    "functional check",
    "One pulse, then a pattern, then full rate, as the pass test says.",
    Permission.PROVE_GROUP,
    True,
    "A chassis is swapped, a part of another value fitted, a critical wire made again, a load added; a long rest.",
    "make its functional check",
    is_signed=True,
    is_live=True,
)
MARGIN_CHECK = Gate(
    "margin check",
    "It still works with HT, bias and heaters moved as far as the pass test says.",
    Permission.PROVE_GROUP,
    True,
    "A chassis is swapped, a part of another value fitted, a load added; a rail, its supply or decoupling changes.",
    "make its margin check",
    is_signed=True,
    is_live=True,
)
SOAK = Gate(
    "soak",
    "The hours or passes of the pass test run, with no more unexplained faults than it allows.",
    Permission.PROVE_GROUP,
    True,
    "A rail, its supply or decoupling changes; an earth or a screen changes.",
    "soak it",
    is_signed=True,
    is_live=True,
)
HANDED_OVER = Gate(
    "handed over",
    "Its limits, known faults, run sheet and spares are handed to those who run it.",
    Permission.PROVE_GROUP,
    True,
    "It is taken back for work.",
    "hand it over",
    is_signed=True,
)

GROUP = (MEMBERS_FITTED, LINKS_PROVED, STATIC_CHECK, FUNCTIONAL_CHECK, MARGIN_CHECK, SOAK, HANDED_OVER)
