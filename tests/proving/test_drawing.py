import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.captures import Trace
from restoration.engineering.plots import thinned
from restoration.machine.models import SignalLimit
from restoration.proving.drawing import Drawing, DrawnTrace, LimitBand, band_of, figure_of, samples_as_json


def limit(quantity, least=None, most=None):
    return SignalLimit(quantity=quantity, least=least, most=most)


def trace(samples=3000, interval_s=4e-9, start_s=-1e-6):
    values = np.where((np.arange(samples) > 500) & (np.arange(samples) < 900), 17.0, 0.0)
    return Trace("CH1", start_s, interval_s, values)


AMPLITUDE = limit("amplitude", 15, 20)


@pytest.mark.parametrize(
    ("limits", "told", "band"),
    [
        ([AMPLITUDE], {"polarity": "positive pulse", "low_level_v": -1.0}, (14.0, 19.0)),
        ([AMPLITUDE], {"polarity": "negative pulse", "high_level_v": 60.0}, (40.0, 45.0)),
        ([AMPLITUDE], None, (15.0, 20.0)),
        ([limit("amplitude", least=15)], {"polarity": "negative pulse", "high_level_v": 60.0}, (None, 45.0)),
        ([limit("amplitude", most=20)], {"low_level_v": 2.0}, (None, 22.0)),
        ([AMPLITUDE, limit("high_level", 16, 21)], {"low_level_v": -1.0}, (16, 21)),
        ([limit("amplitude")], {}, None),
        ([limit("rise_time", most=1e-6)], {}, None),
        ([], {}, None),
    ],
)
def test_the_band_lies_where_the_limit_can_be_seen(limits, told, band):
    found = band_of(limits, told)
    assert [(one.low_v, one.high_v) for one in found] == ([band] if band else [])


def test_a_figure_has_axes_band_and_names():
    drawing = Drawing(
        [DrawnTrace("earlier", "25 Oct 2026", trace()), DrawnTrace("left", "left", trace())],
        [LimitBand(15.0, 20.0, "limit, 15 to 20 V")],
    )
    figure = figure_of(drawing, title="Left 17 V", caption="Left 17 V.", data_url="/x/")
    assert (figure["x_axis"]["unit"], figure["y_axis"]["unit"]) == ("µs", "V")
    assert [tick["label"] for tick in figure["x_axis"]["ticks"]] == ["0", "2", "4", "6", "8", "10"]
    assert figure["bands"][0]["label"] == "limit, 15 to 20 V"
    assert [one["name"] for one in figure["traces"]] == ["", "left"]
    for drawn in figure["traces"]:
        points = [tuple(map(float, point.split(","))) for point in drawn["points"].split()]
        assert points[0][0] == pytest.approx(0, abs=0.1)
        assert points[-1][0] == pytest.approx(1000, abs=0.1)
        assert all(-0.01 <= y <= 1000.01 for _, y in points)


def test_without_an_interval_the_axis_counts_samples():
    drawing = Drawing([DrawnTrace("found", "found", trace(interval_s=None, start_s=0.0))])
    figure = figure_of(drawing, title="", caption="", data_url="")
    assert (figure["x_axis"]["name"], figure["x_axis"]["unit"]) == ("sample", "number")
    assert samples_as_json(drawing, start_s=None, stop_s=None, buckets=100)["x"] == {"name": "sample", "unit": ""}


@given(st.integers(2, 5000), st.integers(1, 800))
def test_thinning_keeps_both_ends_every_extreme_and_leaves_no_gap(samples, buckets):
    values = np.sin(np.arange(samples) * 0.37) * np.arange(samples)
    times, kept = thinned(Trace("CH1", 0.0, 1.0, values), 0.0, float(samples), buckets)
    assert (times[0], times[-1]) == (0.0, samples - 1)
    assert (kept.min(), kept.max()) == (values.min(), values.max())
    assert times.size <= 2 * buckets + 4
    assert (np.diff(times) >= 0).all()
    assert np.diff(times).max() <= 2 * np.ceil(samples / buckets)


def test_thinning_refuses_what_cannot_be_drawn():
    with pytest.raises(ValueError, match="at least one bucket; 0 was given"):
        thinned(trace(), 0.0, 1.0, 0)
    with pytest.raises(ValueError, match="from an earlier to a later instant"):
        thinned(trace(), 1.0, 0.0)


def test_names_of_traces_that_lie_together_stand_apart():
    drawing = Drawing([DrawnTrace(kind, kind, trace()) for kind in ("found", "left", "expected")])
    drawn = figure_of(drawing, title="t", caption="c", data_url="")["traces"]
    places = [float(one["name_y"]) for one in drawn]
    assert len({one["name_x"] for one in drawn}) == 1
    assert all(second - first >= 9.0 for first, second in itertools.pairwise(places))
