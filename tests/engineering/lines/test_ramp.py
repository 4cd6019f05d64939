"""The answer to a ramp: which way it is worked out, how long, and that all ways agree."""

import math

import numpy as np
import pytest

from restoration.engineering.lines import ramp
from restoration.engineering.lines.ramp import MOST_STEPS, ramp_answer
from restoration.engineering.lines.records import LinkLoad, LinkModel, LosslessLine, PulseSource

NS, PF = 1e-9, 1e-12
SOURCE = PulseSource(0.0, 10.0, 1e-6, 50 * NS, 50 * NS, 90.0)
LINK = LinkModel(SOURCE, LosslessLine(280.0, 20 * NS), LinkLoad(1e6, 40 * PF, 1000.0), source_load_f=50 * PF)


def test_resistive_ends_take_one_step_a_delay():
    answer = ramp_answer(LinkModel(SOURCE, LosslessLine(280.0, 20 * NS), LinkLoad(470.0)), 3e-6)
    assert (answer.step_s, answer.is_resistive) == (20 * NS, True)


def test_one_filter_and_round_trips_are_the_same(monkeypatch):
    one = ramp_answer(LINK, 1e-6, 1 * NS)
    monkeypatch.setattr(ramp, "LONGEST_ONE_CALL", 0)
    trips = ramp_answer(LINK, 1e-6, 1 * NS)
    np.testing.assert_allclose(trips.volts, one.volts, rtol=0, atol=1e-7)


def test_round_trips_between_resistances_too(monkeypatch):
    link = LinkModel(SOURCE, LosslessLine(280.0, 20 * NS), LinkLoad(470.0))
    one = ramp_answer(link, 1e-6)
    monkeypatch.setattr(ramp, "LONGEST_ONE_CALL", 0)
    np.testing.assert_allclose(ramp_answer(link, 1e-6).volts, one.volts, atol=1e-12)


def test_bettering_changes_nothing_where_nothing_crowds(monkeypatch):
    plain = ramp_answer(LINK, 1e-6, 1 * NS)
    monkeypatch.setattr(ramp, "MOST_CROWDING", 0.0)
    np.testing.assert_allclose(ramp_answer(LINK, 1e-6, 1 * NS).volts, plain.volts, atol=1e-7)


def test_a_settled_record_is_short_and_goes_on_as_the_long_one(monkeypatch):
    """A window of 10 ms for a link that settles in microseconds; beyond, within 1e-3 of the whole record's growth."""
    short = ramp_answer(LINK, 10e-3)
    assert short.volts.shape[1] * short.step_s < 20e-6
    monkeypatch.setattr(ramp, "SETTLED_WITHIN", 0.0)
    whole = ramp_answer(LINK, 40e-6)
    steps = whole.volts.shape[1] - short.volts.shape[1]
    goes_on = short.volts[:, -1] + (steps) * short.growth[:, -1]
    np.testing.assert_allclose(goes_on, whole.volts[:, -1], atol=1e-3 * 50 * NS / short.step_s)


@pytest.mark.parametrize("ohm", [1e-3, 1.0, 40.0])
def test_a_tiny_time_constant_does_not_run_away(ohm):
    """A picofarad behind next to nothing: a hundred thousand steps at the most, and the line's answer all the same."""
    source = PulseSource(0.0, 10.0, 20e-6, 50 * NS, 50 * NS, ohm)
    link = LinkModel(source, LosslessLine(280.0, 20 * NS), LinkLoad(280.0), source_load_f=1 * PF)
    answer = ramp_answer(link, 20e-6)
    assert answer.volts.shape[1] <= 110_000
    assert answer.growth[3, -1] == pytest.approx(280.0 / (280.0 + ohm))


@pytest.mark.parametrize("link", [LINK, LinkModel(SOURCE, LosslessLine(280.0, 1e-13), LinkLoad(1e6, 40 * PF))])
def test_records_stay_below_their_bound(link):
    assert ramp_answer(link, 1.0).volts.shape[1] <= MOST_STEPS


def test_what_never_settles_is_refused_with_the_number_of_steps():
    link = LinkModel(PulseSource(0.0, 5.0, 1.0, 0.0, 0.0, 0.0), LosslessLine(50.0, 10 * NS))
    with pytest.raises(ValueError) as refused:
        ramp_answer(link, 1.0)
    assert str(refused.value) == (
        "The record would take 100000002 steps; at most 2000000 are allowed. Ask for a shorter time or a longer line."
    )


def test_parts_beyond_reckoning_are_refused():
    link = LinkModel(SOURCE, LosslessLine(280.0, 20 * NS), LinkLoad(math.inf, 1e300, 1e300))
    with pytest.raises(ValueError) as refused:
        ramp_answer(link, 1e-6)
    assert str(refused.value) == (
        "The parts of this link lie too far apart in size to be worked out; check the ohms and farads given."
    )


def test_a_record_that_ends_before_the_wave_arrives_has_nothing_at_the_load():
    link = LinkModel(SOURCE, LosslessLine(280.0, 5e-3), LinkLoad(1e6, 40 * PF))
    answer = ramp_answer(link, 1e-6, 10 * NS)
    assert np.all(answer.volts[3] == 0.0)
    assert answer.volts[0, -1] > 0.0
