"""Impedances against scipy arithmetic, scikit-rf, a field solver's figures and published logarithms."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skrf import Frequency
from skrf.media import Coaxial

from restoration.engineering.lines.geometry import (
    capacitance_per_metre,
    delay_per_metre,
    impedance_and_delay,
    impedance_coaxial,
    impedance_over_chassis,
    impedance_twin,
    inductance_per_metre,
)

MM = 1e-3
EXACT = 1e-7


@pytest.mark.parametrize(
    ("spacing", "exact_ohm", "logarithm_ohm"),
    # D/d: exact by scipy's constants; 276*log10(2D/d) as RF Cafe has it, computed.
    [(2, 157.925618, 166.1686), (5, 274.901490, 276.0), (10, 358.938254, 359.0843), (100, 635.355237, 635.0843)],
)
def test_two_wires(spacing, exact_ohm, logarithm_ohm):
    assert impedance_twin(spacing * MM, MM) == pytest.approx(exact_ohm, rel=EXACT)
    assert impedance_twin(spacing * MM, MM, by_logarithm=True) == pytest.approx(logarithm_ohm, rel=1e-6)


def test_an_open_wire_feeder():
    """AWG 12 at six inches: computed; 600 ohm is the usual figure of such a line (a page that cites 1931 advice)."""
    assert impedance_twin(152.4 * MM, 2.053 * MM) == pytest.approx(599.62189, rel=EXACT)
    assert impedance_twin(152.4 * MM, 2.053 * MM, by_logarithm=True) == pytest.approx(599.3688, rel=1e-6)
    assert impedance_twin(152.4 * MM, 2.053 * MM) == pytest.approx(600.0, rel=1e-3)


@pytest.mark.parametrize(
    ("height", "exact_ohm", "logarithm_ohm"),
    # h/d: exact by scipy's constants; 138*log10(4h/d) as RF Cafe has it for d far below h, computed.
    [(1, 78.962809, 83.0843), (5, 179.469127, 179.5421), (10, 221.142138, 221.0843), (50, 317.677618, 317.5421)],
)
def test_a_wire_over_a_chassis(height, exact_ohm, logarithm_ohm):
    assert impedance_over_chassis(height * MM, MM) == pytest.approx(exact_ohm, rel=EXACT)
    assert impedance_over_chassis(height * MM, MM, by_logarithm=True) == pytest.approx(logarithm_ohm, rel=1e-6)


def test_the_constants_of_a_wire_over_a_chassis():
    """Common practice, no source: 0.7 to 1.1 uH/m and 10 to 15 pF/m for 10 to 50 mm."""
    for height in (10, 25, 50):
        ohm = impedance_over_chassis(height * MM, MM)
        assert 0.7e-6 < inductance_per_metre(ohm, delay_per_metre()) < 1.1e-6
        assert 10e-12 < capacitance_per_metre(ohm, delay_per_metre()) < 15.2e-12


@pytest.mark.parametrize(
    ("outer", "inner", "permittivity", "exact_ohm", "logarithm_ohm"),
    # scikit-rf 2.2.0 gives the first as 47.45377587; the others by scipy's constants.
    [(2.95, 0.90, 2.25, 47.4537759, 47.4333), (7.24, 2.17, 2.25, 48.162419, 48.1417), (3.0, 1.0, 1.0, 65.871136, None)],
)
def test_coax(outer, inner, permittivity, exact_ohm, logarithm_ohm):
    ours = impedance_coaxial(outer * MM, inner * MM, permittivity)
    assert ours == pytest.approx(exact_ohm, rel=EXACT)
    if logarithm_ohm:
        approximate = impedance_coaxial(outer * MM, inner * MM, permittivity, by_logarithm=True)
        assert approximate == pytest.approx(logarithm_ohm, rel=2e-6)
    band = Frequency(1, 1, 1, "GHz")
    theirs = Coaxial(band, Dint=inner * MM, Dout=outer * MM, epsilon_r=permittivity, sigma=1e50).z0_characteristic
    assert ours == pytest.approx(float(np.real(theirs[0])), rel=1e-6)


def test_coax_against_a_field_solver():
    """3:1 in air by atlc 4.6.1: 65.943 ohm, 50.6 pF/m, 220.0 nH/m; its grid is worth about 0.2 %."""
    ohm = impedance_coaxial(3 * MM, MM)
    assert ohm == pytest.approx(65.943, rel=2e-3)
    assert capacitance_per_metre(ohm, delay_per_metre()) == pytest.approx(50.6e-12, rel=2e-3)
    assert inductance_per_metre(ohm, delay_per_metre()) == pytest.approx(220.0e-9, rel=2e-3)


def test_delay():
    """From c by definition: 3.33564095 ns/m in air, 5.00346143 ns/m for a permittivity of 2.25."""
    assert delay_per_metre() == pytest.approx(3.33564095e-9, rel=1e-8)
    assert delay_per_metre(2.25) == pytest.approx(5.00346143e-9, rel=1e-8)


@given(ohm=st.floats(20, 700), delay=st.floats(3e-9, 8e-9))
def test_both_ways_between_line_and_parts(ohm, delay):
    back = impedance_and_delay(capacitance_per_metre(ohm, delay), inductance_per_metre(ohm, delay))
    assert back == pytest.approx((ohm, delay), rel=1e-12)


@given(spacing=st.floats(1.1, 500), wider=st.floats(1.01, 3), permittivity=st.floats(1, 10))
def test_further_apart_is_more_and_denser_is_less(spacing, wider, permittivity):
    near, far = impedance_twin(spacing * MM, MM), impedance_twin(spacing * wider * MM, MM)
    assert far > near
    assert impedance_twin(spacing * MM, MM, permittivity) == pytest.approx(near / permittivity**0.5, rel=1e-12)


@given(height=st.floats(0.51, 500))
def test_a_wire_and_its_image_are_two_wires(height):
    """A wire over a plane has half the impedance of two wires twice the height apart."""
    assert 2 * impedance_over_chassis(height * MM, MM) == pytest.approx(impedance_twin(2 * height * MM, MM), rel=1e-12)


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: impedance_twin(-0.1, 0.001), "spacing_m must be more than zero; -0.1 was given."),
        (lambda: impedance_twin(float("nan"), 0.001), "spacing_m must be more than zero; nan was given."),
        (lambda: impedance_twin(float("inf"), 0.001), "spacing_m must be a finite number; inf was given."),
        (
            lambda: impedance_twin(0.001, 0.001),
            "Two wires of 0.001 m whose centres are 0.001 m apart touch or overlap; "
            "the spacing must be more than the diameter.",
        ),
        (
            lambda: impedance_over_chassis(0.0005, 0.001),
            "A wire of 0.001 m whose centre is 0.0005 m over the chassis touches it; "
            "the height must be more than half the diameter.",
        ),
        (
            lambda: impedance_coaxial(0.001, 0.002),
            "A core of 0.002 m does not fit into a screen of 0.001 m; the screen must be wider than the core.",
        ),
        (
            lambda: impedance_coaxial(0.003, 0.001, 0.5),
            "The relative permittivity must be one or more; 0.5 was given.",
        ),
        (lambda: capacitance_per_metre(0.0, 4e-9), "impedance_ohm must be more than zero; 0.0 was given."),
        (lambda: inductance_per_metre(75.0, -4e-9), "delay_s_per_m must be more than zero; -4e-09 was given."),
        (lambda: impedance_and_delay(0.0, 1e-6), "capacitance_f_per_m must be more than zero; 0.0 was given."),
    ],
)
def test_nonsense_gets_a_sentence(make, sentence):
    with pytest.raises(ValueError) as refused:
        make()
    assert str(refused.value) == sentence
