"""What a trace cannot tell is not told: bounds, gaps with their reasons, and warnings."""

import json

import numpy as np
import pytest

from restoration.engineering.captures import read_capture
from restoration.engineering.pulses import Accuracy, Polarity, as_json, measure
from tests.engineering.pulses.waves import noise, one_pulse, second_order_step, trace_of, trapezoid

KEYS = [
    "name", "samples", "sample_interval_s", "minimum_v", "maximum_v", "peak_to_peak_v", "low_level_v", "high_level_v",
    "amplitude_v", "polarity", "rising_edges", "falling_edges", "rise_time_s", "fall_time_s", "pulse_duration_s",
    "period_s", "frequency_hz", "duty", "jitter_s", "overshoot", "undershoot", "preshoot", "settling_s", "ringing_hz",
    "noise_rms_v", "warnings",
]  # fmt: skip


def test_json_has_its_keys_in_order():
    plain = as_json(measure(trace_of(trapezoid())))

    assert list(plain)[: len(KEYS)] == KEYS
    assert list(plain["rise_time_s"]) == ["value", "at_most", "samples_on_edge"]
    assert plain["polarity"] == "positive pulse"
    assert json.loads(json.dumps(plain, allow_nan=False)) == plain


@pytest.mark.parametrize(("on_edge", "at_most"), [(0, 1e-9), (1, 2e-9)])
def test_edge_of_fewer_than_two_samples_gives_a_bound(on_edge, at_most):
    edge = [2.5] * on_edge
    found = measure(trace_of([0.0] * 50 + edge + [5.0] * 50 + edge + [0.0] * 50))

    for one, word in ((found.rise_time_s, "rising"), (found.fall_time_s, "falling")):
        assert one.value_s is None
        assert one.at_most_s == pytest.approx(at_most)
        assert one.samples_on_edge == on_edge
        reason = found.reasons[f"{'rise' if word == 'rising' else 'fall'}_time_s"]
        assert reason.endswith(f"on the {word} edge; its duration can be bounded but not told.")
        assert reason in found.warnings
    assert "rise_time_s" not in found.uncertainty


def test_edge_of_two_samples_gives_a_value():
    found = measure(trace_of([0.0] * 50 + [1.5, 3.5] + [5.0] * 50))

    assert found.rise_time_s.samples_on_edge == 2
    assert found.rise_time_s.at_most_s is None
    # 0.5 V is passed a third of the way to 1.5 V, 4.5 V two thirds of the way from 3.5 V: 2.3333 intervals.
    assert found.rise_time_s.value_s == pytest.approx((3.0 - 2.0 / 3.0) * 1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_bound_holds_however_the_samples_fall(seed):
    """A straight edge of 0.8 ns (10 to 90 %) sampled every ns at any phase: the bound is never under it."""
    phase = np.random.default_rng(seed).random()
    at = np.arange(300) + phase
    found = measure(trace_of(np.interp(at, [0, 100, 101, 200, 201, 300], [0, 0, 5, 5, 0, 0])))

    assert found.rise_time_s.value_s is None
    assert found.rise_time_s.at_most_s >= 0.8e-9


def test_one_pulse_has_no_period_and_says_so():
    found = measure(trace_of(one_pulse() + noise(2000, 0.3)))

    assert (found.rising_edges, found.falling_edges) == (1, 1)
    assert found.polarity == "positive pulse"
    assert found.pulse_duration_s == pytest.approx(310e-9, rel=0.01)
    for name in ("period_s", "frequency_hz", "duty", "jitter_s"):
        assert getattr(found, name) is None
        assert found.reasons[name] == "Fewer than two like edges are in the record: the pulse is not seen to repeat."


@pytest.mark.parametrize(("periods", "jitter"), [(2, False), (3, True)])
def test_jitter_needs_three_periods(periods, jitter):
    found = measure(trace_of(trapezoid(1000 * periods + 450)))

    assert found.period_s == pytest.approx(1e-6)
    assert (found.jitter_s is not None) == jitter
    if not jitter:
        assert found.reasons["jitter_s"] == "There are 2 whole periods in the record; jitter needs at least three."


def test_uneven_train_has_no_period():
    values = np.tile(np.r_[np.zeros(80), np.ones(20) * 30.0], 20) * (np.repeat(np.arange(20) != 7, 100))
    found = measure(trace_of(values))

    assert found.period_s is None
    assert found.reasons["period_s"] == (
        "Like edges are not evenly spaced: from 100 to 200 sample intervals apart, so no one period is given."
    )
    assert found.pulse_duration_s == pytest.approx(20e-9)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        (np.full(100, 3.0), "The trace is one constant value"),
        (noise(20000, 1.0), "within eight standard deviations of its noise"),
        (np.convolve(noise(50000, 1.0), np.ones(50) / 50, "valid"), "single heap around one level"),
        ((noise(5000, 1.0) > 1.0) * 0.04, "changes for one sample here and there"),
        ([0.0, 5.0, 5.0], "There are only 3 samples"),
        ([5.0], "one constant value"),
        (np.arange(1000.0), "The record ends while the trace is still moving"),
    ],
)
def test_trace_without_a_transition(values, words):
    found = measure(trace_of(values))

    assert found.polarity is Polarity.NONE
    assert (found.rising_edges, found.falling_edges) == (0, 0)
    assert (found.low_level_v, found.high_level_v, found.amplitude_v) == (None, None, None)
    assert words in found.reasons["amplitude_v"]
    assert found.warnings == (found.reasons["amplitude_v"],)
    assert found.peak_to_peak_v == pytest.approx(np.ptp(values))


