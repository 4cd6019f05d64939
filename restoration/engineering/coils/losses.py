"""What a coil takes of wire, and what it loses: length, resistance, quality."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.coils.sheet import Layer
from restoration.engineering.refusals import refuse_below_zero, refuse_not_finite, refuse_unless
from restoration.engineering.wires.copper import ohm_per_metre, skin_factor


def wire_length_m(layer: Layer) -> float:
    """Length of wire in the turns of a layer, without its ends.

    Formula: N sqrt((pi D)² + p²), the helix. Source: geometry. Valid for turns round a cylinder. Units: metres.
    Errors: none of its own.

    >>> round(wire_length_m(Layer(100, 0.025, 0.04)), 4)
    7.8541
    """
    return layer.turns * math.hypot(math.pi * layer.diameter_m, layer.pitch_m)


def winding_ohm(length_m: float, bare_m: float, temperature_c: float = 20.0) -> float:
    """Resistance of so much copper wire for a steady current.

    Formula: length × ohm_per_metre. Source: IEC 60028. Valid as `ohm_per_metre`. Units: metres and degrees Celsius in,
    ohms out. Errors: ValueError for a length below zero, and as `ohm_per_metre`.

    >>> round(winding_ohm(7.85398, 0.00040492), 3)
    1.052
    """
    refuse_below_zero(length_m=length_m)
    return length_m * ohm_per_metre(bare_m, temperature_c)


@dataclass(frozen=True)
class Quality:
    """Q of a coil at a frequency: with its steady resistance, and with the skin effect of a straight wire.

    Both are above what is measured: turns side by side lose more than one wire alone.
    """

    frequency_hz: float
    steady: float
    with_skin: float
    skin_factor: float


def quality(inductance_h: float, winding_ohm: float, bare_m: float, frequency_hz: float) -> Quality:
    """Q of a coil by its wire: never less lossy than with the skin effect, so its Q is at most that.

    Formula: Q = 2 pi f L / R, and the same with R × skin_factor. Source: definition; `skin_factor`. Valid well below
    self-resonance; turns side by side raise the resistance further (Medhurst 1947: up to several times, close wound
    and thick), and former and covering take their part. Units: henries, ohms, metres, hertz in; no unit out. Errors:
    ValueError for what is not above zero and finite.

    >>> found = quality(100e-6, 2.0, 0.0004, 100e3)
    >>> round(found.steady, 2), round(found.with_skin, 2)
    (31.42, 30.88)
    """
    given = (
        (inductance_h, "An inductance", "H"),
        (winding_ohm, "The resistance of a winding", "ohm"),
        (frequency_hz, "A frequency", "Hz"),
    )
    for value, words, unit in given:
        refuse_unless(0.0 < value < math.inf, f"{words} is above zero and finite; {value} {unit} was given.")
    factor = skin_factor(bare_m, frequency_hz)
    steady = 2.0 * math.pi * frequency_hz * inductance_h / winding_ohm
    return Quality(frequency_hz, steady, steady / factor, factor)


def with_allowance_m(length_m: float, ends_m: float = 0.3, part: float = 0.05) -> float:
    """Length of wire to cut: what the turns take, a part more, and two ends.

    Formula: length × (1 + part) + ends. Source: common practice, no source. Valid for hand winding. Units: metres.
    Errors: ValueError for what is below zero or not finite.

    >>> round(with_allowance_m(10.0), 2)
    10.8
    """
    refuse_not_finite(length_m=length_m, ends_m=ends_m, part=part)
    refuse_below_zero(length_m=length_m, ends_m=ends_m, part=part)
    return length_m * (1.0 + part) + ends_m
