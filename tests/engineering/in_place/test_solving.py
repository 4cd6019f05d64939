"""Solving one pulse: levels, time passed over, and the estimate of settling."""

from dataclasses import replace

import numpy as np
import pytest

from restoration.engineering.in_place import Arrangement
from restoration.engineering.in_place.solving import settling_s, solve_pulse, trailing_s
from restoration.engineering.link_model import LinkLoad, link_volts
from tests.engineering.in_place.cases import PULSE, a_case, other

CASES = [
    a_case(),
    a_case(source=replace(PULSE, resistance_ohm=40.0), length_m=9.0, others=(other(),)),
    a_case(source=replace(PULSE, resistance_ohm=3000.0)),
    a_case(load=LinkLoad(100e3, 30e-12, grid_stopper_ohm=4700.0)),
    a_case(arrangement=Arrangement(attenuator_ohm=10e3, attenuator_f=22e-12, shunt_ohm=10e3)),
    a_case(arrangement=Arrangement(shunt_ohm=270.0, shunt_coupling_f=1e-9)),
]


@pytest.mark.parametrize("case", CASES)
def test_after_the_time_estimated_a_step_has_settled(case):
    """Within 1 % of its height at both ends; what is passed over is checked to a thousandth besides."""
    model = replace(case.model(), source=replace(case.model().source, duration_s=1.0))
    at_s = model.source.rise_s + settling_s(model)
    volts = link_volts(model, np.linspace(0.0, 1.5 * at_s, 400))
    late = volts.times_s > at_s
    solved = solve_pulse(model, 600)
    for trace_v, levels in ((volts.load_v, solved.at_load), (volts.source_v, solved.at_source)):
        assert np.abs(trace_v[late] / levels.active_v - 1.0).max() < 0.01


@pytest.mark.parametrize("case", CASES)
def test_time_is_passed_over_only_on_a_flat_top(case):
    long = replace(case.model(), source=replace(case.model().source, duration_s=1e-3))
    solved = solve_pulse(long, 600)
    assert solved.passed_s > 0.5e-3
    assert solved.turns_s + solved.passed_s == pytest.approx(trailing_s(long.source))
    at = int(np.searchsorted(solved.volts.times_s, solved.turns_s)) - 1
    assert solved.volts.load_v[at] == pytest.approx(solved.at_load.active_v, rel=1e-3)
    whole_s = solved.whole_volts.times_s
    assert np.all(np.diff(whole_s) > 0)
    assert whole_s[-1] - solved.volts.times_s[-1] == pytest.approx(solved.passed_s)


def test_a_short_pulse_and_a_sagging_one_are_left_whole():
    assert solve_pulse(a_case(source=replace(PULSE, duration_s=2e-7)).model(), 600).passed_s == 0.0
    sagging = replace(PULSE, duration_s=1e-4, droop_time_constant_s=1e-3)
    assert solve_pulse(a_case(source=sagging).model(), 600).passed_s == 0.0


@pytest.mark.parametrize(
    "case",
    [
        a_case(load=LinkLoad(1e-300)),
        a_case(arrangement=Arrangement(shunt_ohm=1e-30)),
        a_case(arrangement=Arrangement(attenuator_ohm=1e308, shunt_ohm=1.0)),
    ],
)
def test_a_link_on_which_nothing_is_left_of_the_pulse_is_refused(case):
    with pytest.raises(ValueError) as refusal:
        solve_pulse(case.model(), 600)
    assert str(refusal.value) == (
        "Nothing of the pulse is left on this link: look at the resistances given for its drive, load and parts."
    )
