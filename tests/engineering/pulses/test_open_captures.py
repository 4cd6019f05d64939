"""Real captures of an open licence: figures worked out independently with numpy from a 100-bin histogram.

The levels of that histogram are known to half a bin (0.5 % of the range) and to half a converter step, so a level may
differ by one converter step or 1.5 % of the range, whichever is more. Counts of edges, extremes and intervals are
exact. A period may differ by 0.5 %: the edges of these captures are one or two samples long.
"""

import gzip
from pathlib import Path

import numpy as np
import pytest

from restoration.engineering.captures import read_capture
from restoration.engineering.pulses import measure

FOLDER = Path(__file__).parents[1] / "captures_open"


def trace(file, channel):
    data = (FOLDER / file).read_bytes()
    return read_capture(gzip.decompress(data) if file.endswith(".gz") else data).channels[channel]


UART = "DS1054Z-ch1SquareCH2Uart.csv.gz"

# file, channel, samples, interval, minimum, maximum, low, high, rising, falling, period
FIGURES = [
    (UART, 0, 60000, 40e-9, 0.02, 2.94, 0.0346, 2.867, 2, 3, 1.000e-3),
    (UART, 1, 60000, 40e-9, 0.10, 3.14, 0.1456, 3.094, 12, 12, None),  # begins and ends high, so both counts are alike
    ("DS1102E-B.csv", 0, 600, 20e-9, -1.36, 4.48, -1.272, 4.334, 5, 6, 2.2595e-6),
    ("DS1102E-D.csv", 1, 600, 2e-6, -0.4, 5.6, -0.010, 5.390, 5, 5, 240e-6),
    ("DS1204B-A-original.csv", 0, 8192, 8e-6, -0.08, 3.08, -0.0326, 3.033, 65, 66, 1.000e-3),
    ("DS1054Z-A.csv", 2, 1200, 0.5e-9, -0.4, 3.6, 0.020, 3.460, 11, 10, 56.2e-9),
]


@pytest.mark.parametrize("figures", FIGURES, ids=lambda row: f"{row[0]}-{row[1]}")
def test_figures(figures):
    file, channel, samples, interval_s, least, most, low, high, rising, falling, period_s = figures
    one = trace(file, channel)
    found = measure(one)

    assert found.samples == samples
    assert found.sample_interval_s == pytest.approx(interval_s, rel=1e-6)
    assert (found.minimum_v, found.maximum_v) == (pytest.approx(least, abs=1e-9), pytest.approx(most, abs=1e-9))
    allowed = max(one.quantum_v or 0.0, 0.015 * (most - least))
    assert found.low_level_v == pytest.approx(low, abs=allowed)
    assert found.high_level_v == pytest.approx(high, abs=allowed)
    assert (found.rising_edges, found.falling_edges) == (rising, falling)
    if period_s is None:
        assert found.period_s is None
        assert found.reasons["period_s"].startswith("Like edges are not evenly spaced: from ")
    else:
        assert found.period_s == pytest.approx(period_s, rel=5e-3)


@pytest.mark.parametrize("figures", FIGURES, ids=lambda row: f"{row[0]}-{row[1]}")
def test_edges_agree_with_a_plain_loop(figures):
    """The vectorised edges against a sample-by-sample walk with the same hysteresis."""
    one = trace(figures[0], figures[1])
    found = measure(one)
    middle = (found.low_level_v + found.high_level_v) / 2
    margin = min(max(4.0 * (found.noise_rms_v or 0.0), 0.1 * found.amplitude_v), 0.4 * found.amplitude_v)
    state, rising, falling = None, 0, 0
    for value in one.values:
        now = True if value > middle + margin else False if value < middle - margin else state
        rising += state is False and now is True
        falling += state is True and now is False
        state = now

    assert (found.rising_edges, found.falling_edges) == (rising, falling)


def test_edges_of_a_coarse_capture_are_bounded_only():
    found = measure(trace("DS1102E-B.csv", 0))

    assert found.rise_time_s.value_s is None
    assert found.rise_time_s.samples_on_edge < 2
    assert found.rise_time_s.at_most_s == pytest.approx(40e-9)
    assert found.reasons["rise_time_s"] == (
        "There is one sample on the rising edge; its duration can be bounded but not told."
    )


def test_capture_without_times_gives_levels_and_counts():
    found = measure(trace("rs_rtp_01.Wfm.csv", 0))

    assert found.amplitude_v == pytest.approx(1.02, abs=0.02)
    assert (found.rising_edges, found.falling_edges) == (5, 4)
    assert found.duty == pytest.approx(0.5, abs=1e-3)
    assert found.period_s is None
    assert found.reasons["period_s"] == "The capture states no sample interval, so no time can be told."


def test_every_open_capture_is_read_and_measured():
    for path in sorted(FOLDER.glob("*.csv*")):
        data = path.read_bytes()
        capture = read_capture(gzip.decompress(data) if path.suffix == ".gz" else data, name=path.name)
        for one in capture.channels:
            found = measure(one)
            assert np.isclose(found.peak_to_peak_v, np.ptp(one.values))


def test_the_licence_is_kept_beside_them():
    assert "BSD 3-Clause License" in (FOLDER / "LICENSE").read_text()
    assert "Scott Prahl" in (FOLDER / "README.md").read_text()
