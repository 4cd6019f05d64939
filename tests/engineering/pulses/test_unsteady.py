"""States that are not steady: what is stated beside a figure holds the truth, or there is no figure and a reason."""

import numpy as np
import pytest

from restoration.engineering.pulses import measure
from tests.engineering.pulses.waves import noise, trace_of, trapezoid


def assert_holds(found, name, truth):
    """The truth lies within the expanded uncertainty, or the figure is None with its reason."""
    value = getattr(found, name)
    if value is None:
        assert found.reasons[name].endswith(".")
    else:
        assert abs(value - truth) <= found.expanded_uncertainty(name), name


def says(found, words):
    return any(words in warning for warning in found.warnings)


def assert_unsteady_levels(found, low, high):
    assert_holds(found, "low_level_v", low)
    assert_holds(found, "high_level_v", high)
    assert_holds(found, "amplitude_v", high - low)
    for name in ("overshoot", "undershoot", "preshoot"):
        assert_holds(found, name, 0.0)


@pytest.mark.parametrize("short", [6.3, 7.5, 9.0])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_runts_are_counted_and_widen_the_level(short, sign):
    heights = np.where(np.arange(15) % 5 == 4, short, 10.0)
    values = trapezoid(15000, rise=10, top=290, fall=10, high=1.0) * np.repeat(heights, 1000)
    found = measure(trace_of(sign * (values + noise(15000, 0.05))))

    assert says(found, f"3 of 15 pulses reach only {sign * short:.1f} V")
    for height in (short, 10.0):
        assert_holds(found, "amplitude_v", height)
        assert_holds(found, "high_level_v" if sign > 0 else "low_level_v", sign * height)


@pytest.mark.parametrize("cycles", [0.7, 3.3, 10.2, 40.7, 151.3])
def test_hum_is_told_and_widens_what_it_spoils(cycles):
    """Hum of 1 V peak on 10 V, slower and faster than the pulses."""
    at = np.arange(20000)
    values = trapezoid(20000, rise=10, top=1990, fall=10, period=4000, high=10.0)
    found = measure(trace_of(values + np.sin(2 * np.pi * cycles * at / 20000) + noise(20000, 0.02)))

    assert says(found, "The base wanders by") or says(found, "The base slopes by")
    assert_unsteady_levels(found, 0.0, 10.0)


@pytest.mark.parametrize("drift", [3.0, -3.0, 0.8])
def test_drift_is_told_and_widens_what_it_spoils(drift):
    values = trapezoid(20000, rise=10, top=490, fall=10, high=10.0) + np.linspace(0.0, drift, 20000)
    found = measure(trace_of(values + noise(20000, 0.02)))

    assert says(found, "(hum or drift)") or says(found, "hum or drift)")
    for base in (0.0, drift / 2, drift):
        assert_holds(found, "low_level_v", base)
    assert_unsteady_levels(found, drift / 2, 10.0 + drift / 2)


@pytest.mark.parametrize("period", [400, 2000])
@pytest.mark.parametrize("rms", [0.0, 0.02])
def test_droop_leaves_no_excursions_and_a_wide_amplitude(period, rms):
    """A pulse of 200 samples through a coupling capacitor of 1000 samples' time constant."""
    direct = trapezoid(20000, rise=4, top=196, fall=4, period=period, high=10.0)
    coupled = np.empty(20000)
    held = 0.0
    for place, value in enumerate(direct):
        coupled[place] = value - held
        held += (value - held) / 1000.0
    found = measure(trace_of(coupled[10000:] + noise(10000, rms)))

    assert says(found, "The top slopes by") or says(found, "The base slopes by")
    for name in ("overshoot", "undershoot", "preshoot"):
        assert getattr(found, name) is None
        assert "slopes: an excursion beyond it cannot be told" in found.reasons[name]
    assert_holds(found, "amplitude_v", 10.0)


@pytest.mark.parametrize("top", [1.2, 2.3, 3.1, 4.4, 5.2, 6.7])
@pytest.mark.parametrize("phase", [0.0, 0.37, 0.71])
def test_few_samples_on_the_top_make_its_level_uncertain(top, phase):
    at = (np.arange(3000) + phase) % 300
    values = np.interp(at, [0, 100, 103, 103 + top, 106 + top, 300], [0, 0, 17, 17, 0, 0])
    found = measure(trace_of(values + noise(3000, 0.05)))

    assert_holds(found, "high_level_v", 17.0)
    assert_holds(found, "amplitude_v", 17.0)
    if top < 3:
        assert says(found, "at rest in the high state: its level is uncertain by the share of the edges.")


def test_a_steady_train_is_not_called_unsteady():
    found = measure(trace_of(trapezoid(20000, rise=10, top=290, fall=10, high=10.0) + noise(20000, 0.1)))

    assert found.warnings == ()
    assert found.expanded_uncertainty("high_level_v") < 0.03
    assert_unsteady_levels(found, 0.0, 10.0)


@pytest.mark.parametrize("steps", [None, 256])
@pytest.mark.parametrize("limit", [7.0, 9.0])
def test_a_trace_cut_at_both_rails_has_no_levels(steps, limit):
    """Pulses of 20 V and noise through a range that ends well inside them at either side."""
    whole = trapezoid(20000, rise=60, top=400, fall=60, low=-10.0, high=10.0) + noise(20000, 0.15)
    cut = np.clip(whole, -limit, limit)
    quantum = None if steps is None else 2 * limit / (steps - 1)
    if quantum:
        cut = np.round((cut + limit) / quantum) * quantum - limit
    found = measure(trace_of(cut, quantum_v=quantum))

    for name, place in (("low_level_v", "bottom"), ("high_level_v", "top"), ("amplitude_v", "")):
        assert getattr(found, name) is None
        assert f"clipped at the {place}" in found.reasons[name]
    assert says(found, "clipped at the top")
    assert says(found, "clipped at the bottom")


@pytest.mark.parametrize("steps", [None, 64, 256])
@pytest.mark.parametrize("known", [True, False])
def test_a_clean_trace_is_not_called_cut_at_both_rails(steps, known):
    at = np.arange(20000) % 1000
    edges = np.tanh((at - 300) / 25.0) - np.tanh((at - 700) / 25.0)
    for values in (trapezoid(20000, rise=60, top=400, fall=60, high=10.0), 5.0 * edges):
        if steps:
            values = np.round(values * steps / 10.0) * 10.0 / steps
        found = measure(trace_of(values, quantum_v=10.0 / steps if steps and known else None))
        assert not says(found, "clipped")
