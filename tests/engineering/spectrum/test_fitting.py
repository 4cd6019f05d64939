"""Sines fitted at once, against numpy's own least squares on the same columns."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.spectrum.fitting import CHUNK, fit_sines, projections


def columns(samples: int, interval_s: float, frequencies_hz: list[float]) -> np.ndarray:
    angles = 2 * np.pi * np.outer((np.arange(samples) - (samples - 1) / 2) * interval_s, frequencies_hz)
    return np.hstack([np.ones((samples, 1)), np.cos(angles), np.sin(angles)])


@settings(max_examples=30, deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    samples=st.integers(60, 3000),
    bins=st.lists(st.floats(1.0, 25.0), min_size=1, max_size=5, unique_by=lambda one: round(one / 1.5)),
)
def test_parts_rest_and_spread_are_those_of_numpys_least_squares(seed, samples, bins):
    """numpy.linalg.lstsq by the singular values; 1e-6 for lines that may stand a hundredth of 1/T apart."""
    interval_s = 1e-3
    frequencies_hz = [one / (samples * interval_s) for one in sorted(bins)]
    values = np.random.default_rng(seed).standard_normal(samples)
    fit = fit_sines(values, interval_s, frequencies_hz)
    if not all(fit.is_shown):
        return
    design = columns(samples, interval_s, frequencies_hz)
    solved, left, *_ = np.linalg.lstsq(design, values, rcond=None)
    count = len(frequencies_hz)
    assert fit.cosine_v == pytest.approx(solved[: count + 1], rel=1e-5, abs=1e-6)
    assert fit.sine_v == pytest.approx(solved[count + 1 :], rel=1e-5, abs=1e-6)
    assert fit.rest_rms_v == pytest.approx(np.sqrt(left[0] / (samples - design.shape[1])), rel=1e-8)
    wanted = np.diag(np.linalg.inv(design.T @ design))
    assert np.diag(fit.cosine_spread) == pytest.approx(wanted[: count + 1], rel=1e-4)
    assert fit.wave_v(range(count)) == pytest.approx(design[:, 1:] @ solved[1:], abs=1e-6)


def test_the_uncertainty_is_what_noise_does():
    """Spread of 400 fits to 400 noises, within 15 %."""
    noise = np.random.default_rng(7)
    fits = [fit_sines(0.5 * noise.standard_normal(400), 1e-3, [50.0, 87.0]) for _ in range(400)]
    spread = np.std([fit.sine_v[0] for fit in fits])
    assert np.mean([fit.uncertainty_v(0) for fit in fits]) == pytest.approx(spread, rel=0.15)


def test_a_record_of_several_stretches_is_summed_as_one():
    samples = 2 * CHUNK + 77
    values = np.random.default_rng(1).standard_normal(samples)
    turns = np.array([0.0, 0.1, 2.9])
    places = np.arange(samples) - (samples - 1) / 2
    assert projections(values, turns) == pytest.approx(np.exp(1j * np.outer(turns, places)) @ values, abs=1e-7)
    times_s = np.arange(samples) * 1e-5
    fit = fit_sines(3.0 + 0.2 * np.cos(2 * np.pi * 410 * times_s), 1e-5, [410.0, 977.0])
    assert [fit.peak_v(0), fit.peak_v(1), fit.cosine_v[0]] == pytest.approx([0.2, 0.0, 3.0], abs=1e-9)


def test_two_sines_of_one_frequency_are_not_shown_apart_but_made_together():
    times_s = np.arange(1000) * 1e-3
    fit = fit_sines(0.4 * np.sin(2 * np.pi * 50 * times_s), 1e-3, [50.0, 50.0, 120.0])
    assert fit.is_shown == (False, False, True)
    assert fit.rms_v([0, 1]) == pytest.approx(0.4 / np.sqrt(2), rel=1e-9)


def test_too_few_samples_for_the_lines():
    with pytest.raises(ValueError) as refusal:
        fit_sines(np.zeros(5), 1e-3, [50.0, 100.0])
    assert str(refusal.value) == "5 samples cannot show 2 lines; at least 6 are needed."
