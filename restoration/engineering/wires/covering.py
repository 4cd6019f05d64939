"""What a wire is covered with, how thick that makes it, and how many turns lie side by side."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from restoration.engineering.refusals import refuse_unless

_DUST = 1e-9  # relative: what arithmetic leaves on a length that is a whole number of turns


@dataclass(frozen=True)
class Covering:
    """A covering: what it adds to a bare diameter d in millimetres is `adds_mm` × d ** `power`.

    >>> COVERINGS["double cotton"].adds_mm
    0.25
    """

    words: str
    adds_mm: float
    power: float


COVERINGS: Mapping[str, Covering] = {
    "bare": Covering("bare", 0.0, 0.0),
    "enamel 1": Covering("enamelled, grade 1", 0.062, 0.56),
    "enamel 2": Covering("enamelled, grade 2", 0.094, 0.57),
    "single silk": Covering("single silk covered", 0.05, 0.0),
    "double silk": Covering("double silk covered", 0.09, 0.0),
    "single cotton": Covering("single cotton covered", 0.14, 0.0),
    "double cotton": Covering("double cotton covered", 0.25, 0.0),
}
"""Coverings. Enamel: a smooth line through the largest overall diameters of IEC 60317-0-1, from memory, good to about
a tenth of the increase from 0.05 to 2 mm. Silk and cotton: usual thicknesses, from memory. Measure the wire."""


def covered_m(bare_m: float, covering: str) -> float:
    """Diameter over the covering, to plan with until the wire is measured.

    Formula: d + adds × d ** power, in millimetres. Source: see `COVERINGS`, from memory. Valid from 0.05 to 2 mm; ten
    turns laid side by side and measured are better. Units: metres. Errors: ValueError for an unknown covering and a
    diameter not above zero.

    >>> round(covered_m(0.0005, "enamel 1") * 1e3, 3), round(covered_m(0.0005, "double cotton") * 1e3, 3)
    (0.542, 0.75)
    """
    known = ", ".join(COVERINGS)
    refuse_unless(covering in COVERINGS, f"“{covering}” is no covering known here; known are {known}.")
    refuse_unless(0.0 < bare_m < math.inf, f"A wire has a diameter above zero; {bare_m} m was given.")
    found = COVERINGS[covering]
    return bare_m + found.adds_mm * 1e-3 * math.pow(bare_m * 1e3, found.power)


def turns_per_layer(winding_length_m: float, pitch_m: float) -> int:
    """How many whole turns lie side by side in a winding length.

    Formula: floor(length / pitch), where a length that falls short of a whole turn only by the dust of arithmetic
    (one part in 1e9) counts as whole. Source: common practice, no source. Valid for turns laid straight; where the
    wire crosses to the next turn or layer, practice leaves one place free. Units: metres in, turns out. Errors:
    ValueError for a length or a pitch that is not above zero and finite.

    >>> turns_per_layer(0.04, 0.0005), turns_per_layer(0.04, 0.0004572), turns_per_layer(0.3, 0.1)
    (80, 87, 3)
    """
    asked = f"A winding length is above zero; {winding_length_m} m was given."
    refuse_unless(0.0 < winding_length_m < math.inf, asked)
    refuse_unless(0.0 < pitch_m < math.inf, f"A pitch from turn to turn is above zero; {pitch_m} m was given.")
    return math.floor(winding_length_m / pitch_m * (1.0 + _DUST))
