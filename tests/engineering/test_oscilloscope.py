"""What the oscilloscope stores of a trace."""

from dataclasses import replace

import numpy as np
import pytest

from restoration.engineering.oscilloscope import Oscilloscope, digitise

SCOPE = Oscilloscope(2e-9, 4000, least_v=-10.0, most_v=41.0)


def test_every_sample_lies_on_a_code_and_within_half_of_one():
    trace = np.linspace(-9.9, 40.9, 4000)
    stored = digitise(SCOPE, trace, np.random.default_rng(7))
    codes = (stored + 10.0) / SCOPE.volts_per_code
    assert codes == pytest.approx(np.rint(codes), abs=1e-9)
    assert np.abs(stored - trace).max() <= SCOPE.volts_per_code / 2 + 1e-12


def test_the_error_of_rounding_has_its_known_size():
    """Closed form: code / sqrt(12) rms for a trace that visits all codes. Tolerance 2 %."""
    trace = np.linspace(-9.9, 40.9, 4000)
    error_v = digitise(SCOPE, trace, np.random.default_rng(7)) - trace
    assert error_v.std() == pytest.approx(SCOPE.volts_per_code / np.sqrt(12), rel=0.02)


def test_noise_has_the_stated_size_and_comes_again_from_the_same_seed():
    noisy = replace(SCOPE, noise_rms_v=1.0)
    first, again = (digitise(noisy, np.full(4000, 5.0), np.random.default_rng(3)) for _ in range(2))
    assert np.array_equal(first, again)
    assert first.std() == pytest.approx(1.0, rel=0.05)


def test_a_trace_beyond_the_range_is_refused_unless_it_may_clip():
    trace = np.full(4000, 60.0)
    with pytest.raises(ValueError) as refused:
        digitise(SCOPE, trace, np.random.default_rng(1))
    assert str(refused.value) == (
        "The trace runs from 60 to 60 V and leaves the range of -10 to 41 V; widen the range or allow it to clip."
    )
    assert digitise(replace(SCOPE, clips=True), trace, np.random.default_rng(1)) == pytest.approx(41.0)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"samples": 1}, "A capture holds two samples or more; 1 was given."),
        ({"bits": 0}, "An oscilloscope has 1 to 16 bits; 0 was given."),
        ({"most_v": -10.0}, "The range must rise from least_v to most_v; -10.0 to -10.0 was given."),
        ({"sample_interval_s": 0.0}, "sample_interval_s must be more than zero; 0.0 was given."),
    ],
)
def test_an_oscilloscope_that_cannot_be_is_refused(change, sentence):
    with pytest.raises(ValueError) as refused:
        replace(SCOPE, **change)
    assert str(refused.value) == sentence


@pytest.mark.parametrize(
    ("trace", "sentence"),
    [
        (np.zeros(3), "The trace must hold 4000 samples in one row; its shape is (3,)."),
        (np.full(4000, np.nan), "Every sample of the trace must be finite."),
    ],
)
def test_a_trace_that_does_not_fit_is_refused(trace, sentence):
    with pytest.raises(ValueError) as refused:
        digitise(SCOPE, trace, np.random.default_rng(1))
    assert str(refused.value) == sentence
