"""Traces refuse what is no row of samples; the converter's step is told from the samples."""

import numpy as np
import pytest

from restoration.engineering.captures import CaptureRefused, Trace, vertical_step


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


@pytest.mark.parametrize(
    "values",
    [np.zeros(100), np.array([0.0, 5.0] * 50), np.random.default_rng(1).normal(size=5000), np.arange(50.0)],
    ids=["constant", "two levels", "noise", "no repeats"],
)
def test_no_step_is_invented(values):
    assert vertical_step(values) is None
