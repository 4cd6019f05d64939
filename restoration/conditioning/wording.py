"""Parts on a link as people say them, for pages, notes and the log book."""

from restoration.engineering.in_place.arrangement import Arrangement

NOUNS = {
    "series_ohm": "damping resistor",
    "source_shunt_ohm": "resistor at the source",
    "attenuator_ohm": "attenuator",
    "attenuator_f": "attenuator",
    "shunt_ohm": "terminator",
    "shunt_coupling_f": "terminator",
}
DIVIDER = "attenuator"


def nouns_of(before: Arrangement, after: Arrangement) -> str:
    """Name what was fitted, changed or taken off: damping resistor, attenuator, terminator.

    A resistor to earth behind one in series is part of the attenuator.

    >>> nouns_of(Arrangement(), Arrangement(series_ohm=330.0, shunt_ohm=1e3))
    'damping resistor and terminator'
    >>> nouns_of(Arrangement(attenuator_ohm=1e3, shunt_ohm=1e3), Arrangement())
    'attenuator'
    """
    were, are = before.as_dict(), after.as_dict()
    changed = [role for role in NOUNS if were.get(role) != are.get(role)]
    divides = before.attenuator_ohm or after.attenuator_ohm
    nouns = [DIVIDER if role == "shunt_ohm" and divides else NOUNS[role] for role in changed]
    return " and ".join(dict.fromkeys(nouns)) or "part"
