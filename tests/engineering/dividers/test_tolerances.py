"""Worst corners against every corner and against chance; the spread against draws of parts."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import qmc

from restoration.engineering.dividers import Divider, corners, sensitivities, solve, spread
from tests.engineering.drawn import either_way, up_to

CASE = Divider(30.0, 1e3, 10e3, 6.8e3, 47e3)
FIELDS = ("source_v", "source_ohm", "series_ohm", "shunt_ohm", "load_ohm")
NAMES = ("source_v_tolerance", "source_ohm_tolerance", "series_tolerance", "shunt_tolerance", "load_tolerance")
TOLERANCES = st.floats(0.0, 0.5)
DIVIDERS = st.builds(Divider, either_way(300), up_to(1e5), up_to(1e5), st.floats(1, 1e6), st.floats(1, 1e6))


def moved(divider, parts):
    """The divider with every value this part of itself larger."""
    return replace(
        divider, **{name: getattr(divider, name) * (1 + part) for name, part in zip(FIELDS, parts, strict=True)}
    )


def test_the_worked_case_at_five_per_cent():
    """Closed form: 9.9177928 to 11.1358885 V."""
    assert corners(CASE, 0.05, 0.05) == pytest.approx((9.9177928, 11.1358885), rel=1e-8)


@given(DIVIDERS, st.tuples(*[TOLERANCES] * 5))
def test_the_two_are_the_worst_of_all_corners(divider, tolerances):
    signs = itertools.product((-1, 1), repeat=5)
    every = [
        solve(moved(divider, [sign * part for sign, part in zip(ends, tolerances, strict=True)])).load_v
        for ends in signs
    ]
    least, most = corners(divider, **dict(zip(NAMES, tolerances, strict=True)))
    assert least == pytest.approx(min(every), rel=1e-9)
    assert most == pytest.approx(max(every), rel=1e-9)


@given(DIVIDERS, st.tuples(*[TOLERANCES] * 5), st.tuples(*[st.floats(-1, 1)] * 5))
def test_no_parts_within_tolerance_go_beyond(divider, tolerances, places):
    least, most = corners(divider, **dict(zip(NAMES, tolerances, strict=True)))
    within = [place * part for place, part in zip(places, tolerances, strict=True)]
    allowance = 1e-12 * abs(divider.source_v)
    assert least - allowance <= solve(moved(divider, within)).load_v <= most + allowance


def test_a_negative_source_has_its_least_first():
    least, most = corners(replace(CASE, source_v=-30.0), 0.05, 0.05)
    assert (least, most) == pytest.approx((-11.1358885, -9.9177928), rel=1e-8)


@given(DIVIDERS)
def test_sensitivities_are_the_slopes(divider):
    """Against a central difference of a hundred-thousandth."""
    found = sensitivities(divider)
    for place, name in enumerate(FIELDS):
        step = [1e-5 if place == at else 0.0 for at in range(5)]
        back = [-part for part in step]
        slope = (solve(moved(divider, step)).load_v - solve(moved(divider, back)).load_v) / 2e-5
        assert found[name] == pytest.approx(slope, rel=1e-4, abs=1e-7 * abs(divider.source_v) + 1e-300)


def test_without_shunt_and_load_only_the_source_counts():
    open_end = Divider(30.0, 1e3, 10e3, math.inf)
    assert sensitivities(open_end) == {
        "source_v": 30.0, "source_ohm": 0.0, "series_ohm": 0.0, "shunt_ohm": 0.0, "load_ohm": 0.0,
    }  # fmt: skip
    assert spread(open_end, 0.05, 0.05, source_v_tolerance=0.1).root_sum_square_v == pytest.approx(3.0)


def test_the_spread_is_that_of_drawn_parts():
    """Parts drawn evenly within 5, 5, 20, 10 and 3 %: 4,096 points of a scrambled Sobol sequence; tolerance 2 %."""
    tolerances = (0.03, 0.20, 0.05, 0.05, 0.10)
    drawn = qmc.scale(qmc.Sobol(5, seed=7).random_base2(12), [-part for part in tolerances], tolerances)
    volts = np.array([solve(moved(CASE, row)).load_v for row in drawn])
    found = spread(CASE, **dict(zip(NAMES, tolerances, strict=True)))
    assert found.standard_v == pytest.approx(volts.std(), rel=0.02)
    assert found.root_sum_square_v == pytest.approx(found.standard_v * math.sqrt(3))


@given(DIVIDERS, st.floats(0, 0.2), st.floats(0, 0.2))
def test_the_spread_is_never_wider_than_the_sum(divider, series, shunt):
    slopes = sensitivities(divider)
    total = abs(slopes["series_ohm"]) * series + abs(slopes["shunt_ohm"]) * shunt
    assert spread(divider, series, shunt).root_sum_square_v <= total * (1 + 1e-9) + 1e-15


@pytest.mark.parametrize("asked", [corners, spread])
@pytest.mark.parametrize("tolerance", [-0.05, 1.0, 5.0, math.nan, math.inf])
def test_a_tolerance_is_a_part_of_one(asked, tolerance):
    with pytest.raises(ValueError) as refused:
        asked(CASE, tolerance, 0.05)
    name = "series_tolerance" if asked is corners else "series_ohm_tolerance"
    assert str(refused.value) == f"{name} must be a part of one from 0 to below 1, 0.05 for 5 %; {tolerance} was given."
