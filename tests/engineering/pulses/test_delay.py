"""Delay between two traces of one capture."""

import numpy as np
import pytest

from restoration.engineering.captures import Trace
from restoration.engineering.pulses import measure_delay
from tests.engineering.pulses.waves import noise, trapezoid


def shifted(by, sign=1.0, samples=5000, rms=0.0):
    corners = [0, 200, 210, 400, 420, 1000]
    wave = np.interp((np.arange(samples) - by) % 1000, corners, [0, 0, 30, 30, 0, 0])
    return Trace(f"by {by}", 0.0, 1e-9, sign * wave + noise(samples, rms, int(by * 10)))


@pytest.mark.parametrize("by", [0.0, 0.5, 17.0, 133.25])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_delay_of_a_train(by, sign):
    """Straight edges, so the straight line between samples is exact."""
    found = measure_delay(shifted(0), shifted(by, sign))

    assert found.value_s == pytest.approx(by * 1e-9, abs=1e-14)


def test_delay_through_noise_lies_within_its_uncertainty():
    found = measure_delay(shifted(0, rms=0.3), shifted(50, rms=0.3))

    assert found.value_s == pytest.approx(50e-9, abs=2 * found.uncertainty_s)
    assert 0.1e-9 < found.uncertainty_s < 1e-9


def test_no_edge_no_delay():
    flat = Trace("flat", 0.0, 1e-9, np.zeros(1000))

    assert measure_delay(shifted(0), flat).reason == "There is no edge in flat to measure a delay from or to."
    assert measure_delay(flat, shifted(0)).value_s is None


def test_trace_that_only_leads_has_no_delay():
    early = Trace("early", 0.0, 1e-9, np.repeat([0.0, 5.0], [100, 300]))
    late = Trace("late", 0.0, 1e-9, np.repeat([0.0, 5.0], [200, 200]))

    assert measure_delay(late, early).reason == "No leading edge of early follows a leading edge of late."
    assert measure_delay(early, late).value_s == pytest.approx(100e-9)


def test_no_interval_no_delay():
    timeless = Trace("timeless", 0.0, None, trapezoid())
    assert measure_delay(timeless, timeless).reason == "The capture states no sample interval, so no delay can be told."


def test_start_of_each_trace_counts():
    later = Trace("later", 40e-9, 1e-9, shifted(0).values)
    assert measure_delay(shifted(0), later).value_s == pytest.approx(40e-9, abs=1e-14)
