"""What parts have to bear, from the waves reckoned with them."""

import math
from dataclasses import replace

import numpy as np
import pytest

from restoration.conditioning.foreseeing import Foreseen
from restoration.conditioning.stress import ratings_of
from restoration.engineering.in_place import Arrangement, LinkCase, WireConstants, predict
from restoration.engineering.link_model import LinkLoad, PulseSource

CASE = LinkCase(
    PulseSource(0.0, 20.0, 2e-6, 5e-8, 5e-8, resistance_ohm=100.0, period_s=16e-6),
    length_m=2.0,
    wire=WireConstants(14e-12, 0.95e-6),
    load=LinkLoad(100e3, 22e-12),
)


def bears(fitted):
    case = replace(CASE, arrangement=fitted)
    return ratings_of(Foreseen(case, predict(case), {}))


def test_a_plain_shunt_bears_the_square_of_the_level_for_as_long_as_the_pulse_lasts():
    """Closed form: V²/R times the duty, V by Ohm's law; 3 % for edges and ringing."""
    watts, volts = bears(Arrangement(shunt_ohm=300.0))["shunt_ohm"]
    level_v = 20.0 * 300 / 400
    assert watts == pytest.approx(level_v**2 / 300 * 2 / 16, rel=0.03)
    assert level_v <= volts < 1.2 * level_v


def test_a_coupled_shunt_bears_what_its_capacitor_lets_past():
    """Closed form: a ramp of V over T through R + Rs and C leaves C·V²·x·(1 - x·(1 - exp(-1/x))), x = (R + Rs)·C/T, in
    the resistors, and R of R + Rs of that in R; 10 % for the wire and its ringing."""
    ohm, farad = 300.0, 200e-12
    watts, volts = bears(Arrangement(shunt_ohm=ohm, shunt_coupling_f=farad))["shunt_ohm"]
    x = (ohm + 100.0) * farad / 5e-8
    edge_j = farad * 20.0**2 * x * (1 - x * (1 - math.exp(-1 / x)))
    assert watts == pytest.approx(2 * edge_j * ohm / (ohm + 100.0) / 16e-6, rel=0.10)
    assert watts < 0.25 * bears(Arrangement(shunt_ohm=ohm))["shunt_ohm"][0]
    assert volts < 20.0


def test_without_a_period_the_pulse_is_taken_as_standing_for_ever():
    case = replace(CASE, source=replace(CASE.source, period_s=None), arrangement=Arrangement(series_ohm=100.0))
    predicted = predict(case)
    watts, volts = ratings_of(Foreseen(case, predicted, {}))["series_ohm"]
    assert watts == pytest.approx(volts**2 / 100.0)
    assert volts == pytest.approx(np.abs(predicted.volts.source_v - predicted.volts.line_start_v).max())


def test_nothing_foreseen_bears_nothing():
    assert ratings_of(None) == {}
