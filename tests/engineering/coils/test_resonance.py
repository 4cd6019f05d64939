"""Medhurst's table and self-resonance."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.coils import Layer, apparent_factor, medhurst_h, self_capacitance_f, self_resonance
from restoration.engineering.coils.resonance import DISAGREES, MEDHURST


@pytest.mark.parametrize(
    ("shape", "h"),
    # Medhurst 1947 as a letter of November 1997 on the pupman.com list prints it.
    [
        (0.1, 0.96), (0.2, 0.70), (0.3, 0.60), (0.5, 0.50), (0.7, 0.47), (0.8, 0.46), (1.0, 0.46), (1.5, 0.47),
        (2.0, 0.50), (2.5, 0.56), (3.0, 0.61), (4.0, 0.72), (5.0, 0.81), (7.0, 1.01), (10.0, 1.32), (20.0, 2.36),
        (50.0, 5.8),
    ],
)  # fmt: skip
def test_table(shape, h):
    assert medhurst_h(shape) == pytest.approx(h, rel=1e-12)


def test_the_two_letters_that_disagree():
    """0.50 and 0.51 at 2.0: the one in the longer table is used, the other is told."""
    assert MEDHURST[2.0] == 0.50
    assert DISAGREES == {2.0: 0.51}
    assert abs(medhurst_h(2.0) / DISAGREES[2.0] - 1.0) < 0.03


def test_between_the_values_it_only_falls_and_then_rises():
    below, above = medhurst_h_over(0.1, 0.8), medhurst_h_over(1.0, 50.0)
    assert (np.diff(below) <= 1e-12).all()
    assert (np.diff(above) >= -1e-12).all()


def test_between_the_values_it_is_near_a_straight_line():
    """No value lies further than 7 % from the line through its neighbours, so nothing between can either."""
    shapes = sorted(MEDHURST)
    for before, between, after in zip(shapes, shapes[1:], shapes[2:], strict=False):
        part = math.log(between / before) / math.log(after / before)
        straight = (1 - part) * math.log(MEDHURST[before]) + part * math.log(MEDHURST[after])
        assert math.exp(straight) == pytest.approx(medhurst_h(between), rel=0.07)


def medhurst_h_over(least, most):
    return np.array([medhurst_h(shape) for shape in np.geomspace(least, most * (1 - 1e-12), 300)])


def test_worked_coil():
    """2.5 cm across, length over diameter 2: 1.25 pF."""
    assert self_capacitance_f(Layer(100, 0.025, 0.05)) == pytest.approx(1.25e-12, rel=1e-9)


@pytest.mark.parametrize("shape", [0.0999, 50.1, math.nan])
def test_outside_the_table(shape):
    with pytest.raises(ValueError, match="Medhurst's table goes from 0.1 to 50 for length over diameter; "):
        medhurst_h(shape)


def test_self_resonance():
    found = self_resonance(100e-6, 100e-12)
    assert found.frequency_hz == pytest.approx(1.59154943e6, rel=1e-8)
    assert found.measure_below_hz == pytest.approx(found.frequency_hz / 3)


@given(st.floats(0.01, 0.9))
def test_apparent_inductance_is_that_of_the_two_in_parallel(part):
    """The reactance of L beside C over that of L alone, below resonance."""
    inductance_h, capacitance_f = 100e-6, 10e-12
    omega = 2 * math.pi * part * self_resonance(inductance_h, capacitance_f).frequency_hz
    both = 1 / (1 / (1j * omega * inductance_h) + 1j * omega * capacitance_f)
    assert apparent_factor(part) == pytest.approx(both.imag / (omega * inductance_h), rel=1e-9)


@pytest.mark.parametrize("nonsense", [0.0, -1e-12, math.nan, math.inf])
def test_nonsense(nonsense):
    with pytest.raises(ValueError, match=f"A capacitance is above zero and finite; {nonsense} was given."):
        self_resonance(1e-4, nonsense)
    with pytest.raises(ValueError, match=f"An inductance is above zero and finite; {nonsense} was given."):
        self_resonance(nonsense, 1e-10)


@pytest.mark.parametrize("part", [1.0, -0.1, math.nan])
def test_no_apparent_inductance_there(part):
    with pytest.raises(ValueError, match="A part of the self-resonance is from 0 to below 1; "):
        apparent_factor(part)
