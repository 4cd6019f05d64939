"""Changes at a slot and at a wire: chassis swapped, valves and parts, wires made again, loads, conditioning."""

from restoration.engineering.doubt.defaults.making import POWER_UP, SIGNAL, WHOLE_WIRE, WIRE, rule
from restoration.engineering.doubt.kinds import Kind, Reach, Share
from restoration.engineering.doubt.rule import Rule

K, R = Kind, Reach
AT_A_SLOT: tuple[Rule, ...] = (
    rule(
        1,
        K.SWAPPED,
        R.CHASSIS,
        ("fitted", *POWER_UP),
        "Another unit is in the slot: what was seen with heaters and HT on was seen of the one that came out.",
    ),
    rule(
        2,
        K.SWAPPED,
        R.SLOT_LINKS,
        WIRE,
        "Every wire at the slot was off, or its plug was out, and its source or load is another unit now.",
    ),
    rule(
        3,
        K.SWAPPED,
        R.GROUPS,
        ("functional check", "margin check", "soak"),
        "The spare was proved alone. A short soak is asked for too, because a unit that has stood on a shelf drifts "
        "in its first hours.",
    ),
    rule(
        4,
        K.LIKE_VALVE,
        R.CHASSIS,
        ("HT on",),
        "No two valves of a type are alike: the DC point of the stage is read again where HT on is signed.",
    ),
    rule(
        5,
        K.LIKE_VALVE,
        R.STAGE_OUT,
        SIGNAL,
        "The stage gives its pulse with another emission; a quick look at what goes out of it is enough.",
    ),
    rule(
        6,
        K.LIKE_VALVE,
        R.GROUPS,
        ("functional check",),
        "A valve like the last one changes nothing a group would notice, unless timing hangs on it: it is asked for "
        "only where a critical link goes out of the stage.",
        Share.CRITICAL,
    ),
    rule(
        7,
        K.LIKE_PART,
        R.CHASSIS,
        ("HT on",),
        "The part was measured, but its joints are new: the DC points are read again where HT on is signed.",
    ),
    rule(
        8,
        K.LIKE_PART,
        R.STAGE_IN_OUT,
        SIGNAL,
        "A resistor, capacitor or coil loads what comes into its stage and shapes what goes out of it.",
    ),
    rule(
        9,
        K.LIKE_PART,
        R.GROUPS,
        ("functional check",),
        "Tolerances add up along a group; it is run once more to see that they still do not meet.",
    ),
    rule(
        10,
        K.OTHER_PART,
        R.CHASSIS,
        ("bench-tested", "HT on"),
        "It is not the unit that was tested on the bench any more; and in place its HT current and DC points are "
        "other than those signed for, whether or not it goes back to the bench.",
    ),
    rule(
        11,
        K.OTHER_PART,
        R.SLOT_LINKS,
        SIGNAL,
        "Another value or type may load every source of the chassis and drive every load of it differently.",
    ),
    rule(
        12,
        K.OTHER_PART,
        R.TO_BARRIER,
        SIGNAL,
        "A pulse of another shape is passed on by every stage until one restores its amplitude and timing; the wires "
        "into that stage are still asked for, because it must be able to take what comes.",
    ),
    rule(
        13,
        K.OTHER_PART,
        R.GROUPS,
        ("functional check", "margin check"),
        "What the old value left in hand says nothing of the new one.",
    ),
    rule(
        14,
        K.REMADE,
        R.LINK,
        WHOLE_WIRE,
        "It is a new wire with new joints: nothing that was proved of the old one holds.",
    ),
    rule(
        15,
        K.REMADE,
        R.SOURCE,
        SIGNAL,
        "While it was made again its source ran with one load fewer, and a wire of another run loads the source "
        "otherwise: what is shared is felt by all who share it.",
    ),
    rule(
        16,
        K.REMADE,
        R.LOOM,
        SIGNAL,
        "A wire laid otherwise in a loom couples otherwise into its neighbours; a spot check tells.",
        Share.SAMPLE,
    ),
    rule(
        17,
        K.REMADE,
        R.GROUPS,
        ("functional check",),
        "A group is run again only where the wire is a critical one; any other is proved by its own check.",
        Share.CRITICAL,
    ),
    rule(
        18,
        K.LOAD,
        R.LINK,
        SIGNAL,
        "The load itself was added or taken away: what was seen of it was seen under other conditions.",
    ),
    rule(
        19,
        K.LOAD,
        R.SOURCE,
        SIGNAL,
        "Every load on a source shares what it can give; one more, or one fewer, changes the pulse at all of them.",
    ),
    rule(
        20,
        K.LOAD,
        R.GROUPS,
        ("functional check", "margin check"),
        "A source that drives more has less in hand: the margin is asked for beside the function.",
    ),
    rule(
        21,
        K.CONDITIONED,
        R.LINK,
        SIGNAL,
        "An attenuator, terminator or damper is part of the wire as it was proved.",
    ),
    rule(
        22,
        K.CONDITIONED,
        R.SOURCE,
        SIGNAL,
        "It is a part of what the source drives, so every wire multiplied with this one feels it.",
    ),
    rule(
        23,
        K.CONDITIONED,
        R.GROUPS,
        ("functional check", "margin check"),
        "It moves the level or the edge that the next stage decides by.",
    ),
)
