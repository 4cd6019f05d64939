"""Scales of comparison: there and back, and what cannot be put on one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.in_place import PulseFigures
from restoration.engineering.in_place.scales import PREDICTED, scaled, scaled_uncertainty, unscaled
from restoration.engineering.limits import Quantity

FIGURES = PulseFigures(5.0, 1e-6, 1e-7, 2e-7, 0.1, 0.0, 2e-8, 0.0, 5.0)


@given(st.sampled_from(PREDICTED), st.floats(1e-9, 1e3))
def test_there_and_back(quantity, value):
    assert unscaled(quantity, scaled(quantity, value, FIGURES), FIGURES) == pytest.approx(value)


@given(st.sampled_from(PREDICTED), st.floats(1e-3, 10.0))
def test_an_uncertainty_is_a_small_step_on_the_scale(quantity, value):
    step = scaled(quantity, value * 1.001, FIGURES) - scaled(quantity, value, FIGURES)
    assert scaled_uncertainty(quantity, value, value * 0.001, FIGURES) == pytest.approx(step, rel=1e-3)


def test_no_logarithm_of_nothing():
    with pytest.raises(ValueError) as refused:
        scaled(Quantity.RISE_TIME, 0.0, FIGURES)
    assert str(refused.value) == "A rise time is above zero; 0.0 was given."
