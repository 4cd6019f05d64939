"""Polynomials in s of the lowest orders, as what resistors and capacitors make them: tuples, lowest power first."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

import numpy as np

Polynomial = tuple[float, ...]


def times(first: Polynomial, second: Polynomial) -> Polynomial:
    """The product. Formula: convolution. Source: algebra. Valid for any. Units: none. Errors: none.

    >>> times((1.0, 2.0), (3.0, 4.0))
    (3.0, 10.0, 8.0)
    """
    product = [0.0] * (len(first) + len(second) - 1)
    for power, here in enumerate(first):
        for other, there in enumerate(second):
            product[power + other] += here * there
    return tuple(product)


def plus(first: Polynomial, second: Polynomial, weight: float = 1.0) -> Polynomial:
    """The first and so many times the second. Source: algebra. Valid for any. Units: none. Errors: none.

    >>> plus((1.0, 2.0), (1.0,), -1.0)
    (0.0, 2.0)
    """
    total = [*first] + [0.0] * (len(second) - len(first))
    for power, here in enumerate(second):
        total[power] += weight * here
    return tuple(total)


def at(polynomial: Polynomial, s: complex) -> complex:
    """The value at s. Formula: Horner's. Source: algebra. Valid for any. Units: none. Errors: none.

    >>> at((1.0, 2.0, 3.0), 2.0)
    17.0
    """
    value: complex = 0.0
    for coefficient in reversed(polynomial):
        value = value * s + coefficient
    return value


def line(constant: float, slope: float) -> Polynomial:
    """A polynomial of order one, or nought where it has no slope. Source: algebra. Units: none. Errors: none.

    >>> line(1.0, 2.0), line(1.0, 0.0)
    ((1.0, 2.0), (1.0,))
    """
    return (constant, slope) if slope else (constant,)


def shortened(polynomial: Polynomial) -> Polynomial:
    """Without the highest powers that have nothing to them. Source: algebra. Units: none. Errors: none.

    >>> shortened((0.0, 2.0, 0.0)), shortened((0.0,))
    ((0.0, 2.0), ())
    """
    size = len(polynomial)
    while size and polynomial[size - 1] == 0.0:
        size -= 1
    return polynomial[:size]


def real_roots(polynomial: Polynomial) -> Sequence[float]:
    """All roots of a polynomial whose roots are real, its highest power not zero.

    Formula: c of a line, the stable quadratic formula, the companion matrix above. Source: algebra. Valid for real
    roots; of a double root that rounding parts into a pair the real part is taken. Units: 1 / that of the variable.
    Errors: none.

    >>> real_roots((2.0, -3.0, 1.0)), real_roots((4.0, 2.0)), real_roots((1.0,))
    ((2.0, 1.0), (-2.0,), ())
    """
    if len(polynomial) < 2:
        return ()
    if len(polynomial) == 2:
        return (-polynomial[0] / polynomial[1],)
    if len(polynomial) == 3:
        constant, slope, square = polynomial
        apart = cmath.sqrt(slope * slope - 4.0 * square * constant).real
        larger = -(slope + math.copysign(apart, slope)) / 2.0
        return (larger / square, constant / larger if larger else 0.0)
    return tuple(float(root) for root in np.roots(polynomial[::-1]).real)
