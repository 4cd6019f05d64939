"""Rise times against closed forms, a numerical step response, and where the sum of squares does not hold."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import TransferFunction, step
from scipy.stats import norm

from restoration.engineering.rise_time import (
    bandwidth_of_rise,
    combined_rise_s,
    equal_stages_rise_s,
    quadrature_error,
    rc_rise_s,
    rise_of_bandwidth,
    staged_rise_s,
    true_edge,
)
from tests.engineering.drawn import up_to

NS = 1e-9
TIMES = st.floats(1e-10, 1e-5)


def stepped_rise(time_constants):
    """Rise time of poles in a row from scipy's step response, crossings by straight lines."""
    below = np.poly1d([1.0])
    for constant in time_constants:
        below *= np.poly1d([constant, 1.0])
    times = np.linspace(0, 12 * sum(time_constants), 40_001)
    _, volts = step(TransferFunction([1.0], below.coeffs), T=times)
    early, late = np.interp([0.1, 0.9], volts, times)
    return late - early


class TestClosedForms:
    def test_rc(self):
        """ln 9 = 2.1972245773; 2.2 R C is 0.126 % more."""
        assert rc_rise_s(1e3, 100e-12) == pytest.approx(219.72245773 * NS, rel=1e-10)
        assert 2.2 / math.log(9) - 1 == pytest.approx(0.00126, abs=5e-6)

    def test_rc_from_twenty_to_eighty(self):
        """ln 4 = 1.3862943611."""
        assert rc_rise_s(1e3, 100e-12, 0.2, 0.8) == pytest.approx(138.62943611 * NS, rel=1e-10)

    def test_sum_of_squares(self):
        assert combined_rise_s(3.0, 4.0) == 5.0
        assert combined_rise_s(5.0, 10.0) == pytest.approx(11.18034, rel=1e-7)
        assert combined_rise_s(7.0) == 7.0

    def test_bandwidth(self):
        """Single pole ln 9 / 2π = 0.34969915, Gaussian 0.33962445: closed forms."""
        assert bandwidth_of_rise(1.0, "single pole") == pytest.approx(0.34969915, rel=2e-8)
        assert bandwidth_of_rise(1.0, "gaussian") == pytest.approx(0.33962445, rel=2e-8)

    def test_the_gaussian_constant_from_its_own_response(self):
        """A Gaussian edge of deviation s rises in 2.5631031311 s and falls to 0.7071 at sqrt(ln 2) / (2π s)."""
        rise = norm.ppf(0.9) - norm.ppf(0.1)
        assert rise == pytest.approx(2.5631031311, rel=1e-10)
        hertz = bandwidth_of_rise(rise)
        assert math.exp(-((2 * math.pi * hertz) ** 2) / 2) == pytest.approx(math.sqrt(0.5))

    def test_twenty_megahertz(self):
        """0.35 / 20 MHz is 17.5 ns in practice."""
        assert rise_of_bandwidth(20e6, "single pole") == pytest.approx(17.5 * NS, rel=1e-3)

    @given(TIMES, st.sampled_from(["gaussian", "single pole"]))
    def test_there_and_back(self, rise_s, shape):
        assert rise_of_bandwidth(bandwidth_of_rise(rise_s, shape), shape) == pytest.approx(rise_s)


