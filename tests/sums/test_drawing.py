"""Waves that a sum draws."""

import numpy as np

from restoration.sums.drawing import HIGH, WIDE, waves

TIMES_S = np.linspace(0.0, 1e-6, 400)


def test_each_wave_has_its_name_and_points_inside_the_box():
    figure = waves("Two waves", "A caption.", TIMES_S, {"load": 30 * TIMES_S * 1e6, "source end": 20 + 0 * TIMES_S})
    assert (figure["title"], figure["caption"], figure["data_url"]) == ("Two waves", "A caption.", "")
    assert [(drawn["kind"], drawn["name"]) for drawn in figure["traces"]] == [
        ("left", "load"),
        ("expected", "source end"),
    ]
    for drawn in figure["traces"]:
        points = np.array([[float(part) for part in point.split(",")] for point in drawn["points"].split()])
        assert points.min() >= 0
        assert points.max() <= 1000
    assert (figure["x_axis"]["unit"], figure["y_axis"]["unit"]) == ("µs", "V")


def test_names_of_waves_that_all_but_coincide_do_not_lie_on_each_other():
    rings = np.sin(2e7 * TIMES_S) * np.exp(-5e6 * TIMES_S)
    figure = waves("Three", "Three.", TIMES_S, {"as made": rings, "+20 %": 1.1 * rings, "−20 %": 0.9 * rings})
    places = [(float(drawn["name_x"]), float(drawn["name_y"])) for drawn in figure["traces"]]
    for at, (x, y) in enumerate(places):
        assert 0 <= x <= 80
        assert 13 <= y <= 100
        assert all(abs(x - other_x) >= WIDE - 0.1 or abs(y - other_y) >= HIGH - 0.1 for other_x, other_y in places[:at])
