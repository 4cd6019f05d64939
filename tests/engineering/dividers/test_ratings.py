"""Heat at the pulse's duty, and whether a resistor bears it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.dividers import check_rating, pulse_watts


def plain(check):
    return check.words.replace("\xa0", " ")


def test_thirty_volts_into_a_terminator():
    """30 V on 270 ohms is 3.33 W while it stands."""
    assert pulse_watts(30.0, 270.0, 1.0) == pytest.approx(10 / 3)
    assert pulse_watts(-30.0, 270.0, 0.1) == pytest.approx(1 / 3)
    assert pulse_watts(30.0, 270.0, 0.0) == 0.0


def test_a_resistor_that_bears_it():
    check = check_rating(30.0, 2.7e3, 0.25, 0.5, 250.0)
    assert check.fits
    assert check.watts == pytest.approx(1 / 12)
    assert check.allowed_w == 0.25
    assert plain(check) == "The resistor turns 83.3 mW into heat and is allowed 250 mW."


def test_too_hot():
    check = check_rating(30.0, 270.0, 0.25, 1.0)
    assert not check.fits
    assert plain(check) == "The resistor turns 833 mW into heat and is allowed 500 mW: take one of 1.67 W or more."


def test_too_many_volts_whatever_the_duty():
    check = check_rating(-400.0, 1e6, 0.001, 0.5, 350.0)
    assert not check.fits
    assert check.peak_v == 400.0
    assert plain(check) == (
        "The pulse puts 400 V on a resistor made for 350 V: take one for more volts, or two in series."
    )


def test_both_at_once():
    check = check_rating(400.0, 10e3, 0.5, 1.0, 350.0)
    assert plain(check) == (
        "The resistor turns 8.00 W into heat and is allowed 500 mW: take one of 16.0 W or more. "
        "The pulse puts 400 V on a resistor made for 350 V: take one for more volts, or two in series."
    )


@given(st.floats(1, 500), st.floats(10, 1e6), st.floats(0, 1), st.floats(0.05, 10), st.floats(0.1, 1))
def test_a_resistor_run_cooler_still_fits(volts, ohm, duty, rating_w, derating):
    fits = check_rating(volts, ohm, duty, rating_w, derating=derating).fits
    assert fits == (volts**2 / ohm * duty <= derating * rating_w)
    if fits:
        assert check_rating(volts, ohm, duty / 2, rating_w, derating=derating).fits


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"duty": 1.1}, "A duty is a part of the time from 0 to 1; 1.1 was given."),
        ({"duty": -0.1}, "A duty is a part of the time from 0 to 1; -0.1 was given."),
        ({"duty": math.nan}, "A duty is a part of the time from 0 to 1; nan was given."),
        ({"peak_v": math.inf}, "peak_v must be a finite number; inf was given."),
        ({"resistance_ohm": 0.0}, "resistance_ohm must be more than zero; 0.0 was given."),
        ({"resistance_ohm": math.inf}, "resistance_ohm must be a finite number; inf was given."),
        ({"rating_w": 0.0}, "rating_w must be more than zero; 0.0 was given."),
        ({"rating_v": -1.0}, "rating_v must be more than zero; -1.0 was given."),
        ({"derating": 0.0}, "A derating is a part of the rated watts up to 1; 0.0 was given."),
        ({"derating": 1.2}, "A derating is a part of the rated watts up to 1; 1.2 was given."),
    ],
)
def test_nonsense(changed, sentence):
    asked = {"peak_v": 30.0, "resistance_ohm": 1e3, "duty": 0.5, "rating_w": 1.0}
    with pytest.raises(ValueError) as refused:
        check_rating(**(asked | changed))
    assert str(refused.value) == sentence
