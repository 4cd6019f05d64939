"""Kinds of change, how far each is felt, and how much of what it reaches is asked for again.

Common practice of commissioning, no source; a site may change what each rule asks.
"""

from enum import StrEnum


class Kind(StrEnum):
    """What was done, or came to light, that can put earlier evidence in doubt."""

    LIKE_VALVE = "valve replaced by one like it"
    LIKE_PART = "part replaced by one like it"
    OTHER_PART = "valve or part of another value or type"
    SWAPPED = "chassis swapped"
    FITTED = "chassis fitted for the first time"
    REFITTED = "chassis fitted where one was before"
    WITHDRAWN = "chassis withdrawn"
    SENT_BACK = "chassis sent back for rework"
    REMADE = "wire re-made or re-routed"
    JOINED = "wire joined or lifted"
    LOAD = "load added or lifted"
    CONDITIONED = "attenuator or terminator fitted or changed"
    WIRE_LIST = "wire changed on the wire list"
    OTHER_ENDS = "wire given other ends on the wire list"
    LIMITS = "signal or limits changed"
    FAULT = "fault logged"
    CONCESSION_OVER = "concession ran out"
    RAIL = "rail, its supply or decoupling changed"
    EARTH = "earth or screen changed"
    DRAWING_AS_BUILT = "drawing corrected to what is built"
    DRAWING_FUNCTION = "drawing issued with another function"
    INSTRUMENT = "instrument found out of limits"
    REST = "long rest"
    KNOCK = "knocked, moved or damp"


RECORDED = (
    Kind.SWAPPED,
    Kind.LIKE_VALVE,
    Kind.LIKE_PART,
    Kind.OTHER_PART,
    Kind.REMADE,
    Kind.LOAD,
    Kind.CONDITIONED,
    Kind.RAIL,
    Kind.EARTH,
    Kind.DRAWING_AS_BUILT,
    Kind.DRAWING_FUNCTION,
    Kind.INSTRUMENT,
    Kind.REST,
    Kind.KNOCK,
)
"""Kinds that a person records by a form; the others follow from acts that have a form of their own."""


class Reach(StrEnum):
    """How far a change is felt, from the thing that was changed."""

    CHASSIS = "the chassis"
    STAGE_OUT = "links out of the stage"
    STAGE_IN_OUT = "links in and out of the stage"
    SLOT_LINKS = "every link at the slot"
    TO_BARRIER = "links forward to the next barrier"
    LINK = "the link"
    SOURCE = "other loads on the same source"
    LOOM = "other links of the same loom"
    RAIL_CHASSIS = "chassis on the rail"
    RAIL_LINKS = "links at slots on the rail"
    RACKS = "the racks touched"
    RACK_CHASSIS = "chassis in the racks touched"
    RACK_LINKS = "links of the racks touched"
    OLDER_UNITS = "chassis built to an older issue"
    MADE_WITH = "records made with the instrument"
    GROUPS = "groups it belongs to"


class Share(StrEnum):
    """How much of what a change reaches is asked for again."""

    ALL = "all"
    CRITICAL = "the critical ones"
    SAMPLE = "one in so many"
    CRITICAL_SAMPLE = "one in so many of the critical ones"
    CRITICAL_AND_SAMPLE = "the critical ones, and one in so many of the rest"


FOLLOWING = (
    Kind.FITTED,
    Kind.REFITTED,
    Kind.WITHDRAWN,
    Kind.SENT_BACK,
    Kind.JOINED,
    Kind.LOAD,
    Kind.CONDITIONED,
    Kind.WIRE_LIST,
    Kind.OTHER_ENDS,
    Kind.LIMITS,
    Kind.FAULT,
    Kind.CONCESSION_OVER,
)
"""Kinds that follow from other acts, with no form of their own; a load and a part at a link may come either way."""

CHASSIS, INTERCONNECT, RACK, GROUP = "chassis", "interconnect", "rack", "group"

LEADS_TO: dict[Reach, tuple[str, ...]] = {
    Reach.CHASSIS: (CHASSIS,),
    Reach.STAGE_OUT: (INTERCONNECT,),
    Reach.STAGE_IN_OUT: (INTERCONNECT,),
    Reach.SLOT_LINKS: (INTERCONNECT,),
    Reach.TO_BARRIER: (INTERCONNECT,),
    Reach.LINK: (INTERCONNECT,),
    Reach.SOURCE: (INTERCONNECT,),
    Reach.LOOM: (INTERCONNECT,),
    Reach.RAIL_CHASSIS: (CHASSIS,),
    Reach.RAIL_LINKS: (INTERCONNECT,),
    Reach.RACKS: (RACK,),
    Reach.RACK_CHASSIS: (CHASSIS,),
    Reach.RACK_LINKS: (INTERCONNECT,),
    Reach.OLDER_UNITS: (CHASSIS,),
    Reach.MADE_WITH: (CHASSIS, INTERCONNECT),
    Reach.GROUPS: (GROUP,),
}
"""The kinds of thing that each reach leads to; their gates are those a rule of that reach can ask for."""