class TestStages:
    def test_two_equal_poles(self):
        """scipy: 3.357908561 τ; ngspice 39 gave 335.7908 ns for two buffered stages of 1 k and 100 pF."""
        assert equal_stages_rise_s(1.0, 2) == pytest.approx(3.357908561, rel=1e-9)
        assert staged_rise_s([100 * NS, 100 * NS]) == pytest.approx(335.7908 * NS, rel=1e-6)

    def test_the_sum_of_squares_reads_them_low(self):
        """3.107344797 τ, 7.46 % less."""
        assert combined_rise_s(rc_rise_s(1.0, 1.0), rc_rise_s(1.0, 1.0)) == pytest.approx(3.107344797, rel=1e-9)
        assert quadrature_error([1.0, 1.0]) == pytest.approx(-0.0746, abs=5e-5)

    def test_the_sum_of_squares_is_worst_for_equal_poles(self):
        errors = [quadrature_error([1.0, other]) for other in (1e-7, 0.01, 0.1, 0.3, 1.0)]
        assert errors[0] == pytest.approx(0.0, abs=1e-9)
        assert min(errors) == errors[-1]

    def test_many_equal_stages_come_near_a_gaussian(self):
        """The error is that of the constants alone in the end: ln 9 against 2.5631, 14.3 % low."""
        gaussian_limit = math.log(9) / 2.5631031311 - 1
        assert quadrature_error([1.0] * 20) == pytest.approx(gaussian_limit, abs=0.01)

    @pytest.mark.parametrize("count", [1, 2, 3, 8, 20])
    def test_equal_stages_both_ways(self, count):
        assert staged_rise_s([3 * NS] * count) == pytest.approx(equal_stages_rise_s(3 * NS, count), rel=1e-8)

    @pytest.mark.parametrize(
        "constants", [[1.0], [1.0, 0.5], [3.0, 4.0], [1.0, 0.999], [1.0, 0.5, 0.2], [5.0, 1.0, 1.0, 2.0]]
    )
    def test_against_a_step_response(self, constants):
        """scipy.signal.step; tolerance 0.01 %, its grid."""
        assert staged_rise_s(constants) == pytest.approx(stepped_rise(constants), rel=1e-4)

    @given(st.lists(st.floats(0.01, 100), min_size=1, max_size=4))
    def test_longer_than_the_longest_and_in_any_order(self, constants):
        found = staged_rise_s(constants)
        assert found >= math.log(9) * max(constants) * (1 - 1e-9)
        assert found == pytest.approx(staged_rise_s(constants[::-1]), rel=1e-8)

    @given(st.floats(0.5, 2.0), st.floats(-1e-6, 1e-6))
    def test_two_all_but_alike(self, constant, apart):
        assert staged_rise_s([constant, constant * (1 + apart)]) == pytest.approx(
            equal_stages_rise_s(constant, 2), rel=3e-6
        )


