"""What is to be expected: verdicts on intervals, cases matched to what was seen, what parts have to bear."""

from dataclasses import replace

import numpy as np
import pytest

from restoration.conditioning.foreseeing import (
    OUTSIDE,
    PERHAPS,
    WITHIN,
    foresee,
    is_unlike,
    matched_to_seen,
    verdict_on,
)
from restoration.conditioning.known import case_of
from restoration.conditioning.stress import ratings_of
from restoration.engineering.in_place import Arrangement, Interval
from restoration.machine.models import SignalLimit
from tests.conditioning.links import bench_test, check

BOTH = SignalLimit(quantity="amplitude", least=15, most=20)


@pytest.mark.parametrize(
    ("told", "limit", "verdict"),
    [
        (Interval(17, 16, 18), BOTH, WITHIN),
        (Interval(17, 15, 20), BOTH, WITHIN),
        (Interval(17, 14.9, 18), BOTH, PERHAPS),
        (Interval(21, 19.9, 22), BOTH, PERHAPS),
        (Interval(21, 20.1, 22), BOTH, OUTSIDE),
        (Interval(10, 9, 14.9), BOTH, OUTSIDE),
        (Interval(10, 9, 14.9), SignalLimit(quantity="amplitude", most=20), WITHIN),
    ],
)
def test_a_verdict_is_on_the_whole_interval(told, limit, verdict):
    assert verdict_on(told, limit) == verdict


@pytest.fixture
def bench(link, tester):
    return bench_test(link, tester, rise_time=4e-8, fall_time=6e-8)


def test_a_damping_resistor_takes_the_overshoot_away(link, bench):
    known = case_of(link)
    bare, damped = foresee(known, known.case), foresee(known, known.case, Arrangement(series_ohm=330.0))
    assert bare.at_load("overshoot").value > 0.1 > damped.at_load("overshoot").value
    assert [limit.quantity for limit in bare.missed(known.limits)] == ["overshoot"]
    assert damped.missed(known.limits) == []
    assert damped.case.arrangement == Arrangement(series_ohm=330.0)


def test_two_equal_resistors_halve_a_stiff_pulse_and_less_than_halve_a_weak_one(link, bench):
    """Common practice, no source: the divider of the trade, where the source is stiff and the load light."""
    known = case_of(link)
    halves = Arrangement(attenuator_ohm=10e3, shunt_ohm=10e3)
    stiff = replace(known.case, source=replace(known.case.source, resistance_ohm=1.0), bench_load=None)
    whole = foresee(known, stiff).at_load("amplitude").value
    assert foresee(known, stiff, halves).at_load("amplitude").value == pytest.approx(whole / 2, rel=0.06)
    small = Arrangement(attenuator_ohm=150.0, shunt_ohm=150.0)
    weak = foresee(known, known.case).at_load("amplitude").value
    assert foresee(known, known.case, small).at_load("amplitude").value == pytest.approx(weak / 3, rel=0.02)


def test_a_check_like_the_bench_changes_nothing(link, bench, tester, second_tester):
    known = case_of(link)
    told = foresee(known, known.case)
    read = {name: told.at_load(name).value for name in ("amplitude", "overshoot", "rise_time", "fall_time")}
    check(link, tester, second_tester, **read)
    assert not is_unlike(case_of(link))


def test_a_check_unlike_the_bench_is_matched(link, bench, tester, second_tester):
    check(link, tester, second_tester, amplitude=31.0, overshoot=0.3, rise_time=3e-8)
    known = case_of(link)
    assert is_unlike(known)
    found = matched_to_seen(known)
    now = foresee(known, found.case, is_matched=True)
    assert now.at_load("amplitude").value == pytest.approx(31.0, rel=0.02)
    assert now.at_load("overshoot").value == pytest.approx(0.3, abs=0.04)
    assert found.factors["height"] > 1.5


def test_without_a_check_there_is_nothing_to_match(link, bench):
    known = case_of(link)
    assert not is_unlike(known)
    assert matched_to_seen(known) is None


def test_parts_bear_what_ohms_law_says(link, bench):
    known = case_of(link)
    fitted = Arrangement(series_ohm=1000.0, shunt_ohm=1000.0)
    foreseen = foresee(known, known.case, fitted)
    borne = ratings_of(foreseen)
    top_v = foreseen.at_load("amplitude").value
    watts, volts = borne["shunt_ohm"]
    assert volts == pytest.approx(top_v, rel=0.1)
    assert watts == pytest.approx(volts**2 / 1000.0)  # no period is known: as if the pulse never ended
    assert ratings_of(None) == {}


def test_with_a_period_the_watts_are_the_mean(link, bench):
    known = case_of(link)
    fitted = Arrangement(shunt_ohm=1000.0)
    slow = replace(known.case, source=replace(known.case.source, period_s=24e-6))
    foreseen = foresee(known, slow, fitted)
    watts, _ = ratings_of(foreseen)["shunt_ohm"]
    top_v = foreseen.at_load("amplitude").value
    assert watts == pytest.approx(top_v**2 / 1000.0 * 2.4 / 24, rel=0.05)


def test_a_capacitor_has_volts_and_no_watts(link, bench):
    known = case_of(link)
    fitted = Arrangement(attenuator_ohm=1000.0, attenuator_f=47e-12, shunt_ohm=1000.0)
    watts, volts = ratings_of(foresee(known, known.case, fitted))["attenuator_f"]
    assert watts == 0.0
    assert np.isfinite(volts)
    assert volts > 5
