"""Verdicts with the uncertainty taken off both sides."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.limits import Figure, Limit, Quantity, Verdict, figure, judge, overall
from restoration.engineering.pulses import PulseMeasurement, Transition, measure
from tests.engineering.pulses.waves import trace_of, trapezoid

BAND = Limit(least=25.0, nominal=30.0, most=35.0)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (30.0, Verdict.WITHIN), (26.0, Verdict.WITHIN), (34.0, Verdict.WITHIN), (25.9, Verdict.TOO_CLOSE),
        (25.0, Verdict.TOO_CLOSE), (24.0, Verdict.TOO_CLOSE), (35.5, Verdict.TOO_CLOSE), (36.0, Verdict.TOO_CLOSE),
        (23.9, Verdict.OUTSIDE), (36.1, Verdict.OUTSIDE), (-30.0, Verdict.OUTSIDE),
    ],
)  # fmt: skip
def test_band_with_an_uncertainty_of_one(value, verdict):
    assert judge(value, 1.0, BAND) is verdict


@pytest.mark.parametrize(
    ("limit", "value", "verdict"),
    [
        (Limit(most=5.0), 5.0, Verdict.WITHIN),
        (Limit(most=5.0), 5.0000001, Verdict.OUTSIDE),
        (Limit(least=5.0), 5.0, Verdict.WITHIN),
        (Limit(least=5.0), 4.9, Verdict.OUTSIDE),
        (Limit(), 5.0, Verdict.CANNOT_TELL),
        (Limit(nominal=5.0), 5.0, Verdict.CANNOT_TELL),
        (Limit(least=0.0, most=0.0), 0.0, Verdict.WITHIN),
    ],
)
def test_no_uncertainty_leaves_the_bare_limit(limit, value, verdict):
    assert judge(value, 0.0, limit) is verdict


def test_band_narrower_than_the_uncertainty_can_never_be_met():
    verdicts = {judge(value, 1.0, Limit(least=9.5, most=10.5)) for value in np.linspace(8.0, 12.0, 41)}
    assert verdicts == {Verdict.TOO_CLOSE, Verdict.OUTSIDE}


@pytest.mark.parametrize(
    ("limit", "at_most", "verdict"),
    [
        (Limit(most=10e-9), 8e-9, Verdict.WITHIN),
        (Limit(most=10e-9), 10e-9, Verdict.WITHIN),
        (Limit(most=10e-9), 12e-9, Verdict.CANNOT_TELL),
        (Limit(most=10e-9), 1.0, Verdict.CANNOT_TELL),
        (Limit(least=2e-9, most=10e-9), 8e-9, Verdict.CANNOT_TELL),
        (Limit(least=20e-9), 8e-9, Verdict.OUTSIDE),
        (Limit(least=20e-9, most=40e-9), 8e-9, Verdict.OUTSIDE),
        (Limit(), 8e-9, Verdict.CANNOT_TELL),
        (Limit(most=10e-9), None, Verdict.CANNOT_TELL),
    ],
)
def test_bound_can_show_within_but_not_beyond_the_most(limit, at_most, verdict):
    assert judge(None, 0.0, limit, at_most) is verdict


def test_bound_has_its_uncertainty_taken_off_too():
    assert judge(None, 1e-9, Limit(most=10e-9), 8.9e-9) is Verdict.WITHIN
    assert judge(None, 1e-9, Limit(most=10e-9), 9.1e-9) is Verdict.CANNOT_TELL


NUMBERS = st.floats(-1e6, 1e6)


@given(NUMBERS, st.floats(0, 1e3), st.floats(0, 1e3), NUMBERS, NUMBERS)
def test_more_uncertainty_never_makes_a_verdict_surer(value, small, more, one, other):
    limit = Limit(least=min(one, other), most=max(one, other))
    unsure = judge(value, small + more, limit)

    assert unsure in (judge(value, small, limit), Verdict.TOO_CLOSE)


@given(NUMBERS, st.floats(0, 1e3), NUMBERS, NUMBERS)
def test_turning_figure_and_limit_over_changes_nothing(value, uncertainty, one, other):
    least, most = min(one, other), max(one, other)
    assert judge(value, uncertainty, Limit(least=least, most=most)) is judge(
        -value, uncertainty, Limit(least=-most, most=-least)
    )


@pytest.mark.parametrize("given", [math.nan, math.inf, -math.inf])
def test_figure_has_to_be_a_number(given):
    for value, at_most in ((given, None), (None, given)):
        with pytest.raises(ValueError) as refusal:
            judge(value, 0.0, BAND, at_most)
        assert str(refusal.value) == f"The figure is {given}; only a finite number can be judged."


@pytest.mark.parametrize("uncertainty", [-0.1, math.nan, math.inf])
def test_uncertainty_has_to_be_zero_or_more(uncertainty):
    with pytest.raises(ValueError) as refusal:
        judge(1.0, uncertainty, BAND)
    assert str(refusal.value) == (f"The expanded uncertainty is {uncertainty}; it has to be zero or more and finite.")


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"least": 5.0, "most": 2.0}, "The least allowed, 5, is above the most allowed, 2."),
        ({"least": math.nan}, "The least of a limit is nan; it has to be a finite number, or left out."),
        ({"most": math.inf}, "The most of a limit is inf; it has to be a finite number, or left out."),
        ({"nominal": -math.inf}, "The nominal of a limit is -inf; it has to be a finite number, or left out."),
        ({"least": 2.0, "nominal": 1.0}, "The nominal value, 1, is outside its own limits."),
        ({"nominal": 9.0, "most": 5.0}, "The nominal value, 9, is outside its own limits."),
    ],
)
def test_limit_refuses_nonsense(given, sentence):
    with pytest.raises(ValueError) as refusal:
        Limit(**given)
    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("verdicts", "worst"),
    [
        ([], Verdict.CANNOT_TELL),
        ([Verdict.WITHIN, Verdict.WITHIN], Verdict.WITHIN),
        ([Verdict.WITHIN, Verdict.CANNOT_TELL], Verdict.CANNOT_TELL),
        ([Verdict.CANNOT_TELL, Verdict.TOO_CLOSE], Verdict.TOO_CLOSE),
        ([Verdict.TOO_CLOSE, Verdict.OUTSIDE, Verdict.WITHIN], Verdict.OUTSIDE),
    ],
)
def test_overall_is_the_worst(verdicts, worst):
    assert overall(iter(verdicts)) is worst


def test_verdicts_are_the_words_people_read():
    assert [verdict.value for verdict in Verdict] == ["within", "outside", "too close to call", "cannot tell"]


@pytest.mark.parametrize("quantity", list(Quantity))
def test_every_quantity_but_the_delay_is_a_figure_of_a_measurement(quantity):
    assert hasattr(PulseMeasurement, "__dataclass_fields__")
    held = quantity.field in PulseMeasurement.__dataclass_fields__
    assert held == (quantity is not Quantity.DELAY)
    assert quantity.unit in ("V", "s", "")
    assert "_" not in quantity.words


def test_figure_of_a_measurement_carries_value_uncertainty_and_bound():
    found = measure(trace_of(trapezoid(), quantum_v=0.1))
    amplitude = figure(found, Quantity.AMPLITUDE)

    assert amplitude == Figure(found.amplitude_v, found.expanded_uncertainty("amplitude_v"), None, "")
    assert amplitude.expanded_uncertainty > 0.0
    assert judge(amplitude.value, amplitude.expanded_uncertainty, Limit(least=4.0, most=6.0)) is Verdict.WITHIN


def test_bounded_edge_is_a_figure_with_its_reason():
    found = PulseMeasurement(
        "CH1", 9, 1e-9, 0.0, 1.0, 1.0, rise_time_s=Transition(None, 2e-9, 1), reasons={"rise_time_s": "Too few."}
    )
    rise = figure(found, Quantity.RISE_TIME)

    assert rise == Figure(None, 0.0, 2e-9, "Too few.")
    assert judge(rise.value, rise.expanded_uncertainty, Limit(most=5e-9), rise.at_most) is Verdict.WITHIN


def test_delay_is_no_figure_of_one_trace():
    found = figure(measure(trace_of(trapezoid())), Quantity.DELAY)
    assert found.reason == "The delay is between two traces; one trace alone does not tell it."
    assert judge(found.value, 0.0, Limit(most=1.0)) is Verdict.CANNOT_TELL