class TestTrueEdge:
    def test_the_published_figures(self):
        """Scope 3.5 ns, reading 10 ns: 9.367497 ns, by the sum of squares."""
        found = true_edge(10 * NS, 0.0, 3.5 * NS)
        assert found.value_s == pytest.approx(9.367497 * NS, rel=1e-7)
        assert found.high_s == pytest.approx(found.value_s)
        assert found.low_s < found.value_s

    def test_the_bounds_take_in_two_rc_stages(self):
        """What two RC stages make of an edge is taken apart again at the low bound."""
        own, signal = 3.5 * NS, 8 * NS
        measured = staged_rise_s([own / math.log(9), signal / math.log(9)])
        assert true_edge(measured, 0.0, own).low_s == pytest.approx(signal, rel=1e-6)

    def test_scope_and_probe_are_taken_out_together(self):
        assert true_edge(13.0, 0.0, 3.0, 4.0).value_s == pytest.approx(12.0)

    def test_a_quick_instrument_leaves_the_figure_as_it_is(self):
        found = true_edge(100 * NS, 2 * NS, 1 * NS)
        assert found.value_s == pytest.approx(100 * NS, rel=1e-4)
        assert (found.low_s, found.high_s) == pytest.approx((98 * NS, 102 * NS), rel=2e-3)
        assert found.reason == ""

    def test_an_instrument_of_a_third_reads_five_per_cent_long(self):
        """√(1 + 1/9) is 1.054: the usual rule to keep the instrument under a third of the edge."""
        signal, own = 30 * NS, 10 * NS
        measured = combined_rise_s(signal, own)
        assert measured / signal == pytest.approx(1.054, abs=5e-4)
        assert true_edge(measured, 0.0, own).value_s == pytest.approx(signal)
        assert true_edge(measured, 0.0, own).reason == ""

    def test_no_instrument_at_all(self):
        found = true_edge(100 * NS, 2 * NS, 0.0)
        assert (found.value_s, found.low_s, found.high_s) == pytest.approx((100 * NS, 98 * NS, 102 * NS))

    def test_a_slow_instrument_is_said(self):
        assert true_edge(10 * NS, 0.0, 3.5 * NS).reason == (
            "The measured edge is only 2.9 times that of the instrument and its probe: the sum of squares holds for "
            "Gaussian responses, and for others its error is not known; keep to the bounds."
        )

    @pytest.mark.parametrize("measured", [3.0 * NS, 3.5 * NS, 3.55 * NS])
    def test_an_edge_that_cannot_be_known(self, measured):
        found = true_edge(measured, 0.1 * NS, 3.5 * NS)
        assert found.value_s is None
        assert found.low_s == 0.0
        assert found.high_s == pytest.approx(measured + 0.1 * NS)
        assert found.reason.replace("\xa0", " ") == (
            f"The edge cannot be known: the {measured / NS:.2f} ns measured, give or take 100 ps, cannot be told from "
            "the 3.50 ns of the instrument and its probe; it is no longer than what was measured."
        )

    def test_an_instrument_that_may_be_slower_than_it_says(self):
        assert true_edge(3.6 * NS, 0.0, 3.5 * NS).value_s is not None
        assert true_edge(3.6 * NS, 0.0, 3.5 * NS, instrument_tolerance=0.1).value_s is None

    @settings(max_examples=60, deadline=None)
    @given(TIMES, st.floats(0, 0.5), up_to(2), up_to(1), st.floats(0, 0.5))
    def test_bounds_hold_the_value_and_grow_with_the_uncertainty(self, measured, uncertain, own, probe, tolerance):
        found = true_edge(
            measured, uncertain * measured, own * measured, probe * measured, instrument_tolerance=tolerance
        )
        value = found.value_s if found.value_s is not None else found.low_s
        assert 0.0 <= found.low_s <= value * (1 + 1e-6) <= found.high_s * (1 + 2e-6)
        assert found.high_s <= measured * (1 + uncertain) * (1 + 1e-9)
        sure = true_edge(measured, 0.0, own * measured, probe * measured, instrument_tolerance=tolerance)
        assert found.low_s <= sure.low_s * (1 + 1e-6) or sure.value_s is None
        assert found.high_s >= sure.high_s * (1 - 1e-6)

    @settings(max_examples=60, deadline=None)
    @given(TIMES, up_to(3))
    def test_what_gaussian_stages_added_is_taken_out(self, signal, part):
        own = part * signal
        found = true_edge(combined_rise_s(signal, own), 0.0, own)
        assert found.value_s == pytest.approx(signal, rel=1e-6)
        assert found.low_s <= signal * (1 + 1e-6)
        assert found.high_s >= signal * (1 - 1e-6)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (lambda: rc_rise_s(-1.0, 1e-12), "resistance_ohm must be zero or more and finite; -1.0 was given."),
        (lambda: rc_rise_s(1.0, math.nan), "capacitance_f must be zero or more and finite; nan was given."),
        (
            lambda: rc_rise_s(1.0, 1e-12, 0.9, 0.1),
            "A rise time runs from a low to a higher part of the step, both between 0 and 1; 0.9 and 0.1 were given.",
        ),
        (lambda: combined_rise_s(), "No rise time was given to combine; give one or more."),
        (lambda: combined_rise_s(1.0, -1.0), "rise_time_s must be zero or more and finite; -1.0 was given."),
        (lambda: combined_rise_s(math.inf), "rise_time_s must be zero or more and finite; inf was given."),
        (lambda: bandwidth_of_rise(0.0), "rise_s must be more than zero; 0.0 was given."),
        (lambda: bandwidth_of_rise(math.inf), "rise_s must be a finite number; inf was given."),
        (lambda: rise_of_bandwidth(-20e6), "bandwidth_hz must be more than zero; -20000000.0 was given."),
        (
            lambda: rise_of_bandwidth(1.0, "brick wall"),
            "The shape of a response is gaussian or single pole; “brick wall” was given.",
        ),
        (lambda: equal_stages_rise_s(1.0, 0), "There has to be at least one stage; 0 was given."),
        (lambda: equal_stages_rise_s(0.0, 1), "time_constant_s must be more than zero; 0.0 was given."),
        (lambda: staged_rise_s([]), "Give 1 to 20 stages; 0 were given."),
        (lambda: staged_rise_s([1.0] * 21), "Give 1 to 20 stages; 21 were given."),
        (lambda: staged_rise_s([1.0, math.nan]), "time_constant_s must be more than zero; nan was given."),
        (lambda: true_edge(0.0, 0.0, 1.0), "measured_s must be more than zero; 0.0 was given."),
        (lambda: true_edge(math.inf, 0.0, 1.0), "measured_s must be a finite number; inf was given."),
        (lambda: true_edge(1.0, -0.1, 1.0), "measured_uncertainty_s must be zero or more and finite; -0.1 was given."),
        (lambda: true_edge(1.0, 0.1, math.nan), "instrument_s must be zero or more and finite; nan was given."),
        (lambda: true_edge(1.0, 0.1, 0.1, -0.1), "probe_s must be zero or more and finite; -0.1 was given."),
        (
            lambda: true_edge(1.0, 0.1, 0.1, instrument_tolerance=1.0),
            "instrument_tolerance must be a part of one from 0 to below 1; 1.0 was given.",
        ),
    ],
)
def test_nonsense(asked, sentence):
    with pytest.raises(ValueError) as refused:
        asked()
    assert str(refused.value) == sentence
