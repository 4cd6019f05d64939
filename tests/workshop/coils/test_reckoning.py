"""What a stored recipe comes to: the same figures as reckoned from what was given, and their words."""

import pytest

from restoration.engineering.coils import (
    DampedInductor,
    Wound,
    damped_figures,
    estimates,
    quality,
    self_capacitance_f,
    self_resonance,
    winding_ohm,
)
from restoration.engineering.plots import format_part, format_si
from restoration.workshop.coils.drawing import draw
from restoration.workshop.coils.reckoning import (
    capacitance_words,
    card_of,
    frequency_words,
    length_words,
    winding_words,
    wound_of,
)
from restoration.workshop.models import CoilRecipe, Winding


def peaking(**changed: object) -> CoilRecipe:
    given = {
        "code": "L-1", "title": "peaking inductor", "former_m": 0.0063, "bare_m": 0.0001219, "covered_m": 0.000145,
        "turns": 178, "layers": 1, "wire": "40 SWG", "winding_length_m": 0.028, "wanted_h": 47e-6, "tolerance": 0.1,
        "body_ohm": 3300.0, "body_tolerance": 0.1, "stray_f": 18e-12,
    }  # fmt: skip
    return CoilRecipe(**(given | changed))


COIL = Wound(0.0063, 0.0001219, 0.000145, 178)


def test_the_card_says_what_the_formulas_give() -> None:
    card = card_of(peaking())
    rows = {row.name: row.predicted for row in card.rows}
    ohm = winding_ohm(COIL.wire_m, COIL.bare_m)
    own_f = self_capacitance_f(COIL.laid()[0].layer)
    resonance = self_resonance(COIL.inductance_h, own_f)
    inductor = DampedInductor(COIL.inductance_h, own_f + 18e-12, 3300.0, ohm)

    assert card.figures is not None
    assert card.figures.estimates == estimates(COIL)
    assert rows["Inductance"] == format_si(COIL.inductance_h, "H")
    assert rows["Resistance"] == format_si(ohm, "Ω")
    assert rows["Self-capacitance"] == f"{own_f * 1e12:.3g}\u00a0pF"
    assert rows["Self-resonance"] == format_si(resonance.frequency_hz, "Hz")
    assert rows["Overshoot"] == format_part(damped_figures(inductor).overshoot)
    assert rows["Q"] == f"at most {quality(COIL.inductance_h, ohm, COIL.bare_m, 2e6).with_skin:.3g}"
    assert [swing.overshoot for swing in card.swings] == [
        format_part(damped_figures(DampedInductor(COIL.inductance_h, own_f + 18e-12, body, ohm)).overshoot)
        for body in (2640.0, 3300.0, 3960.0)
    ]


def test_q_at_a_frequency_that_is_asked_for() -> None:
    told = {row.name: row for row in card_of(peaking(), 455e3).rows}["Q"]
    assert told.how == "at 455 kHz"
    assert float(told.predicted.split()[-1]) < 100


def test_wanted_and_what_would_come_nearest() -> None:
    assert card_of(peaking()).wanted == "Predicted is 4.5\u00a0% below what is wanted, within its tolerance."
    assert card_of(peaking()).nearest == ""
    short = card_of(peaking(turns=140))
    assert short.wanted == "Predicted is 26.9\u00a0% below what is wanted, outside its tolerance."
    assert short.nearest == "With 186 turns it would be 47.1\u00a0µH."
    assert card_of(peaking(turns=140, winding_length_m=0.024)).nearest.startswith(
        "47.0 µH takes 186 turns in one layer,"
    )
    assert card_of(peaking(tolerance=None)).wanted == "Predicted is 4.5\u00a0% below what is wanted."
    assert card_of(peaking(wanted_h=None)).wanted == ""


def test_a_verdict_on_the_drift_breaks_in_no_figure() -> None:
    verdict = card_of(peaking()).verdict
    assert verdict.startswith("The drift matters: ±20\u00a0% of the resistor moves the overshoot from ")
    assert " %" not in verdict
    assert card_of(peaking(body_ohm=None)).verdict == ""


def test_a_recipe_that_cannot_be_wound_says_why() -> None:
    card = card_of(peaking(covered_m=0.0001))
    assert card.figures is None
    assert card.rows == card.swings == ()
    assert card.refused.startswith("Wire is not thinner with its covering than without; ")


def test_layers_are_filled_as_the_length_takes_them() -> None:
    many = peaking(winding=Winding.MULTI, turns=620, layers=7, winding_length_m=0.0145)
    coil = wound_of(many)
    assert (coil.per_layer, coil.layers) == (100, 7)
    assert [each.layer.turns for each in coil.laid()][-1] == 20
    assert wound_of(peaking(winding=Winding.MULTI, layers=2, winding_length_m=None)).per_layer == 89


def test_words() -> None:
    assert winding_words(peaking()) == "178 turns of 40 SWG, close wound in one layer on 6.3\u00a0mm"
    at_a_pitch = peaking(turns=1, wire="", pitch_m=0.001, layers=2)
    assert winding_words(at_a_pitch) == (
        "1 turn of 0.1219\u00a0mm wire, 1\u00a0mm from turn to turn in 2 layers on 6.3\u00a0mm"
    )
    assert [length_words(value) for value in (None, 0.0001219, 4.084)] == ["not said", "0.1219\u00a0mm", "4.08\u00a0m"]
    assert [frequency_words(value) for value in (2e6, 455e3, 100.0, 1234.5)] == [
        "2 MHz",
        "455 kHz",
        "100 Hz",
        "1.2345 kHz",
    ]
    assert [capacitance_words(value) for value in (None, 4.64e-13)] == ["not known", "0.464\u00a0pF"]


@pytest.mark.parametrize(
    ("coil", "turns", "dots", "leaves_out"),
    [
        (Wound(0.0063, 0.0001, 0.0001, 6), 12, 0, False),
        (Wound(0.0063, 0.0001, 0.0001, 178), 20, 4, True),
        (Wound(0.0063, 0.0001, 0.0001, 24, layers=3), 48, 0, False),
        (Wound(0.0063, 0.0001, 0.0001, 20, layers=3, side_by_side=8), 40, 0, False),
        (Wound(0.0063, 0.0001, 0.0001, 600, layers=10), 80, 16, True),
        (Wound(0.0063, 0.0001, 0.0002, 4, pitch_m=0.001), 8, 0, False),
    ],
)
def test_the_drawing_has_each_turn_above_and_below(coil: Wound, turns: int, dots: int, leaves_out: bool) -> None:
    drawn = draw(coil)
    assert (len(drawn.turns), len(drawn.dots), drawn.leaves_out) == (turns, dots, leaves_out)
    every = drawn.turns + drawn.dots
    assert all(70 <= float(turn.x) <= 282 for turn in every)
    assert all(20 <= float(turn.y) <= 98 or 162 <= float(turn.y) <= 240 for turn in every)
