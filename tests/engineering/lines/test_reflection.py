"""Reflections against scikit-rf, lattices against published and computed levels."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skrf.tlineFunctions import zl_2_Gamma0

from restoration.engineering.lines.reflection import lattice, reflection


@pytest.mark.parametrize("ohm", [0.0, 25.0, 75.0, 225.0, 1e6])
def test_reflection_as_scikit_rf(ohm):
    assert reflection(ohm, 75.0) == pytest.approx(np.squeeze(zl_2_Gamma0(75.0, ohm)).real, rel=1e-9)


def test_the_usual_ends():
    """75 into 225, 25, open and short: +0.5, -0.5, +1, -1 (scikit-rf)."""
    assert [reflection(ohm, 75.0) for ohm in (225.0, 25.0, math.inf, 0.0)] == [0.5, -0.5, 1.0, -1.0]


CASES = {
    # A: closed form, and ngspice identical to seven digits.
    "A": (
        (10, 25, 75, 225),
        [11.25, 8.4375, 9.140625, 8.96484375, 9.0087890625, 8.997802734],
        [7.5, 9.375, 8.90625],
        9,
    ),
    # B: W. D. Stevenson, Elements of Power System Analysis, example 5.6; a published solution prints
    # 180 90 135 112 123, cut off to whole volts where ngspice has 112.5 and 123.75.
    "B": ((120, 0, 30, 90), [180, 90, 135, 112.5, 123.75, 118.125], [120, 120, 120], 120),
    # C: the same with 10 ohm; printed as 60 90 105 112 116.
    "C": ((120, 0, 30, 10), [60, 90, 105, 112.5, 116.25, 118.125], [120, 120, 120], 120),
    # D: a published exercise without its answer; levels by closed form.
    "D": ((60, 100, 50, 25), [13.33333, 11.85185, 12.01646, 11.99817], [20, 11.1111, 12.09877], 12),
    # E and F: closed form.
    "E": ((5, 10, 50, math.inf), [8.333333, 2.777778, 6.481481, 4.012346, 5.658436], [4.166667, 5.555556, 4.62963], 5),
    "F": ((10, 50, 50, 100), [6.666667] * 3, [5, 6.666667, 6.666667], 6.666667),
}


@pytest.mark.parametrize("case", [*CASES])
def test_lattices(case):
    given_values, load_v, source_v, final_v = CASES[case]
    found = lattice(*given_values, count=len(load_v))
    assert found.load_v == pytest.approx(load_v, rel=1e-6)
    assert found.source_v[:3] == pytest.approx(source_v, rel=2e-6)
    assert found.final_v == pytest.approx(final_v, rel=1e-6)


@given(source=st.floats(1, 1e4), z0=st.floats(20, 700), load=st.floats(1, 1e6))
def test_both_ends_settle_at_the_divider(source, z0, load):
    found = lattice(10.0, source, z0, load, count=2000)
    ratio = abs(found.reflection_at_source * found.reflection_at_load)
    if ratio < 0.98:
        assert found.load_v[-1] == pytest.approx(found.final_v, rel=1e-9)
        assert found.source_v[-1] == pytest.approx(found.final_v, rel=1e-9)


@given(z0=st.floats(20, 700), load=st.floats(0.0, 1e6))
def test_a_matched_source_sends_nothing_back(z0, load):
    found = lattice(10.0, z0, z0, load, count=4)
    assert found.load_v == pytest.approx([found.final_v] * 4, abs=1e-9)
    assert found.source_v[1:] == pytest.approx([found.final_v] * 3, abs=1e-9)


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: reflection(-1.0, 75.0), "resistance_ohm must be zero or more and finite; -1.0 was given."),
        (lambda: reflection(math.nan, 75.0), "resistance_ohm must be zero or more and finite; nan was given."),
        (lambda: reflection(75.0, 0.0), "impedance_ohm must be more than zero; 0.0 was given."),
        (lambda: reflection(75.0, math.inf), "impedance_ohm must be a finite number; inf was given."),
        (lambda: lattice(math.nan, 1, 1, 1), "emf_v must be a finite number; nan was given."),
        (lambda: lattice(1.0, 1, 1, 1, count=0), "A lattice needs one level or more; 0 were asked for."),
        (
            lambda: lattice(1.0, 0.0, 50.0, 0.0),
            "A source without resistance into a load without resistance has no final current; give one of them more "
            "than zero ohm.",
        ),
    ],
)
def test_nonsense_gets_a_sentence(make, sentence):
    with pytest.raises(ValueError) as refused:
        make()
    assert str(refused.value) == sentence
