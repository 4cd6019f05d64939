"""Hum and own-rate ripple told apart on records built from the answer, and against scipy's periodogram."""

import math
from collections.abc import Mapping

import numpy as np
import pytest
from scipy import signal

from restoration.engineering.captures import Trace
from restoration.engineering.spectrum import MAINS, OWN, Cause, tell_ripple
from restoration.engineering.spectrum.telling import HALF_RATE, STEADY, Line, Ripple

HUM = {2: 0.30, 4: 0.06}
OWN_RIPPLE = {1: 0.10, 2: 0.05}


def record(
    duration_s: float,
    hum: Mapping[int, float],
    own: Mapping[int, float],
    own_hz: float,
    *,
    interval_s: float = 1e-5,
    mains_hz: float = 50.0,
    noise_v: float = 0.0,
    seed: int = 1,
) -> Trace:
    """A supply of 250 V with hum and own ripple of known heights, at phases drawn from the seed."""
    draw = np.random.default_rng(seed)
    times_s = np.arange(round(duration_s / interval_s)) * interval_s
    values = 250.0 + noise_v * draw.standard_normal(times_s.size)
    for rate_hz, heights in ((mains_hz, hum), (own_hz, own)):
        for harmonic, height in heights.items():
            values += height * np.cos(2 * np.pi * harmonic * rate_hz * times_s + draw.uniform(0, 2 * np.pi))
    return Trace("HT", 0.0, interval_s, values)


def rms(heights: Mapping[int, float]) -> float:
    return math.sqrt(sum(height**2 for height in heights.values()) / 2)


def line(ripple: Ripple, family: str, harmonic: int) -> Line:
    (found,) = [one for one in ripple.lines if (one.family, one.harmonic) == (family, harmonic)]
    return found


class TestHeights:
    @pytest.mark.parametrize("duration_s", [0.05, 0.2, 0.7, 2.0])
    @pytest.mark.parametrize("noise_v", [0.0, 0.02])
    def test_of_known_lines_in_records_of_several_lengths(self, duration_s, noise_v):
        ripple = tell_ripple(record(duration_s, HUM, OWN_RIPPLE, 2500.0, noise_v=noise_v), own_hz=2500.0)
        for family, heights in ((MAINS, HUM), (OWN, OWN_RIPPLE)):
            for harmonic, height in heights.items():
                found = line(ripple, family, harmonic)
                assert found.peak_v == pytest.approx(height, abs=1e-3 + 4 * found.uncertainty_v)
        assert ripple.mains_rms_v == pytest.approx(rms(HUM), rel=0.02)
        assert ripple.own_rms_v == pytest.approx(rms(OWN_RIPPLE), rel=0.02)
        assert ripple.rest_rms_v == pytest.approx(noise_v, rel=0.05, abs=1e-3)
        assert ripple.unresolved_rms_v == 0.0
        assert ripple.cause is Cause.HUM

    def test_on_whole_periods_they_are_scipys_periodogram(self):
        """scipy.signal.periodogram with no window, lines on its bins: 1 s record, so 1 Hz a bin."""
        trace = record(1.0, HUM, OWN_RIPPLE, 2500.0)
        hz, power = signal.periodogram(trace.values, fs=1e5, window="boxcar", scaling="spectrum")
        ripple = tell_ripple(trace, own_hz=2500.0, mains_off=0.0, own_off=0.0, own_harmonics=19)
        for one in ripple.lines:
            at = int(np.argmin(np.abs(hz - one.frequency_hz)))
            assert one.peak_v == pytest.approx(math.sqrt(2 * power[at]), abs=1e-9)

    @pytest.mark.parametrize(("mains_hz", "stated_hz"), [(50.31, 50.0), (49.8, 50.0), (60.2, 60.0)])
    def test_a_mains_that_is_not_quite_on_its_rate(self, mains_hz, stated_hz):
        trace = record(5.0, HUM, OWN_RIPPLE, 2500.4, interval_s=5e-5, mains_hz=mains_hz, noise_v=0.01)
        ripple = tell_ripple(trace, own_hz=2500.0, mains_hz=stated_hz)
        assert (ripple.mains_hz, ripple.own_hz) == pytest.approx((mains_hz, 2500.4), abs=2e-3)
        assert line(ripple, MAINS, 2).peak_v == pytest.approx(0.30, rel=5e-3)
        assert line(ripple, OWN, 1).peak_v == pytest.approx(0.10, rel=0.02)

    def test_taken_at_its_stated_rate_alone_it_would_be_missed(self):
        trace = record(5.0, HUM, {}, 2500.0, interval_s=5e-5, mains_hz=50.31)
        assert tell_ripple(trace, own_hz=2500.0, mains_off=0.0).mains_rms_v < 0.2 * rms(HUM)


