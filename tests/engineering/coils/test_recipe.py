"""What a recipe comes to: each figure by the function it is said to come from, and what is refused."""

import math
from dataclasses import replace

import pytest

from restoration.engineering.coils import (
    DampedInductor,
    Recipe,
    Wound,
    damped_figures,
    figures_of,
    self_capacitance_f,
    self_resonance,
    winding_ohm,
)

COIL = Wound(0.0125, 0.0002032, 0.00023, 120)
RECIPE = Recipe(COIL, room_m=0.03, wanted_h=68e-6, tolerance=0.05, body_ohm=2200.0, stray_f=30e-12)


def test_each_figure_is_the_one_it_is_said_to_be():
    found = figures_of(RECIPE)
    assert found.inductance_h == COIL.inductance_h
    assert found.resistance_ohm == winding_ohm(COIL.wire_m, COIL.bare_m)
    assert found.warm_ohm == pytest.approx(1.1179 * found.resistance_ohm)
    assert found.own_f == self_capacitance_f(COIL.laid()[0].layer)
    assert found.across_f == pytest.approx(found.own_f + 30e-12)
    assert found.resonance == self_resonance(found.inductance_h, found.own_f)
    assert found.working == self_resonance(found.inductance_h, found.across_f)
    assert found.cut_m > found.wire_m == COIL.wire_m
    assert found.unknown == ()


def test_wanted_against_predicted():
    found = figures_of(RECIPE)
    assert found.off_wanted == pytest.approx(COIL.inductance_h / 68e-6 - 1.0)
    assert found.meets is True
    assert figures_of(replace(RECIPE, tolerance=0.001)).meets is False
    assert figures_of(replace(RECIPE, tolerance=None)).meets is None
    assert figures_of(replace(RECIPE, wanted_h=None)).off_wanted is None


def test_spread_is_of_the_estimates_that_hold():
    found = figures_of(RECIPE)
    held = [each.value_h for each in found.estimates if each.holds]
    assert found.spread_h == (min(held), max(held))
    assert found.spread == pytest.approx((max(held) - min(held)) / 2 / found.inductance_h)


@pytest.mark.parametrize(("tolerance", "drift"), [(None, 0.2), (0.05, 0.2), (0.3, 0.3)])
def test_drift_is_the_tolerance_or_a_fifth(tolerance, drift):
    found = figures_of(replace(RECIPE, body_tolerance=tolerance))
    assert found.drift.drift == drift
    inductor = DampedInductor(found.inductance_h, found.across_f, 2200.0, found.resistance_ohm)
    assert found.drift.nominal == damped_figures(inductor)


def test_frequency_of_q():
    """A tenth of the self-resonance, rounded down to 1, 2 or 5; or as asked."""
    found = figures_of(RECIPE)
    tenth = found.resonance.frequency_hz / 10
    assert found.quality.frequency_hz in [step * 10**power for step in (1, 2, 5) for power in range(4, 8)]
    assert tenth / 2.5 < found.quality.frequency_hz <= tenth
    assert figures_of(RECIPE, 455e3).quality.frequency_hz == 455e3


def test_several_layers_have_no_capacitance_that_can_be_told():
    coil = Wound(0.02, 0.0002, 0.00023, 400, layers=4)
    found = figures_of(Recipe(coil, body_ohm=10e3))
    assert found.own_f is found.across_f is found.resonance is found.working is found.drift is None
    assert found.quality.frequency_hz == 1e3
    assert found.unknown == (
        "The self-capacitance of several layers follows no formula that can be trusted: measure it.",
        "How it rings is not known: say what capacitance it works into.",
    )
    with_stray = figures_of(Recipe(coil, body_ohm=10e3, stray_f=80e-12))
    assert with_stray.across_f == 80e-12
    assert with_stray.drift is not None


def test_a_shape_outside_the_table():
    flat = figures_of(Recipe(Wound(0.1, 0.0005, 0.0006, 5)))
    assert flat.own_f is None
    assert flat.unknown == (
        "Its length is 0.0298 diameters, and Medhurst's table goes from 0.1 to 50: measure the self-capacitance.",
    )


def test_without_a_body_nothing_is_damped():
    assert figures_of(replace(RECIPE, body_ohm=None)).drift is None


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"room_m": 0.02}, "120 turns in one layer are 27.6 mm long, and the winding length is 20 mm, which takes 86 "),
        ({"room_m": 0.0}, "A winding length is above zero and finite; 0.0 m was given."),
        ({"wanted_h": math.nan}, "A wanted inductance is above zero and finite; nan H was given."),
        ({"body_ohm": -5.0}, "The resistance of a body is above zero and finite; -5.0 Ω was given."),
        ({"tolerance": 1.0}, "A tolerance is from 0 to below 100 %; 100 % was given."),
        ({"body_tolerance": -0.1}, "The tolerance of a body is from 0 to below 100 %; -10 % was given."),
        ({"stray_f": -1e-12}, "What a coil works into is zero or more and finite; -1e-12 F was given."),
    ],
)
def test_what_is_refused(changed, says):
    with pytest.raises(ValueError, match=says):
        replace(RECIPE, **changed)


def test_layers_that_do_not_fit():
    with pytest.raises(
        ValueError, match="100 turns in one layer are 23 mm long, and the winding length is 20 mm, which "
    ):
        Recipe(Wound(0.02, 0.0002, 0.00023, 400, layers=4), room_m=0.02)


def test_a_length_that_is_just_enough():
    assert Recipe(COIL, room_m=120 * 0.00023).room_m == pytest.approx(COIL.length_m)


def test_no_frequency():
    with pytest.raises(ValueError, match="A frequency is above zero and finite; -1.0 Hz was given."):
        figures_of(RECIPE, -1.0)
