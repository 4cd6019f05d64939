"""What has to hold for every trace: volts scale volts, time shifts nothing, turning over turns the polarity over."""

import json
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.captures import Trace
from restoration.engineering.pulses import Polarity, as_json, measure
from tests.engineering.pulses.waves import second_order_step

VOLTS = ("minimum_v", "maximum_v", "peak_to_peak_v", "low_level_v", "high_level_v", "amplitude_v", "noise_rms_v")
TIMES = ("pulse_duration_s", "period_s", "frequency_hz", "duty", "jitter_s", "settling_s", "ringing_hz")
PARTS = ("overshoot", "undershoot", "preshoot")
OTHER_WAY = {
    Polarity.POSITIVE_PULSE: Polarity.NEGATIVE_PULSE,
    Polarity.NEGATIVE_PULSE: Polarity.POSITIVE_PULSE,
    Polarity.STEP_UP: Polarity.STEP_DOWN,
    Polarity.STEP_DOWN: Polarity.STEP_UP,
    Polarity.NONE: Polarity.NONE,
}


@st.composite
def traces(draw):
    """Trains, single pulses and steps, with ringing edges, noise and odd starting points."""
    samples = draw(st.integers(400, 3000))
    period = draw(st.integers(80, 2 * samples))
    width = draw(st.integers(20, max(21, period // 2)))
    phase = draw(st.integers(0, period - 1))
    damping = draw(st.sampled_from([0.15, 0.3, 0.6, 0.9]))
    pace = draw(st.sampled_from([0.3, 0.8, 2.0]))
    at = (np.arange(samples) + phase) % period
    edge = second_order_step(damping, at * pace) - second_order_step(damping, (at - width) * pace)
    wave = edge + np.random.default_rng(draw(st.integers(0, 99))).normal(
        0.0, draw(st.sampled_from([0.0, 0.01])), samples
    )
    return Trace("strobe", 0.0, 2e-9, 31.0 * wave - 0.4)


def same(one, other, rel=1e-6, floor=1e-12):
    if one is None or other is None:
        return one is other
    return math.isclose(one, other, rel_tol=rel, abs_tol=floor)


def edge_times(found):
    return [(edge.value_s, edge.at_most_s, edge.samples_on_edge) for edge in (found.rise_time_s, found.fall_time_s)]


def with_values(trace, values, start_s=0.0):
    return Trace(trace.name, start_s, trace.interval_s, values)


@settings(max_examples=80, deadline=None)
@given(traces(), st.sampled_from([2.0**-20, 2.0**-3, 4.0, 2.0**17]))
def test_scaling_volts_scales_volts_only(trace, factor):
    """Powers of two scale without rounding, so every figure has to follow exactly."""
    before, after = measure(trace), measure(with_values(trace, trace.values * factor))

    for name in VOLTS:
        one = getattr(before, name)
        assert same(None if one is None else one * factor, getattr(after, name), 1e-12, 1e-30), name
    for name in TIMES + PARTS:
        assert same(getattr(before, name), getattr(after, name), 1e-12, 1e-30), name
    for one, other in zip(edge_times(before), edge_times(after), strict=True):
        assert all(same(*pair, 1e-12, 1e-30) for pair in zip(one, other, strict=True))
    assert (before.rising_edges, before.falling_edges) == (after.rising_edges, after.falling_edges)
    assert before.polarity == after.polarity


@settings(max_examples=40, deadline=None)
@given(traces(), st.floats(0.001, 1000.0))
def test_scaling_by_any_factor_moves_figures_within_rounding(trace, factor):
    """Other factors may put a sample on the far side of a histogram bin: a thousandth of the amplitude at most."""
    before, after = measure(trace), measure(with_values(trace, trace.values * factor))

    assert before.polarity == after.polarity
    assert (before.amplitude_v is None) == (after.amplitude_v is None)
    if before.amplitude_v is not None:
        assert after.amplitude_v / factor == pytest.approx(before.amplitude_v, rel=2e-3)
        assert after.low_level_v / factor == pytest.approx(before.low_level_v, abs=2e-3 * before.amplitude_v)


@settings(max_examples=60, deadline=None)
@given(traces(), st.floats(-1e3, 1e3))
def test_shifting_time_changes_nothing(trace, shift_s):
    before, after = measure(trace), measure(with_values(trace, trace.values, shift_s))

    assert as_json(before) == as_json(after)


@settings(max_examples=60, deadline=None)
@given(traces(), st.sampled_from([0.5, 4.0, 1024.0]))
def test_stretching_time_stretches_times_only(trace, factor):
    before = measure(trace)
    after = measure(Trace(trace.name, 0.0, trace.interval_s * factor, trace.values))

    for name in VOLTS + PARTS + ("duty",):
        assert same(getattr(before, name), getattr(after, name), 1e-12, 1e-30), name
    for name in ("pulse_duration_s", "period_s", "jitter_s", "settling_s", "ringing_decay_s"):
        one = getattr(before, name)
        assert same(None if one is None else one * factor, getattr(after, name), 1e-12, 1e-30), name


@settings(max_examples=80, deadline=None)
@given(traces())
def test_inverting_swaps_polarity(trace):
    """Levels change places and sign, rising edges become falling; a thousandth for bins that change sides."""
    before, after = measure(trace), measure(with_values(trace, -trace.values))

    assert after.polarity == OTHER_WAY[before.polarity]
    assert (after.rising_edges, after.falling_edges) == (before.falling_edges, before.rising_edges)
    assert (after.minimum_v, after.maximum_v) == (-before.maximum_v, -before.minimum_v)
    if before.amplitude_v is not None and after.amplitude_v is not None:
        allowed = 2e-3 * before.amplitude_v
        assert after.low_level_v == pytest.approx(-before.high_level_v, abs=allowed)
        assert after.high_level_v == pytest.approx(-before.low_level_v, abs=allowed)
        if before.pulse_duration_s and after.pulse_duration_s:
            assert after.pulse_duration_s == pytest.approx(before.pulse_duration_s, rel=1e-2)


@settings(max_examples=60, deadline=None)
@given(traces(), st.sampled_from([-1024.0, -2.0, 0.5, 256.0]))
def test_adding_a_steady_voltage_shifts_levels_only(trace, shift_v):
    """The sum is rounded to about 1e-13 V, which may move a sample to the next bin: a thousandth at most."""
    before, after = measure(trace), measure(with_values(trace, trace.values + shift_v))

    assert before.polarity == after.polarity
    assert (before.rising_edges, before.falling_edges) == (after.rising_edges, after.falling_edges)
    if before.amplitude_v is not None:
        allowed = 2e-3 * before.amplitude_v
        assert after.amplitude_v == pytest.approx(before.amplitude_v, abs=allowed)
        assert after.low_level_v == pytest.approx(before.low_level_v + shift_v, abs=allowed)
        assert same(before.period_s, after.period_s, 1e-3)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.floats(-1e9, 1e9, allow_nan=False), min_size=1, max_size=60),
    st.sampled_from([None, 1e-12, 1e-9, 1.0]),
    st.sampled_from([None, 0.02, 5.0]),
)
def test_any_samples_give_strict_json_and_a_reason_for_every_gap(values, interval_s, quantum_v):
    found = measure(Trace("any", 0.0, interval_s, np.array(values), quantum_v=quantum_v), expected_amplitude_v=30.0)
    plain = as_json(found)

    json.dumps(plain, allow_nan=False)
    for name, value in plain.items():
        missing = value["value"] is None if isinstance(value, dict) and "at_most" in value else value is None
        if missing and name != "sample_interval_s":
            assert found.reasons[name].endswith("."), name


@settings(max_examples=60, deadline=None)
@given(traces())
def test_any_trace_has_an_uncertainty_beside_every_figure(trace):
    found = measure(trace)

    for name in ("low_level_v", "high_level_v", "amplitude_v", "pulse_duration_s", "period_s", "overshoot"):
        if getattr(found, name) is not None:
            assert found.uncertainty[name] >= 0.0
    assert all(math.isfinite(value) and value >= 0.0 for value in found.uncertainty.values())
