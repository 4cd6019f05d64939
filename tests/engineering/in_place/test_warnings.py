"""What to mind about a prediction: each sentence where it belongs, and none where it does not."""

import math
from dataclasses import replace

import pytest

from restoration.engineering.in_place import Arrangement, predict
from restoration.engineering.in_place.warnings import left_over, lumping_error
from restoration.engineering.link_model import LinkLoad, PulseSource
from tests.engineering.in_place.cases import PULSE, a_case, other


def test_no_other_wires_no_error_by_lumping():
    assert lumping_error(a_case()) == 0.0
    assert lumping_error(a_case(others=(other("K2", 8.0),))) == 2 * lumping_error(a_case(others=(other("K2", 4.0),)))


def test_a_stage_that_is_asked_for_too_much():
    case = a_case(load=LinkLoad(270.0), source=replace(PULSE, resistance_ohm=100.0), drive_most_a=0.02)
    assert predict(case).warnings[0] == (
        "The source would have to give 54.1\xa0mA and can give 20.0\xa0mA: the pulse will be lower and slower than "
        "reckoned."
    )
    assert not any("would have to give" in words for words in predict(replace(case, drive_most_a=0.06)).warnings)


def test_a_pulse_that_does_not_settle():
    source = PulseSource(0.0, 20.0, 3e-7, 5e-8, 5e-8, resistance_ohm=5e3)
    found = predict(a_case(source=source))
    assert found.load.amplitude_v < 13.0
    assert any(
        words.startswith("The pulse does not settle at the load end while it lasts; its amplitude there, ")
        for words in found.warnings
    )


def test_a_pulse_that_comes_again_too_soon():
    """One pole: what 2 µs charge is emptied for 1 µs less half an edge, by exp(-t / R C)."""
    source = PulseSource(0.0, 20.0, 2e-6, 5e-8, 5e-8, resistance_ohm=5e3, period_s=3e-6)
    case = a_case(source=source, length_m=0.1, load=LinkLoad(capacitance_f=100e-12))
    constant_s = 5e3 * (100e-12 + 0.1 * case.wire.capacitance_f_per_m)
    left = math.exp(-0.975e-6 / constant_s) * -math.expm1(-2e-6 / constant_s)
    assert left_over(case.model()) == pytest.approx(left, rel=0.01)
    assert any(
        words.startswith("The pulse comes again before the trace has come to rest: 14.")
        for words in predict(case).warnings
    )
    for rested in (replace(source, period_s=20e-6), replace(source, period_s=None)):
        assert not any("comes again" in words for words in predict(replace(case, source=rested)).warnings)


def test_a_coupled_termination_lets_go():
    fitted = Arrangement(shunt_ohm=270.0, shunt_coupling_f=10e-9)
    words = predict(a_case(arrangement=fitted)).warnings
    assert any(
        one.startswith("The termination is coupled by a capacitor: it lets go with a time constant of 5.20\xa0µs")
        for one in words
    )


def test_a_long_wire_a_grid_and_ringing():
    source = PulseSource(0.0, 20.0, 2e-6, 2e-8, 2e-8, resistance_ohm=20.0)
    words = " ".join(predict(a_case(source=source, length_m=9.0)).warnings)
    assert "The wire is long beside the edge: there and back takes 59.2\xa0ns, the edge 20.0\xa0ns" in words
    assert "rings back past the middle between its levels: what it drives may see more than one pulse." in words
    assert "a grid that is driven positive draws current and holds the pulse down, which is not reckoned." in words


def test_a_quiet_link_has_nothing_to_mind():
    assert predict(a_case(load=LinkLoad(2000.0, 30e-12))).warnings == ()
