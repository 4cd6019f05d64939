"""What follows of itself from acts that have forms of their own, and from days that pass."""

from restoration.engineering.doubt.defaults.making import POWER_UP, SIGNAL, WHOLE_WIRE, WIRE, rule
from restoration.engineering.doubt.kinds import Kind, Reach
from restoration.engineering.doubt.rule import Rule

K, R = Kind, Reach
FROM_ACTS: tuple[Rule, ...] = (
    rule(
        42,
        K.FITTED,
        R.CHASSIS,
        POWER_UP,
        "What was seen with heaters and HT on was seen in another slot.",
    ),
    rule(
        43,
        K.FITTED,
        R.SLOT_LINKS,
        SIGNAL,
        "The wires were rung out before a chassis was there, and still are; what passes through them is new.",
    ),
    rule(
        44,
        K.REFITTED,
        R.CHASSIS,
        POWER_UP,
        "What was seen with heaters and HT on was seen in another slot, or before the chassis came out.",
    ),
    rule(
        45,
        K.REFITTED,
        R.SLOT_LINKS,
        WIRE,
        "The wires at the slot were off, or its plug was out, and were put back.",
    ),
    rule(
        46,
        K.WITHDRAWN,
        R.CHASSIS,
        POWER_UP,
        "It has been handled since its heaters and HT were last seen.",
    ),
    rule(
        47,
        K.WITHDRAWN,
        R.SLOT_LINKS,
        WIRE,
        "To take a chassis out, every wire or plug at its slot is taken off.",
    ),
    rule(
        48,
        K.WITHDRAWN,
        R.GROUPS,
        ("functional check",),
        "A group that has missed a member, whichever unit comes back, is run once more.",
    ),
    rule(
        49,
        K.SENT_BACK,
        R.CHASSIS,
        ("received", "cold-checked", "bench-tested"),
        "It goes through the builder's hands again and comes back another unit.",
    ),
    rule(
        50,
        K.JOINED,
        R.LINK,
        WIRE,
        "What was rung out and seen was with other joints.",
    ),
    rule(
        51,
        K.WIRE_LIST,
        R.LINK,
        WIRE,
        "The wire is to be of another kind or length, or to run otherwise.",
    ),
    rule(
        52,
        K.OTHER_ENDS,
        R.LINK,
        WHOLE_WIRE,
        "It is to join other terminals; what was joined is another wire.",
    ),
    rule(
        53,
        K.OTHER_ENDS,
        R.SOURCE,
        SIGNAL,
        "The source it was taken off drives one load fewer.",
    ),
    rule(
        54,
        K.LIMITS,
        R.LINK,
        SIGNAL,
        "It was judged by other limits, or as another signal.",
    ),
    rule(
        55,
        K.FAULT,
        R.LINK,
        SIGNAL,
        "Somebody has seen it go wrong since.",
    ),
    rule(
        56,
        K.CONCESSION_OVER,
        R.LINK,
        WIRE,
        "It was accepted until a day, and that day is over; only the gate of that record is asked for.",
    ),
    rule(
        57,
        K.CONCESSION_OVER,
        R.CHASSIS,
        ("received", "cold-checked", "bench-tested"),
        "It was accepted until a day, and that day is over; only the gate of that record is asked for.",
    ),
)