class TestCause:
    @pytest.mark.parametrize(
        ("hum", "own", "cause"),
        [
            ({2: 0.3}, {1: 0.05}, Cause.HUM),
            ({1: 0.02}, {1: 0.2}, Cause.OWN),
            ({2: 0.1}, {1: 0.1}, Cause.BOTH),
            ({}, {}, Cause.NEITHER),
            ({2: 0.1}, {}, Cause.HUM),
            ({}, {3: 0.1}, Cause.OWN),
        ],
    )
    def test_in_a_record_long_enough(self, hum, own, cause):
        assert tell_ripple(record(0.5, hum, own, 830.0, noise_v=0.03), own_hz=830.0).cause is cause

    @pytest.mark.parametrize("seed", range(12))
    def test_noise_alone_is_neither(self, seed):
        assert tell_ripple(record(0.2, {}, {}, 830.0, noise_v=0.1, seed=seed), own_hz=830.0).cause is Cause.NEITHER


class TestTooShort:
    def test_below_one_over_their_distance_nothing_is_told(self):
        trace = record(0.2, {2: 0.3}, {1: 0.1}, 104.0, noise_v=0.01)
        ripple = tell_ripple(trace, own_hz=104.0)
        hum, own = line(ripple, MAINS, 2), line(ripple, OWN, 1)
        assert (hum.peak_v, own.peak_v) == (None, None)
        assert hum.too_near == "own rate (104 Hz)"
        assert own.too_near.startswith("mains × 2 (")
        assert ripple.resolution_hz == pytest.approx(5.0)
        assert ripple.cause is Cause.CANNOT_TELL

    def test_above_it_both_are_told(self):
        ripple = tell_ripple(record(0.3, {2: 0.3}, {1: 0.1}, 104.0, noise_v=0.01), own_hz=104.0)
        assert line(ripple, MAINS, 2).peak_v == pytest.approx(0.3, rel=0.02)
        assert line(ripple, OWN, 1).peak_v == pytest.approx(0.1, rel=0.06)
        assert ripple.cause is Cause.HUM

    @pytest.mark.parametrize("duration_s", [0.1, 0.15, 0.2])
    def test_the_bound_holds_whatever_the_phases(self, duration_s):
        """Two standard uncertainties: of 40 records with 2 bounds each, at most six may be passed."""
        passed = bounds = 0
        for seed in range(40):
            trace = record(duration_s, {2: 0.3}, {1: 0.1}, 104.0, noise_v=0.02, interval_s=1e-4, seed=seed)
            ripple = tell_ripple(trace, own_hz=104.0)
            for found, height in ((line(ripple, MAINS, 2), 0.3), (line(ripple, OWN, 1), 0.1)):
                bounds += found.at_most_v is not None
                passed += found.at_most_v is not None and height > found.at_most_v
        assert bounds == 80
        assert passed <= 6

    def test_a_rate_whose_lines_fall_on_whole_bins_is_worked_too(self):
        """Sampled at 50 kHz for 0.1 s, 2501.25 Hz: equations all but diagonal, which "evd" does not solve."""
        ripple = tell_ripple(record(0.1, {2: 0.3}, {1: 0.1}, 2501.25, interval_s=2e-5), own_hz=2501.25)
        assert line(ripple, MAINS, 2).peak_v == pytest.approx(0.3, abs=2e-3)
        assert line(ripple, OWN, 1).peak_v == pytest.approx(0.1, abs=2e-3)

    def test_a_rate_that_may_be_the_mains_itself_has_no_bound(self):
        ripple = tell_ripple(record(1.0, {2: 0.3}, {}, 100.0), own_hz=100.0)
        found = line(ripple, MAINS, 2)
        assert (found.peak_v, found.at_most_v) == (None, None)
        assert ripple.unresolved_rms_v == pytest.approx(rms({2: 0.3}), rel=1e-3)
        assert ripple.cause is Cause.CANNOT_TELL

    def test_less_than_a_period_of_the_mains_tells_nothing_of_hum(self):
        ripple = tell_ripple(record(0.008, {}, {}, 2500.0, noise_v=0.01), own_hz=2500.0)
        assert line(ripple, MAINS, 1).too_near in (STEADY, "mains × 2 (100 Hz)")
        assert ripple.cause is Cause.CANNOT_TELL

    def test_own_ripple_is_still_told_where_it_outweighs_whatever_the_mains_may_be(self):
        ripple = tell_ripple(record(0.008, {}, {1: 0.2}, 2500.0, noise_v=0.01), own_hz=2500.0)
        assert ripple.cause is Cause.OWN


