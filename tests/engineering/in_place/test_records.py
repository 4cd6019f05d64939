"""Records as the fit takes them: what cannot be is refused, and the slopes are those of the circuit."""

import math

import numpy as np
import pytest

from restoration.engineering.in_place import Record, predict
from restoration.engineering.in_place.records import LEAST_UNCERTAINTY, look_nearby
from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import LinkLoad
from tests.engineering.in_place.cases import a_case


def test_slopes_of_a_divider():
    """d ln V / d ln R = -R/(R + RL): Ohm's law."""
    near = look_nearby(a_case(load=LinkLoad(1000.0)), "load", np.zeros(3), (Quantity.AMPLITUDE,))
    assert near.values[Quantity.AMPLITUDE] == pytest.approx(math.log(16.0), abs=1e-4)
    assert near.slopes[Quantity.AMPLITUDE] == pytest.approx((0.0, 0.0, -0.2), abs=2e-3)


def test_slopes_of_one_pole():
    """10 to 90 % of one pole grows with R and with C alike; the wire has a part of C."""
    source = a_case().source
    slow = a_case(
        source=type(source)(0.0, 20.0, 30e-6, 2e-7, 2e-7, 10e3), length_m=5.0, load=LinkLoad(capacitance_f=60e-12)
    )
    slopes = look_nearby(slow, "load", np.zeros(3), (Quantity.RISE_TIME,)).slopes[Quantity.RISE_TIME]
    assert slopes == pytest.approx((0.5, 0.0, 1.0), abs=0.02)


def test_what_the_fit_takes():
    measured = {"amplitude": (16.0, 0.0), "delay": (1e-8, 1e-9), Quantity.OVERSHOOT: (0.0, 0.01)}
    data = Record("K1", a_case(), measured).data(predict(a_case()).load)
    assert [datum.quantity for datum in data] == [Quantity.AMPLITUDE, Quantity.OVERSHOOT]
    assert data[0].uncertainty == LEAST_UNCERTAINTY
    assert data[0].value == pytest.approx(math.log(16.0))


@pytest.mark.parametrize(
    ("measured", "sentence"),
    [
        ({"amplitude": (-3.0, 0.1)}, "The amplitude of K1 has to be above zero; -3.0 was given."),
        ({"rise_time": (math.nan, 0.0)}, "rise_time must be a finite number; nan was given."),
        (
            {"amplitude": (3.0, -0.1)},
            "The standard uncertainty of the amplitude of K1 is zero or more and finite; -0.1 was given.",
        ),
        ({"height": (3.0, 0.1)}, "'height' is not a valid Quantity"),
    ],
)
def test_records_that_cannot_be_are_refused(measured, sentence):
    with pytest.raises(ValueError) as refused:
        Record("K1", a_case(), measured)
    assert str(refused.value) == sentence


def test_an_end_is_load_or_source():
    with pytest.raises(ValueError) as refused:
        Record("K1", a_case(), {}, end="middle")
    assert str(refused.value) == "A link has the ends load and source; 'middle' was given."
