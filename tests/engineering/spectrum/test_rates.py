"""A rate that is not quite what it is said to be."""

import numpy as np
import pytest

from restoration.engineering.spectrum.rates import found_rate


def wave(rate_hz: float, duration_s: float, interval_s: float = 1e-4, noise_v: float = 0.0) -> np.ndarray:
    times_s = np.arange(round(duration_s / interval_s)) * interval_s
    shape = 0.3 * np.sin(2 * np.pi * rate_hz * times_s + 0.4) + 0.1 * np.cos(4 * np.pi * rate_hz * times_s)
    return 5.0 + shape + noise_v * np.random.default_rng(3).standard_normal(times_s.size)


@pytest.mark.parametrize("duration_s", [0.1, 0.5, 2.0, 8.0])
@pytest.mark.parametrize("true_hz", [49.6, 50.0, 50.27, 50.49])
def test_it_is_found_to_a_thousandth_of_one_over_the_record(true_hz, duration_s):
    found = found_rate(wave(true_hz, duration_s), 1e-4, 50.0, 10, 0.01)
    assert found == pytest.approx(true_hz, abs=2e-3 / duration_s)


def test_noise_moves_it_little():
    """Least spread of a sine's frequency, √6 σ/(π A T √N) with A the peak (Cramér and Rao); four times that."""
    found = found_rate(wave(50.2, 2.0, noise_v=0.3), 1e-4, 50.0, 10, 0.01)
    least_hz = np.sqrt(6) * 0.3 / (np.pi * 0.3 * 2.0 * np.sqrt(20_000))
    assert abs(found - 50.2) < 4 * least_hz


def test_it_stays_within_its_part_even_of_noise():
    noise = np.random.default_rng(5).standard_normal(20_000)
    assert 49.5 <= found_rate(noise, 1e-4, 50.0, 10, 0.01) <= 50.5


@pytest.mark.parametrize(
    ("duration_s", "interval_s", "part"), [(0.03, 1e-4, 0.01), (1.0, 1e-4, 0.0), (1.0, 1e-4, 1e-5), (1.0, 0.02, 0.01)]
)
def test_what_the_record_cannot_show_stays_as_it_was_said(duration_s, interval_s, part):
    assert found_rate(wave(50.3, duration_s, interval_s), interval_s, 50.0, 10, part) == 50.0


def test_a_record_of_far_too_many_periods():
    with pytest.raises(ValueError) as refusal:
        found_rate(np.zeros(2_100_000), 1e-6, 200e3, 2, 0.001)
    assert str(refusal.value) == (
        "A record of 2.1 s is too long to look for 200000 Hz in it; take a stretch of the record."
    )
