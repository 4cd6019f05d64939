"""Self-capacitance of a single layer by Medhurst's table, and the self-resonance that it makes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from scipy.interpolate import PchipInterpolator

from restoration.engineering.coils.sheet import Layer
from restoration.engineering.refusals import refuse_unless
from restoration.engineering.second_order import resonance_hz

MEDHURST: Mapping[float, float] = {
    0.10: 0.96, 0.15: 0.79, 0.20: 0.70, 0.25: 0.64, 0.30: 0.60, 0.35: 0.57, 0.40: 0.54, 0.45: 0.52, 0.50: 0.50,
    0.60: 0.48, 0.70: 0.47, 0.80: 0.46, 0.90: 0.46, 1.0: 0.46, 1.5: 0.47, 2.0: 0.50, 2.5: 0.56, 3.0: 0.61, 3.5: 0.67,
    4.0: 0.72, 4.5: 0.77, 5.0: 0.81, 6.0: 0.92, 7.0: 1.01, 8.0: 1.12, 9.0: 1.22, 10.0: 1.32, 15.0: 1.86, 20.0: 2.36,
    25.0: 2.9, 30.0: 3.4, 40.0: 4.6, 50.0: 5.8,
}  # fmt: skip
"""H in picofarads per centimetre of diameter, by length over diameter. R. G. Medhurst, Wireless Engineer 24 (Feb. and
March 1947), as a public letter of November 1997 (pupman.com list) prints it."""

DISAGREES: Mapping[float, float] = {2.0: 0.51}
"""Where another letter on the same list (September 1997) prints another value of H."""

LEAST_SHAPE, MOST_SHAPE = 0.1, 50.0
ADVISED_PART = 1.0 / 3.0
"""Measure an inductance below this part of the self-resonance (common practice): it then reads up to an eighth high."""

_SMOOTH = PchipInterpolator([math.log(shape) for shape in MEDHURST], [math.log(h) for h in MEDHURST.values()])


def medhurst_h(length_over_diameter: float) -> float:
    """Medhurst's H, picofarads per centimetre of diameter, of a coil of this shape.

    Formula: between the values of the table a smooth line that keeps their rise and fall (logarithms, monotone
    cubics). Source: see `MEDHURST`; two published values for 2.0 disagree, 0.50 (used) and 0.51. Valid from 0.1 to 50,
    one end earthed, close wound or nearly, leads left out. Units: none in; pF/cm out. Errors: ValueError outside.

    >>> round(medhurst_h(1.0), 2), round(medhurst_h(12.0), 2)
    (0.46, 1.54)
    """
    asked = f"Medhurst's table goes from 0.1 to 50 for length over diameter; {length_over_diameter:.4g} was given."
    refuse_unless(LEAST_SHAPE <= length_over_diameter <= MOST_SHAPE, asked)
    return math.exp(float(_SMOOTH(math.log(length_over_diameter))))


def self_capacitance_f(layer: Layer) -> float:
    """Self-capacitance of a single layer with one end earthed.

    Formula: C = H D, D in centimetres, picofarads. Source and validity: as `medhurst_h`; measured coils on a solid
    former, with a thick covering or near a chassis have more. Expect a tenth either way. Units: farads. Errors: as
    `medhurst_h`.

    >>> round(self_capacitance_f(Layer(100, 0.025, 0.05)) * 1e12, 3)
    1.25
    """
    return medhurst_h(layer.slenderness) * layer.diameter_m * 1e2 * 1e-12


@dataclass(frozen=True)
class Resonance:
    """Where a coil rings by itself, and the highest frequency at which to measure its inductance."""

    frequency_hz: float
    measure_below_hz: float


def self_resonance(inductance_h: float, capacitance_f: float) -> Resonance:
    """Self-resonance of a coil with what lies across it.

    Formula: f0 = 1 / (2 pi sqrt(L C)); below f0/3 the apparent inductance L / (1 - (f/f0)²) is at most 1/8 high.
    Source: textbook; a third is common practice. Valid for one capacitance across the coil. Units: henries and farads
    in, hertz out. Errors: ValueError for what is not above zero and finite.

    >>> round(self_resonance(100e-6, 100e-12).frequency_hz)
    1591549
    """
    for value, words in ((inductance_h, "An inductance"), (capacitance_f, "A capacitance")):
        refuse_unless(0.0 < value < math.inf, f"{words} is above zero and finite; {value} was given.")
    frequency_hz = resonance_hz(inductance_h, capacitance_f)
    return Resonance(frequency_hz, frequency_hz * ADVISED_PART)


def apparent_factor(part_of_resonance: float) -> float:
    """How many times its true inductance a coil shows at a part of its self-resonance.

    Formula: 1 / (1 - x²). Source: textbook. Valid for a lossless coil below its resonance. Units: none. Errors:
    ValueError outside 0 to below 1.

    >>> apparent_factor(1 / 3)
    1.125
    """
    asked = f"A part of the self-resonance is from 0 to below 1; {part_of_resonance} was given."
    refuse_unless(0.0 <= part_of_resonance < 1.0, asked)
    return 1.0 / (1.0 - part_of_resonance**2)
