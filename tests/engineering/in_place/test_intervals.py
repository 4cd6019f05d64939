"""Intervals of a prediction: they hold the value, widen where less is known, narrow with records."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.in_place import NOMINAL, fit, predict, predict_interval
from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import LinkLoad
from tests.engineering.in_place.cases import a_case, other
from tests.engineering.in_place.synthetic import links_of_a_site

AMPLITUDE = ("load", Quantity.AMPLITUDE)


def width(interval):
    return math.log(interval.high / interval.low)


@settings(max_examples=20, deadline=None)
@given(st.floats(0.2, 9.0), st.floats(1e3, 1e6), st.floats(0.5, 0.99))
def test_an_interval_holds_its_value(length_m, load_ohm, level):
    found = predict_interval(a_case(length_m=length_m, load=LinkLoad(load_ohm, 30e-12)), NOMINAL, level=level)
    assert {end for end, _ in found} == {"load", "source"}
    for interval in found.values():
        assert interval.low <= interval.value <= interval.high
        assert interval.holds(interval.value)


def test_without_records_the_value_is_that_of_the_drawing():
    case = a_case(others=(other(),))
    found = predict_interval(case, NOMINAL)
    assert found[AMPLITUDE].value == pytest.approx(predict(case).load.amplitude_v, rel=2e-3)
    assert ("source", Quantity.DELAY) not in found


def test_a_higher_level_is_wider():
    narrow, wide = (predict_interval(a_case(), NOMINAL, level=level)[AMPLITUDE] for level in (0.5, 0.95))
    assert width(wide) > 2 * width(narrow)


def test_what_depends_on_the_drive_is_known_less():
    stiff, weak = (predict_interval(a_case(load=LinkLoad(load_ohm)), NOMINAL)[AMPLITUDE] for load_ohm in (100e3, 500.0))
    assert width(weak) > 1.5 * width(stiff)


def test_overshoot_is_not_below_nothing():
    interval = predict_interval(a_case(), NOMINAL)["load", Quantity.OVERSHOOT]
    assert interval.low == 0.0
    assert interval.high > interval.value


def test_intervals_narrow_with_records():
    links = links_of_a_site(23, 10)
    case = a_case(load=LinkLoad(1000.0, 30e-12))
    widths = [
        width(predict_interval(case, fit([link.record for link in links[:count]]), "tinned copper")[AMPLITUDE])
        for count in (0, 3, 10)
    ]
    assert widths[0] > 1.2 * widths[1]
    assert widths[0] > 1.5 * widths[2]


def test_a_drive_with_records_is_known_better():
    links = links_of_a_site(29, 8)
    constants = fit([link.record for link in links[:8]])
    case = a_case(load=LinkLoad(1000.0, 30e-12))
    known, unknown = (
        predict_interval(case, constants, "tinned copper", drive)[AMPLITUDE]
        for drive in (links[0].record.drive, "another")
    )
    assert width(known) < width(unknown)


def test_a_level_is_a_part_of_one():
    with pytest.raises(ValueError) as refused:
        predict_interval(a_case(), NOMINAL, level=90)
    assert str(refused.value) == "The level of an interval is a part of one, above 0 and below 1; 90 was given."
