"""Cases that several tests use."""

from restoration.engineering.in_place import LinkCase, OtherWire, WireConstants
from restoration.engineering.link_model import LinkLoad, PulseSource

WIRE = WireConstants(12e-12, 0.9e-6)
PULSE = PulseSource(0.0, 20.0, 1.5e-6, 1e-7, 1.2e-7, resistance_ohm=250.0)
LOAD = LinkLoad(47e3, 30e-12)


def a_case(**changes):
    """A link of 3 m on a source of 250 Ω."""
    given = {"source": PULSE, "length_m": 3.0, "wire": WIRE, "load": LOAD, "code": "K1"}
    return LinkCase(**{**given, **changes})


def other(code="K2", length_m=2.0, load=LOAD, **changes):
    return OtherWire(code, length_m, WIRE, load, **changes)
