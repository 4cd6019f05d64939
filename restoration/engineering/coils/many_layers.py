"""Coils of several layers: the sum of what each layer does to each other, the even block, and Wheeler's formula."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ellipe, ellipkm1

from restoration.engineering.coils.sheet import INCH_M, MU0, Floats, Layer, current_sheet_h, round_wire_h
from restoration.engineering.refusals import refuse_unless

MOST_LAYERS = 100
"""More layers than this are no coil that anybody winds here, and would take long to add up."""

_MIDDLES, _FULL = np.polynomial.legendre.leggauss(24)
_POINTS, _WEIGHTS = 0.5 * (_MIDDLES + 1.0), 0.5 * _FULL
# Middles and weights for a logarithm at zero: u = t³ crowds the points there.
_CROWDED, _CROWDED_WEIGHTS = _POINTS**3, 3.0 * _POINTS**2 * _WEIGHTS


@dataclass(frozen=True)
class Laid:
    """A layer and where along the former it starts."""

    layer: Layer
    start_m: float = 0.0


def loops_h(first_radius_m: Floats, second_radius_m: Floats, apart_m: Floats) -> Floats:
    """Mutual inductance of two thin loops on one axis.

    Formula: mu0 sqrt(a b) [(2/k - k) K(k) - 2/k E(k)], k² = 4 a b / ((a + b)² + z²). Source: J. C. Maxwell, Treatise
    art. 701, from memory; checked against Neumann's integral. Valid for loops that do not coincide. Shapes: any three
    that fit together. Units: metres in, henries out. Errors: none; loops that coincide give infinity.

    >>> round(float(loops_h(np.array(0.1), np.array(0.1), np.array(0.1))) * 1e9, 3)
    49.408
    """
    across = (first_radius_m + second_radius_m) ** 2 + apart_m**2
    square = np.minimum(1.0, 4.0 * first_radius_m * second_radius_m / across)
    left = ((first_radius_m - second_radius_m) ** 2 + apart_m**2) / across  # 1 - k² without taking off
    k = np.sqrt(square)
    scale = MU0 * np.sqrt(first_radius_m * second_radius_m)
    return np.asarray(scale * ((2.0 / k - k) * ellipkm1(left) - 2.0 / k * ellipe(square)))


def layered_h(laid: Sequence[Laid], bare_m: float | None = None) -> float:
    """Inductance of a coil as the sum over its layers, each with each, all in series.

    Formula: sum of each layer's own (`current_sheet_h`, and with a wire `round_wire_h`) and of the mutual inductance
    of every two: the mean of `loops_h` over both lengths. Source: textbook, from memory; checked against the Bessel
    integral of coaxial sheets. Valid for layers of unlike radius, one after another, of any lengths and starts; with
    round wire the coupling of two layers that touch is taken as that of sheets, which is right to about 0.1 %. Units:
    henries. Errors: ValueError for no layer and for more than `MOST_LAYERS`.

    >>> inner, outer = Laid(Layer(50, 0.02, 0.025)), Laid(Layer(50, 0.021, 0.025))
    >>> round(layered_h([inner, outer]) * 1e6, 2)
    117.27
    """
    count = len(laid)
    refuse_unless(1 <= count <= MOST_LAYERS, f"A coil has 1 to {MOST_LAYERS} layers here; {count} were given.")
    own = sum(current_sheet_h(each.layer) for each in laid)
    if bare_m is not None:
        own += sum(round_wire_h(each.layer, bare_m) for each in laid)
    return own + 2.0 * _mutual_sum_h(laid)


def _mutual_sum_h(laid: Sequence[Laid]) -> float:
    """Mutual inductances of all pairs of unlike layers."""
    first, second = np.triu_indices(len(laid), 1)
    if not first.size:
        return 0.0
    radius = np.array([each.layer.diameter_m / 2.0 for each in laid])
    start = np.array([each.start_m for each in laid])
    end = start + np.array([each.layer.length_m for each in laid])
    per_metre = np.array([each.layer.turns / each.layer.length_m for each in laid])
    corners = ((end, start, 1.0), (start, end, 1.0), (start, start, -1.0), (end, end, -1.0))
    whole = sum(
        sign * _twice_summed(radius[first], radius[second], one[first] - other[second]) for one, other, sign in corners
    )
    return float((per_metre[first] * per_metre[second] * whole).sum())


def _twice_summed(first_m: Floats, second_m: Floats, reach_m: Floats) -> Floats:
    """The integral over s from 0 to z of (z - s) M(s): four of these make the mean over two lengths."""
    apart = reach_m[..., None] * _CROWDED
    mutual = loops_h(first_m[..., None], second_m[..., None], apart)
    return np.asarray(reach_m**2 * ((1.0 - _CROWDED) * mutual * _CROWDED_WEIGHTS).sum(axis=-1))


@dataclass(frozen=True)
class Block:
    """A winding of rectangular section, filled evenly: mean radius, length along the axis, depth along the radius.

    Raises ValueError for what cannot be: a number not above zero, or a depth that reaches past the axis.

    >>> Block(100, 0.004, 0.01, 0.01)
    Traceback (most recent call last):
    ValueError: A winding 10 mm deep round a mean radius of 4 mm would reach past the axis.
    """

    turns: float
    radius_m: float
    length_m: float
    depth_m: float

    def __post_init__(self) -> None:
        for value, words in (
            (self.turns, "a number of turns"),
            (self.radius_m, "a radius"),
            (self.length_m, "a length"),
            (self.depth_m, "a depth"),
        ):
            refuse_unless(0.0 < value < math.inf, f"A coil has {words} above zero; {value} was given.")
        deep, radius = f"{self.depth_m * 1e3:.3g} mm", f"{self.radius_m * 1e3:.3g} mm"
        refuse_unless(
            self.depth_m < 2.0 * self.radius_m,
            f"A winding {deep} deep round a mean radius of {radius} would reach past the axis.",
        )


def block_h(block: Block) -> float:
    """Inductance of a winding of rectangular section with the current spread evenly over it.

    Formula: the mean of `loops_h` over the section, twice: over both lengths as in `layered_h`, over both radii r and
    r + w by Gauss's points, crowded where w is small. Source: definition; checked against a sum over loops, the Bessel
    integral, the coil of Brooks. Valid for any section whose inner radius is above zero, to about 1e-5; round
    wire in it adds about mu0 a N [ln(D/d) + 0.155] (Maxwell, from memory). Units: henries. Errors: none of its own.

    >>> round(block_h(Block(500, 0.01, 0.01, 0.01)) * 1e6, 1)
    3166.3
    """
    depth = block.depth_m
    apart = depth * _CROWDED
    inner = block.radius_m - depth / 2.0 + (depth - apart)[:, None] * _POINTS
    first = np.broadcast_to(inner, (apart.size, _POINTS.size))
    second = first + apart[:, None]
    means = 2.0 * _twice_summed(first, second, np.full(first.shape, block.length_m)) / block.length_m**2
    over_w = ((depth - apart) * (means * _WEIGHTS).sum(axis=1) * depth * _CROWDED_WEIGHTS).sum()
    return float(block.turns**2 * 2.0 * over_w / depth**2)


def wheeler_multilayer_h(block: Block) -> float:
    """Inductance of a winding of rectangular section by Wheeler's formula.

    Formula: 0.8 a² N² / (6 a + 9 b + 10 c) microhenries, inches, a mean radius, b length, c depth. Source: H. A.
    Wheeler, Proc. IRE 16 (1928), from memory. Valid to about 1 % where the three terms of the denominator are about
    equal; on five coils computed here it was between 0.5 % low and 1.5 % high. Units: henries. Errors: none of its own.

    >>> round(wheeler_multilayer_h(Block(500, 0.01, 0.01, 0.01)) * 1e6, 3)
    3149.606
    """
    radius, length, depth = (part / INCH_M for part in (block.radius_m, block.length_m, block.depth_m))
    return 1e-6 * 0.8 * radius**2 * block.turns**2 / (6.0 * radius + 9.0 * length + 10.0 * depth)