def test_converter_steps_are_no_pulses_where_the_step_is_known():
    found = measure(trace_of((noise(5000, 1.0) > 1.0) * 0.04, quantum_v=0.04))
    assert found.reasons["amplitude_v"] == (
        "There is no transition in the trace: it moves by three converter steps or fewer."
    )


def test_noise_counts_no_edge_twice():
    """Noise of 4 % of the amplitude on edges 400 samples long crosses the middle many times an edge."""
    values = trapezoid(20000, rise=400, top=1000, fall=400, period=4000, high=25.0) + noise(20000, 1.0)
    found = measure(trace_of(values))

    assert (found.rising_edges, found.falling_edges) == (5, 5)
    assert found.noise_rms_v == pytest.approx(1.0, rel=0.1)
    assert found.low_level_v == pytest.approx(0.0, abs=0.2)
    assert found.high_level_v == pytest.approx(25.0, abs=0.2)


def test_narrow_pulses_at_one_part_in_a_thousand():
    """Pulses of 50 samples in 50000, noise 1 %: levels within a fiftieth of the noise's amplitude."""
    values = trapezoid(500000, rise=4, top=46, fall=4, period=50000, high=30.0) + noise(500000, 0.3)
    found = measure(trace_of(values))

    assert found.high_level_v == pytest.approx(30.0, abs=0.1)
    assert found.low_level_v == pytest.approx(0.0, abs=0.02)
    assert found.pulse_duration_s == pytest.approx(50e-9, rel=0.01)
    assert found.duty == pytest.approx(0.001, rel=0.01)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_both_polarities(sign):
    values = sign * (trapezoid(5000, rise=10, top=90, fall=20, period=1000, high=31.0)) + noise(5000, 0.2)
    found = measure(trace_of(values))

    assert found.polarity == ("positive pulse" if sign > 0 else "negative pulse")
    assert found.amplitude_v == pytest.approx(31.0, abs=0.15)
    leading = found.rise_time_s if sign > 0 else found.fall_time_s
    assert leading.value_s == pytest.approx(8e-9, rel=0.1)
    assert found.pulse_duration_s == pytest.approx(105e-9, rel=0.01)
    assert found.duty == pytest.approx(0.105, rel=0.01)


def test_long_single_pulse_is_still_positive():
    """A single pulse that is high for most of the record goes up from its base."""
    found = measure(trace_of(one_pulse(begin=100, top=1600)))
    assert found.polarity == "positive pulse"


def test_clipped_state_leaves_no_amplitude():
    whole = trapezoid(5000, rise=10, top=290, fall=20, period=1000, high=31.0) + noise(5000, 0.3)
    found = measure(trace_of(np.clip(whole, -5.0, 25.0)))

    reason = "The trace is clipped at the top: its high state lies on the end of the range, or beyond it."
    assert reason in found.warnings
    for name in ("high_level_v", "amplitude_v", "overshoot", "pulse_duration_s", "settling_s", "ringing_hz"):
        assert getattr(found, name) is None
        assert found.reasons[name] == reason
    assert found.rise_time_s.value_s is None
    assert found.low_level_v == pytest.approx(0.0, abs=0.2)
    assert found.period_s == pytest.approx(1e-6, rel=1e-3)
    assert found.maximum_v == 25.0
    assert "amplitude_v" not in found.uncertainty


def test_clipped_bottom_leaves_no_low_level():
    whole = trapezoid(5000, rise=10, top=290, fall=20, period=1000, high=31.0) + noise(5000, 0.3)
    found = measure(trace_of(np.clip(whole, 4.0, 50.0)))

    assert found.low_level_v is None
    assert found.high_level_v == pytest.approx(31.0, abs=0.2)
    assert "clipped at the bottom" in found.reasons["amplitude_v"]


