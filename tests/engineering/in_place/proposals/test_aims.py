"""What is aimed at: limits drawn in, and what stands for those that are not there."""

import numpy as np
import pytest

from restoration.engineering.in_place.proposals.aims import Aims, words_of
from restoration.engineering.in_place.proposals.readings import PEAK_DRIVE
from restoration.engineering.limits import Limit, Quantity
from restoration.engineering.link_model import PulseSource


def aims(limits, now_v=20.0, drive_most_a=None, spare=0.03):
    return Aims.of(limits, now_v, drive_most_a, spare)


def amplitude(*limits):
    return aims({Quantity.AMPLITUDE: Limit(*limits)})


class TestAmplitude:
    def test_limits_are_drawn_in_by_a_part_of_the_nominal(self):
        found = amplitude(17.0, 20.0, 23.0)
        assert (found.drawn.least, found.drawn.most) == (pytest.approx(17.6), pytest.approx(22.4))
        assert (found.amplitude.least, found.amplitude.most) == (17.0, 23.0)

    def test_close_limits_keep_half_of_their_room(self):
        found = amplitude(19.8, 20.0, 20.2)
        assert (found.drawn.least, found.drawn.most) == (pytest.approx(19.9), pytest.approx(20.1))

    def test_a_nominal_alone_is_kept_within_a_tenth(self):
        found = amplitude(None, 20.0, None)
        assert (found.amplitude.least, found.amplitude.most) == (pytest.approx(18.0), pytest.approx(22.0))

    def test_without_a_nominal_the_middle_is_aimed_at(self):
        found = amplitude(10.0, None, 14.0)
        assert found.nominal_v == 12.0
        assert "No nominal amplitude is given" in found.whence

    def test_one_limit_alone_is_aimed_at(self):
        assert amplitude(None, None, 14.0).nominal_v == 14.0
        assert amplitude(None, None, 14.0).amplitude.least == 0.0

    def test_with_nothing_given_what_is_there_is_kept(self):
        found = aims({}, now_v=31.0)
        assert found.nominal_v == 31.0
        assert found.whence == (
            "Neither a limit nor a nominal amplitude is given; what is predicted now, 31.0\u00a0V, is kept "
            "within 10\u00a0%."
        )

    def test_a_nominal_of_nothing_is_refused(self):
        with pytest.raises(ValueError) as refusal:
            amplitude(None, 0.0, None)
        assert str(refusal.value) == "An amplitude aimed at is more than zero; 0 V was given."

    def test_outside_is_counted_in_hundredths_rounded_up(self):
        found = amplitude(17.0, 20.0, 23.0)
        volts = np.array([17.6, 17.59, 17.4, 20.0, 22.4, 23.4])
        assert found.outside(volts, volts, found.drawn).tolist() == [0.0, 1.0, 1.0, 0.0, 0.0, 5.0]

    def test_off_is_counted_in_fiftieths(self):
        assert amplitude(17.0, 20.0, 23.0).off(np.array([20.0, 20.1, 20.3, 18.0])).tolist() == [0.0, 0.0, 1.0, 5.0]


class TestOtherLimits:
    def test_an_overshoot_is_spared_at_least_a_hundredth(self):
        found = aims({Quantity.OVERSHOOT: Limit(most=0.1), Quantity.RISE_TIME: Limit(most=100e-9)})
        assert {band.quantity: band.most for band in found.timed} == {
            Quantity.OVERSHOOT: pytest.approx(0.09),
            Quantity.RISE_TIME: pytest.approx(97e-9),
        }

    def test_a_tight_overshoot_is_halved_at_most(self):
        assert aims({Quantity.OVERSHOOT: Limit(most=0.01)}).timed[0].most == pytest.approx(0.005)

    def test_the_drive_is_a_limit_of_the_source_alone(self):
        found = aims({}, drive_most_a=0.1)
        assert [band.quantity for band in found.timed] == [PEAK_DRIVE]
        assert found.of_loads == ()

    def test_what_never_comes_misses_its_limit(self):
        found = aims({Quantity.RISE_TIME: Limit(most=1e-7)})
        assert found.missed_timed({Quantity.RISE_TIME: np.array([np.inf, 5e-8])}).tolist() == [1.0, 0.0]

    def test_levels_are_judged_at_both_ends_of_the_swing(self):
        found = aims({Quantity.LOW_LEVEL: Limit(-12.0, None, -8.0), Quantity.HIGH_LEVEL: Limit(most=10.0)})
        source = PulseSource(-20.0, 15.0, 1e-6, 1e-7, 1e-7, 100.0)
        assert found.missed_levels(source, np.array([0.5, 0.7, 1.0])).tolist() == [0.0, 2.0, 2.0]


def test_what_is_not_judged_is_said():
    limits = {Quantity.AMPLITUDE: Limit(nominal=20.0), Quantity.OVERSHOOT: Limit(most=0.1)}
    assert list(words_of(aims(limits), limits)) == [
        "The amplitude aimed at is the nominal one, 20.0\u00a0V.",
        "The amplitude has no least and no most; 10\u00a0% about the nominal are taken.",
        "No limit on rise time is given; it is shown and not judged.",
    ]
