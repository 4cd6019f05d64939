"""Traces refuse what is no row of samples; the converter's step is told from the samples."""

from itertools import pairwise

import numpy as np
import pytest

from restoration.engineering.captures import CaptureRefused, Trace, vertical_step
from restoration.engineering.captures.record import grid_step


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ([], "A trace is a single row of samples; this one has the shape (0,)."),
        ([[1.0, 2.0]], "A trace is a single row of samples; this one has the shape (1, 2)."),
        ([1.0, float("nan")], "Sample 2 is nan, which is not a voltage."),
        ([float("inf"), 1.0], "Sample 1 is inf, which is not a voltage."),
    ],
)
def test_samples_that_are_no_trace(values, words):
    with pytest.raises(CaptureRefused) as refusal:
        Trace("CH1", 0.0, 1e-9, np.array(values))
    assert str(refusal.value) == words


@pytest.mark.parametrize("interval", [0.0, -1e-9, float("nan"), float("inf")])
def test_interval_has_to_be_above_zero(interval):
    with pytest.raises(CaptureRefused) as refusal:
        Trace("CH1", 0.0, interval, np.zeros(3))
    assert str(refusal.value) == f"The sample interval is {interval} s; it has to be above zero and finite."


def test_start_has_to_be_finite():
    with pytest.raises(CaptureRefused) as refusal:
        Trace("CH1", float("nan"), 1e-9, np.zeros(3))
    assert str(refusal.value) == "The first sample is at nan s; it has to be at a finite time."


def test_whole_numbers_become_volts_and_the_array_outside_stays_free():
    outside = np.array([1, 2, 3])
    trace = Trace("CH1", 0.0, 1e-9, outside)
    outside[0] = 9

    assert trace.values.dtype == np.float64
    assert trace.values.tolist() == [1.0, 2.0, 3.0]
    assert trace.duration_s == pytest.approx(2e-9)
    assert Trace("CH1", 0.0, None, np.zeros(3)).duration_s is None


@pytest.mark.parametrize("step", [0.02, 0.0005, 3.125e-2, 0.2, 40.0])
def test_step_of_a_converter_is_told(step):
    codes = np.random.default_rng(3).integers(0, 200, 20000)
    assert vertical_step(codes * step - 7 * step) == pytest.approx(step, rel=1e-6)


def test_step_is_told_through_printed_rounding():
    codes = np.random.default_rng(3).integers(0, 100, 20000)
    assert vertical_step(np.round(codes * 0.0316455, 4)) == pytest.approx(0.0316455, rel=1e-3)


def test_step_is_told_of_a_slow_tail_without_noise():
    tail = 5.0 * np.exp(-np.arange(4000) / 400)
    assert vertical_step(np.round(tail / 0.04) * 0.04) == pytest.approx(0.04, rel=1e-6)


def test_step_is_told_where_noise_moves_the_states_by_one_step():
    clean = straight_edges()
    shaky = np.round((clean + np.random.default_rng(5).normal(0.0, 0.08, clean.size)) / 0.2) * 0.2
    assert vertical_step(shaky) == pytest.approx(0.2, rel=1e-6)


def straight_edges(samples=30, *, low=-18.0, high=0.0, flat=250, between=()):
    """Three pulses without noise, each edge a straight line of so many samples; `between` states lie on the way."""
    states = [low, *between, high]
    edge = [np.linspace(one, two, samples, endpoint=False) for one, two in pairwise(states)]
    held = [np.concatenate((np.full(flat, one[0]), one)) for one in edge]
    up = np.concatenate([*held, [high]])
    return np.concatenate([np.concatenate((up, up[::-1])) for _ in range(3)])


@pytest.mark.parametrize(
    "values",
    [
        np.zeros(100),
        np.array([0.0, 5.0] * 50),
        np.random.default_rng(1).normal(size=5000),
        np.arange(50.0),
        straight_edges(),
        straight_edges(20, low=0.0, high=5.0),
        straight_edges(between=(-9.0,)),
        np.interp(np.arange(600) + 0.5, [0, 200, 230, 400, 430, 600], [-18, -18, 0, 0, -18, -18]),
    ],
    ids=["constant", "two levels", "noise", "no repeats", "straight edges", "shorter edges", "three states", "between"],
)
def test_no_step_is_invented(values):
    assert vertical_step(values) is None


def test_a_straight_edge_lies_on_a_grid_all_the_same():
    assert grid_step(straight_edges()) == pytest.approx(0.6, rel=1e-6)
    assert grid_step(np.random.default_rng(1).normal(size=5000)) is None