@pytest.mark.parametrize("rms", [0.0, 0.01])
def test_clipped_peaks_leave_no_overshoot_but_the_levels(rms):
    ringing = second_order_step(0.15, np.arange(-20.0, 60.0, 0.05))
    found = measure(trace_of(np.clip(ringing + noise(ringing.size, rms), -1.0, 1.3)))

    reason = "The trace is clipped at the top: its excursions beyond the high state are cut off."
    assert reason in found.warnings
    assert found.overshoot is None
    assert found.reasons["overshoot"] == reason
    assert found.amplitude_v == pytest.approx(1.0, abs=0.01)
    assert found.rise_time_s.value_s is not None


@pytest.mark.parametrize("steps", [50, 100, 150, 250])
def test_a_rounded_peak_of_a_coarse_converter_is_not_called_clipped(steps):
    ringing = second_order_step(0.15, np.arange(-20.0, 60.0, 0.05))
    found = measure(trace_of(np.round(ringing * steps) / steps, quantum_v=1.0 / steps))

    assert not any("clipped" in warning for warning in found.warnings)
    assert found.overshoot == pytest.approx(0.6209, abs=1.5 / steps)


def test_preshoot_is_told_from_undershoot():
    """A dip of 3 V before a rise of 30 V, an overshoot of 6 V and a dip back of 1.5 V after it."""
    corners = [0, 1000, 1010, 1020, 1040, 1060, 1080, 1100, 1120, 3000]
    levels = [0, 0, -3, 0, 36, 30, 28.5, 30, 30, 30]
    found = measure(trace_of(np.interp(np.arange(3000), corners, levels)))

    assert found.preshoot == pytest.approx(0.10, abs=1e-3)
    assert found.overshoot == pytest.approx(0.20, abs=1e-3)
    assert found.undershoot == pytest.approx(0.05, abs=1e-3)


def test_excursions_within_noise_are_none():
    found = measure(trace_of(trapezoid(high=30.0) + noise(5000, 0.3)))

    assert (found.overshoot, found.undershoot, found.preshoot) == (0.0, 0.0, 0.0)
    assert found.ringing_hz is None


def test_settling_band_narrower_than_noise_is_not_measured():
    found = measure(trace_of(trapezoid(high=30.0) + noise(5000, 0.3)))

    assert found.settling_s is None
    assert found.reasons["settling_s"] == "Noise is wider than the settling band of 2 % of the amplitude."
    assert measure(trace_of(trapezoid(high=30.0) + noise(5000, 0.3)), settling_band=0.1).settling_s is not None


def test_runt_is_told():
    values = np.tile(np.r_[np.zeros(80), np.ones(20) * 30.0, np.zeros(80), np.ones(20) * 17.0], 10)
    found = measure(trace_of(values))

    assert (found.rising_edges, found.falling_edges) == (10, 10)
    assert any("without completing a transition: a runt, or ringing." in warning for warning in found.warnings)


def test_pulse_of_one_sample_has_no_duration():
    found = measure(trace_of(([0.0] * 50 + [5.0] + [0.0] * 50) * 5))

    assert found.pulse_duration_s is None
    assert found.reasons["pulse_duration_s"].startswith("The pulse is 1 sample intervals long") or (
        "fewer than two tell no duration" in found.reasons["pulse_duration_s"]
    )
    assert found.period_s == pytest.approx(101e-9)


@pytest.mark.parametrize(
    ("expected", "words"),
    [
        (0.5, "about ten times as much: is the channel set to ×10 with a ×1 probe on it?"),
        (50.0, "about a tenth: is a ×10 probe on a channel that is set to ×1?"),
    ],
)
def test_probe_factor_left_unset_is_suspected_aloud(expected, words):
    warnings = measure(trace_of(trapezoid()), expected_amplitude_v=expected).warnings
    assert any(warning.endswith(words) for warning in warnings)


@pytest.mark.parametrize("expected", [None, 4.0, 5.0, 6.5, 1.5, 20.0])
def test_probe_is_not_suspected_without_cause(expected):
    assert not any("probe" in one for one in measure(trace_of(trapezoid()), expected_amplitude_v=expected).warnings)


def test_no_interval_gives_levels_and_parts_only():
    found = measure(trace_of(trapezoid(), interval_s=None))

    assert found.amplitude_v == 5.0
    assert found.duty == pytest.approx(0.45)
    assert found.rise_time_s.samples_on_edge == 80
    for name in ("rise_time_s", "pulse_duration_s", "period_s", "frequency_hz", "jitter_s", "settling_s"):
        assert found.reasons[name] == "The capture states no sample interval, so no time can be told."


@pytest.mark.parametrize("band", [0.0, 0.5, -1.0, float("nan")])
def test_settling_band_has_to_be_a_part(band):
    with pytest.raises(ValueError) as refusal:
        measure(trace_of(trapezoid()), settling_band=band)
    assert str(refusal.value) == (
        f"The settling band is {band}; it has to be a part of the amplitude, above 0 and below 0.5."
    )


