"""The geometry of a drawn trace: nothing lost, ticks round, numbers readable."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.captures import Trace
from restoration.engineering.plots import (
    Frame,
    curve,
    format_part,
    format_si,
    frame_for,
    level_band,
    level_ticks,
    nice_ticks,
    thinned,
    time_ticks,
)

SPACE = "\u00a0"


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (2.4149e-6, "s", "2.41 µs"), (31.0, "V", "31.0 V"), (0.0, "V", "0 V"), (-0.4, "V", "-400 mV"),
        (999.96, "Hz", "1.00 kHz"), (1e6, "Hz", "1.00 MHz"), (1e-9, "s", "1.00 ns"), (0.99999e-9, "s", "1.00 ns"),
        (40e-9, "s", "40.0 ns"), (123.456e-12, "s", "123 ps"), (4e-22, "s", "0 s"), (-1e-20, "s", "0 s"),
        (2.5e-17, "s", "0.0250 fs"), (5e15, "Hz", "5000 THz"),
        (-30.25, "V", "-30.2 V"), (0.0724, "", "0.0724"),
    ],
)  # fmt: skip
def test_values_for_people(value, unit, words):
    assert format_si(value, unit) == words.replace(" ", SPACE)


@pytest.mark.parametrize("value", [None, math.nan, math.inf])
def test_what_is_not_known_says_so(value):
    assert format_si(value, "s") == "not known"
    assert format_part(value) == "not known"


@given(st.floats(1e-14, 1e13), st.sampled_from([-1, 1]))
def test_words_mean_the_value_to_three_digits(value, sign):
    prefixes = {
        "f": 1e-15,
        "p": 1e-12,
        "n": 1e-9,
        "µ": 1e-6,
        "m": 1e-3,
        "": 1.0,
        "k": 1e3,
        "M": 1e6,
        "G": 1e9,
        "T": 1e12,
    }
    number, unit = format_si(sign * value, "V").split(SPACE)

    assert float(number) * prefixes[unit[:-1]] == pytest.approx(sign * value, rel=5.1e-3)
    assert 1.0 <= abs(float(number)) < 1000.0 or value < 1e-15


@given(st.floats(-1e9, 1e9), st.floats(1e-9, 1e9), st.integers(2, 12))
def test_ticks_are_even_round_and_inside(least, span, about):
    most = least + span
    if not least < most or span < 1e-9 * abs(least):
        return
    ticks = nice_ticks(least, most, about)

    assert all(least - 1e-6 * span <= tick <= most + 1e-6 * span for tick in ticks)
    assert len(ticks) <= about + 2
    if len(ticks) > 2:
        steps = np.diff(ticks)
        np.testing.assert_allclose(steps, steps[0], rtol=1e-3, atol=1e-9 * abs(least))


@pytest.mark.parametrize(("least", "most"), [(1.0, 1.0), (2.0, 1.0), (math.nan, 1.0), (0.0, math.inf)])
def test_axis_refuses_nonsense(least, most):
    with pytest.raises(ValueError) as refusal:
        nice_ticks(least, most)
    assert str(refusal.value) == f"An axis runs from a lower to a higher finite value; {least} to {most} was given."


def long_trace(samples=100_000, interval_s=1e-9):
    values = np.zeros(samples)
    values[77_777] = 31.0
    values[12_345] = -7.0
    return Trace("strobe", 0.0, interval_s, values)


def points(drawn):
    return np.array([[float(number) for number in pair.split(",")] for pair in drawn.points.split()])


def test_thinning_keeps_every_peak():
    trace = long_trace()
    frame = frame_for([trace])
    drawn = points(curve(trace, frame, 200))

    assert len(drawn) <= 2 * 200 + 4
    assert drawn[:, 1].min() == pytest.approx(frame.y(31.0), abs=0.01)
    assert drawn[:, 1].max() == pytest.approx(frame.y(-7.0), abs=0.01)
    assert drawn[drawn[:, 1].argmin(), 0] == pytest.approx(frame.x(77_777e-9), abs=0.01)


@settings(max_examples=100, deadline=None)
@given(st.integers(1, 3000), st.integers(1, 200), st.integers(0, 99))
def test_drawn_points_are_samples_in_order(samples, buckets, seed):
    trace = Trace("any", 0.0, 1.0, np.random.default_rng(seed).normal(size=samples))
    times, levels = thinned(trace, 0.0, float(max(samples - 1, 1)), buckets)

    assert (np.diff(times) >= 0).all()
    np.testing.assert_array_equal(levels, trace.values[times.astype(int)])
    assert levels.max() == trace.values.max()
    assert levels.min() == trace.values.min()


@pytest.mark.parametrize(("start_s", "stop_s", "count"), [(-1e308, 1e308, 4), (5.0, 6.0, 0), (-6.0, -5.0, 0)])
def test_what_lies_far_outside_of_a_trace_is_no_overflow(start_s, stop_s, count):
    times, values = thinned(Trace("CH1", 0.0, 1e-9, np.array([0.0, 1.0, 5.0, 1.0])), start_s, stop_s)
    assert (len(times), len(values)) == (count, count)


def test_short_trace_is_drawn_whole():
    trace = Trace("short", 0.0, 1e-9, np.array([0.0, 5.0, 0.0]))
    frame = Frame(0.0, 0.0, 100.0, 50.0, 0.0, 2e-9, 0.0, 5.0)
    assert curve(trace, frame).points == "0,50 50,0 100,50"


def test_zoomed_frame_draws_what_it_shows_and_one_sample_more():
    trace = long_trace()
    frame = Frame(0.0, 0.0, 100.0, 50.0, 50e-6, 50.01e-6, -10.0, 40.0)
    drawn = points(curve(trace, frame))

    assert 11 <= len(drawn) <= 14
    assert drawn[0, 0] <= 0.0
    assert drawn[-1, 0] >= 100.0


def test_frame_outside_the_trace_draws_nothing():
    frame = Frame(0.0, 0.0, 100.0, 50.0, 1.0, 2.0, 0.0, 5.0)
    assert curve(Trace("short", 0.0, 1e-9, np.array([0.0, 5.0])), frame).points.count(" ") <= 2


def test_frame_holds_all_traces_and_limits():
    one = Trace("one", 0.0, 1e-9, np.array([0.0, 5.0]))
    other = Trace("other", -2e-9, 1e-9, np.array([-3.0, 1.0]))
    frame = frame_for([one, other], include_v=[35.0])

    assert (frame.start_s, frame.stop_s) == (-2e-9, 1e-9)
    assert frame.least_v < -3.0
    assert frame.most_v > 35.0


@pytest.mark.parametrize("values", [[3.0], [3.0, 3.0], [0.0, 0.0]])
def test_flat_trace_has_a_frame(values):
    frame = frame_for([Trace("flat", 0.0, 1e-9, np.array(values))])

    assert frame.least_v < values[0] < frame.most_v
    assert frame.stop_s > frame.start_s
    assert time_ticks(frame)
    assert level_ticks(frame)


def test_no_trace_no_frame():
    with pytest.raises(ValueError) as refusal:
        frame_for([])
    assert str(refusal.value) == "There is no trace to draw."


def test_trace_without_an_interval_is_drawn_against_its_sample_number():
    frame = frame_for([Trace("timeless", 0.0, None, np.zeros(11))])
    assert (frame.start_s, frame.stop_s) == (0.0, 10.0)


def test_ticks_lie_on_the_frame_and_read_well():
    frame = Frame(80.0, 10.0, 900.0, 400.0, -4e-7, 1.6e-6, -5.0, 35.0)

    across = time_ticks(frame)
    assert [tick.words for tick in across] == [
        f"{one}{SPACE}{unit}" for one, unit in (("0", "s"), ("500", "ns"), ("1", "µs"), ("1.5", "µs"))
    ]
    assert [tick.at for tick in across] == pytest.approx([frame.x(tick.value) for tick in across])
    down = level_ticks(frame)
    assert [tick.words for tick in down][:2] == [f"0{SPACE}V", f"10{SPACE}V"] or len(down) > 3
    assert all(10.0 <= tick.at <= 410.0 for tick in down)


@pytest.mark.parametrize(
    ("least", "most", "y", "height"),
    [(25.0, 35.0, 50.0, 100.0), (None, 35.0, 50.0, 350.0), (25.0, None, 0.0, 150.0), (-100.0, 100.0, 0.0, 400.0)],
)
def test_limit_band_is_cut_to_the_frame(least, most, y, height):
    band = level_band(Frame(0.0, 0.0, 900.0, 400.0, 0.0, 1.0, 0.0, 40.0), least, most)
    assert (band.y, band.height, band.width) == (pytest.approx(y), pytest.approx(height), 900.0)


@pytest.mark.parametrize(("least", "most"), [(None, None), (50.0, 60.0), (-9.0, -5.0)])
def test_no_band_where_there_is_none_to_show(least, most):
    assert level_band(Frame(0.0, 0.0, 900.0, 400.0, 0.0, 1.0, 0.0, 40.0), least, most) is None


def test_a_bucket_is_needed():
    with pytest.raises(ValueError, match="at least one bucket; 0 was given"):
        curve(long_trace(), frame_for([long_trace()]), 0)