class TestFolding:
    def test_own_ripple_that_folds_onto_the_mains_is_not_called_hum(self):
        """10,050 Hz sampled a thousand times a second looks like 50 Hz."""
        trace = record(1.0, {}, {1: 0.3}, 10_050.0, interval_s=1e-3, noise_v=0.01)
        ripple = tell_ripple(trace, own_hz=10_050.0)
        assert line(ripple, OWN, 1).seen_at_hz == pytest.approx(50.0, abs=1e-6)
        assert line(ripple, OWN, 1).is_folded
        assert line(ripple, MAINS, 1).too_near == "own rate (10050 Hz)"
        assert ripple.cause is Cause.CANNOT_TELL

    def test_one_that_folds_elsewhere_is_its_own(self):
        trace = record(1.0, {}, {1: 0.3}, 10_273.0, interval_s=1e-3, noise_v=0.01)
        ripple = tell_ripple(trace, own_hz=10_273.0, own_harmonics=1)
        assert line(ripple, OWN, 1).peak_v == pytest.approx(0.3, rel=0.02)
        assert ripple.cause is Cause.OWN

    def test_harmonics_that_fold_onto_each_other_count_for_their_own_rate(self):
        trace = record(0.5, {}, {1: 0.3, 3: 0.1}, 2500.0, interval_s=1e-4, noise_v=0.01)
        ripple = tell_ripple(trace, own_hz=2500.0, own_off=0.0, own_harmonics=3)
        assert line(ripple, OWN, 1).too_near == "own rate × 3 (7500 Hz)"
        assert ripple.own_rms_v > 0.1
        assert ripple.cause is Cause.OWN

    def test_a_line_at_half_the_sampling_rate_has_no_height(self):
        ripple = tell_ripple(record(0.5, {2: 0.1}, {}, 5000.0, interval_s=1e-4), own_hz=5000.0, own_harmonics=1)
        assert line(ripple, OWN, 1).too_near == HALF_RATE


class TestRefusals:
    trace = record(0.2, HUM, OWN_RIPPLE, 2500.0, interval_s=1e-4)

    @pytest.mark.parametrize(
        ("given", "sentence"),
        [
            ({"own_hz": 0.0}, "own_hz must be more than zero; 0.0 was given."),
            ({"own_hz": math.nan}, "own_hz must be more than zero; nan was given."),
            ({"own_hz": math.inf}, "own_hz must be a finite number; inf was given."),
            ({"own_hz": 1.0, "mains_hz": -50.0}, "mains_hz must be more than zero; -50.0 was given."),
            (
                {"own_hz": 1.0, "own_harmonics": 90},
                "At least one line of each rate and 80 in all are looked at; 10 and 90 were given.",
            ),
            ({"own_hz": 1.0, "mains_off": 0.5}, "A rate is looked for within 0 to 0.2 of itself; 0.5 was given."),
        ],
    )
    def test_nonsense_gets_a_sentence(self, given, sentence):
        with pytest.raises(ValueError) as refusal:
            tell_ripple(self.trace, **given)
        assert str(refusal.value) == sentence

    @pytest.mark.parametrize(
        ("trace", "sentence"),
        [
            (
                Trace("HT", 0.0, None, np.zeros(1000)),
                "This trace does not say its sample interval, so its frequencies cannot be known.",
            ),
            (
                Trace("HT", 0.0, 1e-3, np.zeros(40)),
                "40 samples cannot show 30 lines; at least 62 are needed.",
            ),
            (
                Trace("HT", 0.0, 1e-6, np.zeros(4_000_001)),
                "The trace has 4000001 samples; up to 4000000 are worked. Take a stretch of it.",
            ),
        ],
    )
    def test_a_trace_that_cannot_be_worked(self, trace, sentence):
        with pytest.raises(ValueError) as refusal:
            tell_ripple(trace, own_hz=2500.0)
        assert str(refusal.value) == sentence
