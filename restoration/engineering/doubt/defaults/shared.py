"""Changes that are shared: rails, earths, drawings, instruments, long rests and knocks."""

from restoration.engineering.doubt.defaults.making import POWER_UP, SIGNAL, rule
from restoration.engineering.doubt.kinds import Kind, Reach, Share
from restoration.engineering.doubt.rule import Rule

K, R = Kind, Reach
SHARED: tuple[Rule, ...] = (
    rule(
        24,
        K.RAIL,
        R.RAIL_CHASSIS,
        POWER_UP,
        "Every DC point hangs on its rails. On an HT or bias rail “heaters on” is left alone; on a heater rail both "
        "are asked for, because what a cathode gives decides the DC points too.",
    ),
    rule(
        25,
        K.RAIL,
        R.RAIL_LINKS,
        SIGNAL,
        "Amplitudes follow the rail. All critical links are asked for, and of the rest a sample: to leave out the "
        "rest altogether would miss a stage that only just worked.",
        Share.CRITICAL_AND_SAMPLE,
    ),
    rule(
        26,
        K.RAIL,
        R.RACKS,
        ("heaters proved", "HT proved"),
        "The supply itself was proved at its old setting and with its old parts; which of the two is asked for "
        "follows from what the rail carries.",
    ),
    rule(
        27,
        K.RAIL,
        R.GROUPS,
        ("margin check", "soak"),
        "Margins are distances from where a rail stood, and a supply part shows its faults when it is warm.",
    ),
    rule(
        28,
        K.EARTH,
        R.RACK_LINKS,
        SIGNAL,
        "Earth currents find new ways and couple into wires nobody touched; a sample in every rack touched tells.",
        Share.SAMPLE,
    ),
    rule(
        29,
        K.EARTH,
        R.RACKS,
        ("bonded",),
        "The bond was measured before the earth was changed. Whether the mains side is touched is for the competent "
        "electrician to say.",
    ),
    rule(
        30,
        K.EARTH,
        R.GROUPS,
        ("soak",),
        "Noise by way of an earth comes and goes; it takes hours to be seen.",
    ),
    rule(
        31,
        K.DRAWING_AS_BUILT,
        R.OLDER_UNITS,
        (),
        "Only the paper was wrong: the units are what they were, and what was seen of them holds. It is recorded, and "
        "nothing is asked for.",
    ),
    rule(
        32,
        K.DRAWING_FUNCTION,
        R.OLDER_UNITS,
        ("bench-tested",),
        "A unit built to an older issue was tested against another function: it waits for a decision. What is decided "
        "(rework, another part, leave it) is recorded as a change of its own, and that one asks for links and groups.",
    ),
    rule(
        33,
        K.INSTRUMENT,
        R.MADE_WITH,
        ("bench-tested", "signal-checked"),
        "A figure is worth what its instrument was worth; nobody knows on which day it left its limits.",
    ),
    rule(
        34,
        K.REST,
        R.RACK_CHASSIS,
        POWER_UP,
        "Capacitors lose their forming and contacts film over: power comes up again step by step.",
    ),
    rule(
        35,
        K.REST,
        R.RACK_LINKS,
        SIGNAL,
        "A sample of the critical links shows whether the rest has told on the wires.",
        Share.CRITICAL_SAMPLE,
        3,
    ),
    rule(
        36,
        K.REST,
        R.RACKS,
        ("heaters proved", "HT proved"),
        "The supplies have rested too; they are proved on a dummy load before any chassis hangs on them.",
    ),
    rule(
        37,
        K.REST,
        R.GROUPS,
        ("functional check",),
        "That every part came back says nothing yet of their working together.",
    ),
    rule(
        38,
        K.KNOCK,
        R.RACK_CHASSIS,
        ("cold-checked", *POWER_UP),
        "Joints crack, valves shift in their sockets, damp creeps: it is looked over cold before power comes up again.",
    ),
    rule(
        39,
        K.KNOCK,
        R.RACK_LINKS,
        SIGNAL,
        "A sample of the critical links shows whether a joint has given way.",
        Share.CRITICAL_SAMPLE,
        3,
    ),
    rule(
        40,
        K.KNOCK,
        R.RACKS,
        ("bonded", "heaters proved", "HT proved"),
        "A bond may have worked loose, and damp is first felt in a supply. Knock and damp have one rule, and it asks "
        "for what the worse of them needs.",
    ),
    rule(
        41,
        K.KNOCK,
        R.GROUPS,
        ("functional check",),
        "What was shaken is run as a whole before it is trusted.",
    ),
)
