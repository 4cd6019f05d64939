"""Edges that are hard to time: short, noisy, or with a rest on the way; the truth lies in what is stated."""

import numpy as np
import pytest

from restoration.engineering.pulses import measure
from tests.engineering.pulses.waves import noise, trace_of, trapezoid


def assert_edge_holds(found, truth_s):
    for name in ("rise_time_s", "fall_time_s"):
        one = getattr(found, name)
        if one.value_s is None:
            assert one.at_most_s >= truth_s
        else:
            assert abs(one.value_s - truth_s) <= found.expanded_uncertainty(name), name


@pytest.mark.parametrize("rise", [1.7, 2.0, 2.5, 3.0, 4.0, 6.0])
@pytest.mark.parametrize("phase", [0.0, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9])
def test_straight_edges_of_few_samples(rise, phase):
    """Twenty edges, all cut by the samples in the same way: their count makes nothing better."""
    whole = rise / 0.8
    at = (np.arange(4000) + phase) % 200
    values = np.interp(at, [0, 50, 50 + whole, 120, 120 + whole, 200], [0, 0, 30, 30, 0, 0])
    assert_edge_holds(measure(trace_of(values)), rise * 1e-9)


@pytest.mark.parametrize("rise", [1.7, 2.5, 3.5])
@pytest.mark.parametrize("phase", [0.0, 0.25, 0.5, 0.75])
def test_rounded_edges_of_few_samples(rise, phase):
    """The edge of a logistic curve: 10 to 90 % in 2 ln 9 of its scale."""
    scale = rise / (2 * np.log(9))
    at = (np.arange(4000) + phase) % 200
    values = 30 / (1 + np.exp(-(at - 50) / scale)) - 30 / (1 + np.exp(-np.clip((at - 120) / scale, -500, 500)))
    assert_edge_holds(measure(trace_of(values)), rise * 1e-9)


@pytest.mark.parametrize("part", [0.015, 0.02, 0.03, 0.04])
@pytest.mark.parametrize("on_edge", [40, 400])
@pytest.mark.parametrize("seed", [1, 2])
def test_noise_on_long_edges_is_in_the_uncertainty(part, on_edge, seed):
    whole = on_edge / 0.8
    values = trapezoid(20000, rise=whole, top=1000, fall=whole, period=4000, high=10.0)
    found = measure(trace_of(values + noise(20000, 10.0 * part, seed)))

    assert_edge_holds(found, on_edge * 1e-9)
    if part >= 0.02:
        assert any("transition durations come out short" in warning for warning in found.warnings)


@pytest.mark.parametrize("rms", [0.0, 0.1])
def test_a_stair_is_two_edges(rms):
    values = np.interp(np.arange(3000), [0, 1000, 1010, 1800, 1810, 3000], [0, 0, 5, 5, 10, 10])
    found = measure(trace_of(values + noise(3000, rms)))

    assert found.rise_time_s.value_s is None
    if found.amplitude_v is not None:
        assert found.reasons["rise_time_s"] == (
            "The trace rests on its way along the rising edge: these are two edges, and no one duration."
        )


@pytest.mark.parametrize("rms", [0.0, 0.2, 0.4])
def test_an_exponential_edge_is_no_stair(rms):
    at = np.arange(5000) - 500.0
    values = np.where(at > 0, 10.0 * (1 - np.exp(-np.maximum(at, 0) / 200.0)), 0.0)
    assert measure(trace_of(values + noise(5000, rms))).rise_time_s.value_s is not None
