"""A single layer as a sheet of current: its exact inductance, the short formulas, and what round wire changes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ellipe, ellipkm1

from restoration.engineering.refusals import refuse_unless

Floats = NDArray[np.float64]

MU0 = 4e-7 * math.pi
"""Magnetic constant in H/m, as it was exact until 2019; it has moved by less than 2e-10 since."""

INCH_M = 0.0254
_LONG = 1e-4  # diameter over length below which the series of a long coil is exact to 1e-8


@dataclass(frozen=True)
class Layer:
    """Turns in one layer: the diameter to the centres of the wire, and the length of the sheet, turns × pitch.

    Raises ValueError for what cannot be wound: a number that is not above zero, and a coil longer than its wire.

    >>> Layer(100, 0.0254, 0.0254).pitch_m
    0.000254
    >>> Layer(2, 0.02, 0.2)
    Traceback (most recent call last):
    ValueError: The winding is 200 mm long, and 2 turns of 20 mm across take only 126 mm of wire round the former: ...
    """

    turns: float
    diameter_m: float
    length_m: float

    def __post_init__(self) -> None:
        for value, words in (
            (self.turns, "a number of turns"),
            (self.diameter_m, "a diameter"),
            (self.length_m, "a length"),
        ):
            refuse_unless(0.0 < value < math.inf, f"A coil has {words} above zero; {value} was given.")
        round_m = self.turns * math.pi * self.diameter_m
        refuse_unless(
            self.length_m <= round_m,
            f"The winding is {_mm(self.length_m)} long, and {self.turns:g} turns of {_mm(self.diameter_m)} across take"
            f" only {_mm(round_m)} of wire round the former: a coil is not longer than its wire.",
        )

    @property
    def pitch_m(self) -> float:
        """From one turn to the next."""
        return self.length_m / self.turns

    @property
    def slenderness(self) -> float:
        """Length over diameter."""
        return self.length_m / self.diameter_m

    @property
    def scale_h(self) -> float:
        """What every formula multiplies: mu0 × turns² × radius."""
        return MU0 * self.turns**2 * self.diameter_m / 2.0


def _mm(metres: float) -> str:
    return f"{metres * 1e3:.3g} mm"


def nagaoka(diameter_over_length: float) -> float:
    """Nagaoka's coefficient: what part of a very long coil's inductance a coil of this shape has.

    Formula: K = 4 / (3 pi k') × [(k'/k)² (K(k) - E(k)) + E(k) - k], k² = D² / (D² + l²), k' = sqrt(1 - k²), with the
    complete elliptic integrals; for D/l below 1e-4 the series 1 - 4/(3 pi) D/l + (D/l)²/8. Source: H. Nagaoka, J.
    Coll. Sci. Tokyo 27 (1909), from memory, checked against Grover's table 36. Valid for any shape of an even sheet of
    current. Units: none. Errors: ValueError for a ratio below zero or not finite.

    >>> round(nagaoka(1.0), 7), round(nagaoka(0.1), 7), nagaoka(0.0)
    (0.6884226, 0.9588071, 1.0)
    """
    asked = f"Diameter over length is zero or more and finite; {diameter_over_length} was given."
    refuse_unless(0.0 <= diameter_over_length < math.inf, asked)
    if diameter_over_length < _LONG:
        return 1.0 - 4.0 / (3.0 * math.pi) * diameter_over_length + diameter_over_length**2 / 8.0
    hypotenuse = math.hypot(1.0, diameter_over_length)
    k, kept = diameter_over_length / hypotenuse, 1.0 / hypotenuse
    first, second = float(ellipkm1(kept**2)), float(ellipe(k**2))
    return 4.0 / (3.0 * math.pi * kept) * ((kept / k) ** 2 * (first - second) + second - k)


def current_sheet_h(layer: Layer) -> float:
    """Inductance of a single layer taken as an even sheet of current.

    Formula: L = mu0 N² A / l × nagaoka(D / l), A = pi D² / 4. Source: as `nagaoka`; checked against Lyle 1914 p. 429.
    Valid for any length; turns of round wire differ by `round_wire_h`. Units: henries. Errors: none of its own.

    >>> round(current_sheet_h(Layer(100, 0.0254, 0.0254)) * 1e6, 4)
    172.5793
    """
    area_m2 = math.pi * layer.diameter_m**2 / 4.0
    return MU0 * layer.turns**2 * area_m2 / layer.length_m * nagaoka(layer.diameter_m / layer.length_m)


def wheeler_1928_h(layer: Layer) -> float:
    """Inductance of a single layer by Wheeler's short formula of 1928.

    Formula: L = r² N² / (9 r + 10 l) microhenries, inches. Source: H. A. Wheeler, Proc. IRE 16 (1928), from memory.
    Valid to 1 % for a length of 0.4 diameters or more (computed: within 0.6 %); at a tenth of the diameter it is 11 %
    low. Units: henries. Errors: none of its own.

    >>> round(wheeler_1928_h(Layer(100, 0.0254, 0.0254)) * 1e6, 4)
    172.4138
    """
    radius, length = layer.diameter_m / 2.0 / INCH_M, layer.length_m / INCH_M
    return 1e-6 * radius**2 * layer.turns**2 / (9.0 * radius + 10.0 * length)


def wheeler_1982_h(layer: Layer) -> float:
    """Inductance of a single layer by Wheeler's continuous formula of 1982.

    Formula: mu0 N² a {ln(1 + pi a/b) + 1 / [2.3 + 1.6 b/a + 0.44 (b/a)²]}, radius a, length b. Source: H. A. Wheeler,
    Proc. IEEE 70 (1982), from memory. Valid for any length, within 0.1 % from 0.01 to 100 diameters (computed).
    Units: henries. Errors: none of its own.

    >>> round(wheeler_1982_h(Layer(50, 0.05, 0.01)) / current_sheet_h(Layer(50, 0.05, 0.01)) - 1, 5)
    0.00046
    """
    long = 2.0 * layer.slenderness
    return layer.scale_h * (math.log(1.0 + math.pi / long) + 1.0 / (2.3 + 1.6 * long + 0.44 * long**2))


def lundin_h(layer: Layer) -> float:
    """Inductance of a single layer by Lundin's handbook formula.

    Formula: with x = (2a/b)² or its inverse, f1 = (1 + 0.383901 x + 0.017108 x²) / (1 + 0.258952 x) and f2 =
    0.093842 x + 0.002029 x² - 0.000801 x³: mu0 N² pi a²/b [f1 - 4/(3 pi) 2a/b] for 2a <= b, otherwise mu0 N² a
    {[ln(8a/b) - 1/2] f1 + f2}. Source: R. Lundin, Proc. IEEE 73 (1985), from memory. Valid for any length, within
    3e-6 (computed). Units: henries. Errors: none of its own.

    >>> round(lundin_h(Layer(10, 0.018, 0.02)) * 1e6, 5)
    1.13675
    """
    ratio = 1.0 / layer.slenderness
    x = min(ratio, 1.0 / ratio) ** 2
    first = (1.0 + 0.383901 * x + 0.017108 * x**2) / (1.0 + 0.258952 * x)
    if ratio <= 1.0:
        return layer.scale_h * math.pi / 2.0 * ratio * (first - 4.0 / (3.0 * math.pi) * ratio)
    second = 0.093842 * x + 0.002029 * x**2 - 0.000801 * x**3
    return layer.scale_h * ((math.log(4.0 * ratio) - 0.5) * first + second)


def round_wire_h(layer: Layer, bare_m: float, *, is_high_frequency: bool = False) -> float:
    """What round turns add to the inductance of the sheet; mostly a little less than nothing.

    Formula: -mu0 a N (A + B), A = 5/4 - ln(2 p / d) for a current spread evenly over the wire, 3/2 - ln(2 p / d) for
    one on its skin, p the pitch and d the bare wire; B = -2/N × sum over k = 1 to N - 1 of (N - k) (ln R_k - ln k),
    R_k the geometric mean distance of two strips of width 1 whose middles are k apart. Source: E. B. Rosa, Bull. Bur.
    Stand. 2 (1906), from memory; derived anew from the distances, which gives Rosa's table. Valid for a pitch well
    below the radius. Units: henries. Errors: ValueError for a wire that is thicker than the pitch, or not above zero.

    >>> layer = Layer(20, 0.025, 0.02)
    >>> round(round_wire_h(layer, 0.0005) / current_sheet_h(layer), 4)
    -0.0064
    """
    refuse_unless(0.0 < bare_m < math.inf, f"A wire has a diameter above zero; {bare_m} m was given.")
    lies = bare_m <= layer.pitch_m * (1.0 + 1e-9)
    refuse_unless(
        lies, f"Wire {_mm(bare_m)} thick does not lie {_mm(layer.pitch_m)} from turn to turn in a single layer."
    )
    own = (1.5 if is_high_frequency else 1.25) - math.log(2.0 * layer.pitch_m / bare_m)
    return -MU0 * layer.diameter_m / 2.0 * layer.turns * (own + rosa_b(layer.turns))


def rosa_b(turns: float) -> float:
    """Rosa's B: what the distances between round turns differ from those between strips of a sheet.

    Formula and source: as `round_wire_h`. Valid for one turn or more; between whole numbers a straight line. Units:
    none. Errors: ValueError for turns not above zero.

    >>> round(rosa_b(2), 4), round(rosa_b(10), 4), rosa_b(1)
    (0.1137, 0.2664, 0.0)
    """
    refuse_unless(0.0 < turns < math.inf, f"A coil has a number of turns above zero; {turns} was given.")
    whole = max(1, math.floor(turns))
    here = _rosa_b(whole)
    return here if turns <= whole else here + (turns - whole) * (_rosa_b(whole + 1) - here)


def _rosa_b(turns: int) -> float:
    apart = np.arange(1, turns, dtype=float)
    return float(2.0 / turns * ((apart - turns) * _strips_over_points(apart)).sum())


def _strips_over_points(apart: Floats) -> Floats:
    """ln R_k - ln k of two strips of width 1: the whole formula near by, its series far away."""
    near, far = apart[apart < 30.0], apart[apart >= 30.0]
    less = np.where(near > 1.0, near - 1.0, 1.0)  # 0² ln 0 is 0, as 1² ln 1
    whole = 0.5 * (near + 1.0) ** 2 * np.log(near + 1.0) + 0.5 * (near - 1.0) ** 2 * np.log(less)
    whole += -(near**2) * np.log(near) - 1.5 - np.log(near)
    series = -1.0 / (12.0 * far**2) - 1.0 / (60.0 * far**4) - 1.0 / (168.0 * far**6)
    return np.concatenate([whole, series])
