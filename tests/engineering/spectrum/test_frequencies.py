"""Where lines lie, where sampling puts them, and which may be taken for which."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.spectrum import MAINS, OWN, folded_hz, harmonics_near, needed_duration_s


class TestFolding:
    @pytest.mark.parametrize(
        ("frequency_hz", "seen_hz"), [(0, 0), (100, 100), (500, 500), (600, 400), (1000, 0), (1050, 50), (1950, 50)]
    )
    def test_at_a_thousand_samples_a_second(self, frequency_hz, seen_hz):
        assert folded_hz(frequency_hz, 1e-3) == pytest.approx(seen_hz, abs=1e-9)

    @given(frequency_hz=st.floats(0.0, 1e5), interval_s=st.floats(1e-5, 1e-2))
    def test_a_folded_line_has_the_very_samples_of_the_true_one(self, frequency_hz, interval_s):
        places = np.arange(64)
        seen_hz = folded_hz(frequency_hz, interval_s)
        assert 0 <= seen_hz <= 0.5 / interval_s * (1 + 1e-9)
        true = np.cos(2 * np.pi * frequency_hz * places * interval_s)
        assert np.cos(2 * np.pi * seen_hz * places * interval_s) == pytest.approx(true, abs=1e-6)


class TestNearness:
    def test_length_that_tells_apart(self):
        assert needed_duration_s(100.0, 104.0) == 0.25
        assert needed_duration_s(104.0, 100.0) == 0.25
        assert needed_duration_s(50.0, 50.0) == math.inf

    def test_what_a_frequency_may_be(self):
        assert harmonics_near(100.0, 0.1, own_hz=2500.0) == ((MAINS, 2),)
        assert harmonics_near(120.0, 0.1, own_hz=2500.0, mains_hz=60.0) == ((MAINS, 2),)
        assert harmonics_near(5000.0, 0.1, own_hz=2500.0) == ((OWN, 2),)
        assert harmonics_near(777.0, 1.0, own_hz=2500.0) == ()

    def test_a_short_count_leaves_both_open(self):
        assert harmonics_near(101.0, 0.2, own_hz=104.0) == ((MAINS, 2), (OWN, 1))
        assert harmonics_near(101.0, 0.5, own_hz=104.0) == ((MAINS, 2),)

    def test_of_one_family_several_are_near_where_the_record_is_very_short(self):
        assert {harmonic for _, harmonic in harmonics_near(100.0, 0.01, own_hz=1e5)} == {1, 2, 3}

    @pytest.mark.parametrize(
        ("act", "sentence"),
        [
            (lambda: folded_hz(-1.0, 1e-3), "frequency_hz must be zero or more and finite; -1.0 was given."),
            (lambda: folded_hz(math.nan, 1e-3), "frequency_hz must be zero or more and finite; nan was given."),
            (lambda: folded_hz(50.0, math.inf), "interval_s must be a finite number; inf was given."),
            (lambda: needed_duration_s(0.0, 50.0), "one_hz must be more than zero; 0.0 was given."),
            (lambda: harmonics_near(1.0, 0.0, own_hz=1.0), "duration_s must be more than zero; 0.0 was given."),
            (
                lambda: harmonics_near(1.0, 1.0, own_hz=1.0, most=0),
                "At least one harmonic of each rate is looked at; 0 was given.",
            ),
        ],
    )
    def test_nonsense_gets_a_sentence(self, act, sentence):
        with pytest.raises(ValueError) as refusal:
            act()
        assert str(refusal.value) == sentence