@pytest.mark.parametrize("expected", [0.0, -5.0, float("inf")])
def test_expected_amplitude_has_to_be_above_zero(expected):
    with pytest.raises(ValueError) as refusal:
        measure(trace_of(trapezoid()), expected_amplitude_v=expected)
    assert str(refusal.value) == f"The expected amplitude is {expected} V; it has to be above zero and finite."


def test_every_uncertainty_covers_the_error_it_is_about():
    """200 noisy captures of a known pulse: the truth lies within k = 2 in nine of ten, as about 95 % should."""
    truth = {"amplitude_v": 30.0, "low_level_v": 0.0, "pulse_duration_s": 130e-9, "rise_time_s": 32e-9}
    within = dict.fromkeys(truth, 0)
    rounds = 100
    for seed in range(rounds):
        at = np.arange(4000) + np.random.default_rng(seed).random()
        clean = np.interp(at % 1000, [0, 300, 340, 430, 470, 1000], [0, 0, 30, 30, 0, 0])
        found = measure(trace_of(clean + noise(4000, 0.15, seed)))
        for name, wanted in truth.items():
            value = found.rise_time_s.value_s if name == "rise_time_s" else getattr(found, name)
            within[name] += abs(value - wanted) <= found.expanded_uncertainty(name)
    assert all(count >= 0.9 * rounds for count in within.values()), within


def test_stated_accuracy_widens_the_uncertainty():
    plain = measure(trace_of(trapezoid() + noise(5000, 0.01)))
    stated = measure(trace_of(trapezoid() + noise(5000, 0.01)), accuracy=Accuracy(gain=0.03, time=0.001, offset_v=0.1))

    # A limit of 3 % either way is 5 * 0.03 / sqrt 3 = 0.0866 V, and twice that expanded.
    assert stated.expanded_uncertainty("amplitude_v") == pytest.approx(2 * 5 * 0.03 / 3**0.5, rel=0.01)
    assert stated.uncertainty["low_level_v"] == pytest.approx(0.1 / 3**0.5, rel=0.01)
    assert stated.uncertainty["period_s"] >= 1e-6 * 0.001 / 3**0.5
    assert plain.uncertainty["amplitude_v"] < 0.01 * stated.uncertainty["amplitude_v"] + 0.01


@pytest.mark.parametrize(("edge", "flat"), [(30, 200), (30, 60), (20, 200), (30, 5000), (7, 100)])
def test_flat_states_and_straight_edges_are_measured_as_they_are(edge, flat):
    corners = np.cumsum([0, flat, edge, flat, edge, flat])
    values = np.interp(np.arange(corners[-1]), corners, [-18.0, -18.0, 0.0, 0.0, -18.0, -18.0])
    lines = [f"{place * 1e-8:.9g},{value:.9g}" for place, value in enumerate(values)]
    trace = read_capture("\n".join(["time,V", *lines]).encode(), name="flat.csv").channels[0]
    found = measure(trace)

    assert trace.quantum_v is None
    assert (found.low_level_v, found.high_level_v) == (-18.0, 0.0)
    assert found.expanded_uncertainty("amplitude_v") < 0.001
    assert found.rise_time_s.value_s == pytest.approx(0.8 * edge * 1e-8, rel=1e-6)


def test_levels_in_the_steps_of_a_converter_are_not_pulled_by_the_edges():
    clean = measure(trace_of(np.round(one_pulse(rise=50, fall=50, high=5.0) / 0.1) * 0.1, quantum_v=0.1))
    assert (clean.low_level_v, clean.high_level_v) == (0.0, 5.0)


@pytest.mark.parametrize("part", [0.25, 0.5])
def test_a_level_between_two_steps_of_a_converter_stays_between_them(part):
    shaken = one_pulse(high=5.0) + 0.1 * (np.random.default_rng(4).random(2000) < part)
    found = measure(trace_of(shaken, quantum_v=0.1))
    assert found.low_level_v == pytest.approx(0.1 * part, abs=0.01)


def test_coarser_converter_widens_the_uncertainty():
    fine = measure(trace_of(trapezoid(), quantum_v=0.001))
    coarse = measure(trace_of(trapezoid(), quantum_v=0.1))

    assert coarse.uncertainty["amplitude_v"] == pytest.approx(0.1 * (2 / 12) ** 0.5, rel=1e-6)
    assert coarse.uncertainty["amplitude_v"] > 10 * fine.uncertainty["amplitude_v"]


@pytest.mark.parametrize("field", ["gain", "time", "offset_v"])
def test_accuracy_refuses_nonsense(field):
    with pytest.raises(ValueError) as refusal:
        Accuracy(**{field: -0.1})
    assert str(refusal.value) == f"The accuracy limit {field} is -0.1; it has to be zero or more and finite."
