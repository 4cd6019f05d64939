"""The even grid behind printed times."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.captures import CaptureRefused
from restoration.engineering.captures.timebase import from_index, from_times


@settings(max_examples=200, deadline=None)
@given(
    st.integers(1, 999),
    st.integers(-10, -2),
    st.integers(100, 3000),
    st.sampled_from([-0.37, 0.0, 0.1, 0.3]),
    st.sampled_from([1, 2, 4]),
)
def test_rounded_times_give_their_interval_back(mantissa, power, samples, start, coarseness):
    """Rounding to a quarter, half or the whole of an interval: the slope is out by less than 1e-3 of it.

    The starts keep away from the middle between two printed times, where rounding error decides by itself.
    """
    interval = mantissa * 10.0**power
    printed = interval / coarseness
    times = np.round((start * interval + interval * np.arange(samples)) / printed) * printed
    found = from_times(times, printed, None, 1)

    assert found[1] == pytest.approx(interval, rel=1e-3)


def test_cut_times_are_as_good_as_rounded_ones():
    times = np.floor(np.arange(1000) * 4e-9 / 1e-8) * 1e-8
    assert from_times(times, 1e-8, 4e-9, 1)[1] == 4e-9


def test_single_precision_times_are_even():
    times = (np.arange(600) * np.float32(2e-8) - np.float32(6e-6)).astype(np.float32).astype(np.float64)
    assert from_times(times, 1e-13, None, 1)[1] == pytest.approx(2e-8, rel=1e-5)


@settings(max_examples=100, deadline=None)
@given(st.integers(10, 400), st.integers(1, 398), st.floats(0.2, 50.0))
def test_any_gap_is_refused(samples, place, gap):
    """A gap of a fifth of an interval or more, anywhere but before the last sample of a short record."""
    place = 1 + place % (samples - 2)
    times = np.arange(samples) + np.where(np.arange(samples) > place, gap, 0.0)
    with pytest.raises(CaptureRefused, match="evenly sampled"):
        from_times(times, 1e-6, None, 1)


def test_coarse_times_are_told():
    start, interval, told = from_times(np.round(np.arange(30) * 0.37), 1.0, None, 1)

    assert (start, interval) == (0.0, pytest.approx(0.37, rel=0.03))
    assert told[0].startswith("The times are printed so coarsely that the sample interval is known to ")


def test_index_gives_the_time_of_its_first_sample():
    assert from_index(np.arange(22.0, 40.0), -1.4e-3, 2e-6, 3) == (-1.356e-3, 2e-6, ())
