"""A coil as it is wound, and its inductance by each formula."""

import math
from dataclasses import replace

import pytest

from restoration.engineering.coils import Wound, block_h, current_sheet_h, estimates, round_wire_h

ONE = Wound(0.025, 0.0004572, 0.0005, 100)
FOUR = Wound(0.02, 0.0003, 0.00035, 130, layers=4)


class TestLaying:
    def test_one_layer(self):
        (laid,) = ONE.laid()
        assert laid.start_m == 0.0
        assert laid.layer.diameter_m == pytest.approx(0.0255)
        assert laid.layer.length_m == pytest.approx(0.05)

    def test_layers_grow_by_the_covered_wire_and_the_last_takes_the_rest(self):
        layers = [each.layer for each in FOUR.laid()]
        assert [layer.turns for layer in layers] == [33, 33, 33, 31]
        assert [layer.diameter_m for layer in layers] == pytest.approx([0.02035, 0.02105, 0.02175, 0.02245])
        assert FOUR.depth_m == pytest.approx(0.0014)
        assert FOUR.mean_diameter_m == pytest.approx(sum(layer.diameter_m for layer in layers) / 4)

    def test_wound_back_and_forth(self):
        """An even number of layers ends where it began: the short last layer lies at the far end."""
        assert FOUR.laid()[3].start_m == pytest.approx(2 * 0.00035)
        assert replace(FOUR, turns=95, layers=3).laid()[2].start_m == 0.0

    def test_filled_one_after_another(self):
        filled = replace(FOUR, turns=100, layers=3, side_by_side=40)
        assert [each.layer.turns for each in filled.laid()] == [40, 40, 20]
        assert filled.length_m == pytest.approx(40 * 0.00035)

    def test_at_a_pitch(self):
        assert replace(ONE, pitch_m=0.001).length_m == pytest.approx(0.1)

    def test_wire(self):
        """The mean turn times the turns; the slope of the helix adds a hundred-thousandth."""
        assert ONE.wire_m == pytest.approx(100 * math.pi * 0.0255, rel=3e-5)


class TestRefusals:
    @pytest.mark.parametrize(
        ("changed", "says"),
        [
            ({"former_m": 0.0}, "A former has a diameter above zero; 0 mm was given."),
            ({"bare_m": math.nan}, "A wire has a diameter above zero; nan mm was given."),
            ({"covered_m": -1.0}, "A covered wire has a diameter above zero; -1000 mm was given."),
            ({"covered_m": 0.0004}, "Wire is not thinner with its covering than without; 0.4 mm covered and 0.4572 mm"),
            (
                {"pitch_m": 0.0004},
                "Turns lie side by side or further apart; 0.4 mm from turn to turn was given, and the",
            ),
            ({"turns": 0}, "A coil has 1 to 100,000 turns here; 0 were given."),
            ({"layers": 0}, "A coil has 1 to 100 layers here; 0 were given."),
            ({"layers": 101}, "A coil has 1 to 100 layers here; 101 were given."),
            ({"turns": 10, "layers": 7}, "10 turns, 2 to a layer, fill 5 layers; 7 were given."),
            ({"layers": 2, "side_by_side": 40}, "100 turns, 40 to a layer, fill 3 layers; 2 were given."),
            ({"side_by_side": 0}, "A layer has 1 turn or more; 0 were given."),
            ({"turns": 2, "pitch_m": 0.1}, "of wire round the former: a coil is not longer than its wire."),
        ],
    )
    def test_what_cannot_be_wound(self, changed, says):
        with pytest.raises(ValueError, match=says):
            replace(ONE, **changed)


class TestEstimates:
    def test_best_of_one_layer_is_sheet_and_round_wire(self):
        layer = ONE.laid()[0].layer
        best, sheet, *_ = estimates(ONE)
        assert best.value_h == ONE.inductance_h == current_sheet_h(layer) + round_wire_h(layer, ONE.bare_m)
        assert sheet.value_h == current_sheet_h(layer)

    def test_those_that_hold_agree(self):
        for coil in (ONE, replace(ONE, turns=40), replace(FOUR, turns=600, layers=12)):
            held = [each.value_h for each in estimates(coil) if each.holds]
            assert len(held) >= 3
            assert max(held) / min(held) < 1.02

    def test_a_short_coil_is_outside_wheeler(self):
        """30 turns 5 mm long on 100 mm: Wheeler 1928 is 19 % low, and says so."""
        short = Wound(0.0998, 0.00016, 5e-3 / 30, 30)
        assert {each.name: each.holds for each in estimates(short)} == {
            "current sheet and round wire": True,
            "current sheet": True,
            "Lundin 1985": True,
            "Wheeler 1982": True,
            "Wheeler 1928": False,
        }

    def test_few_turns_are_no_sheet(self):
        held = [each.name for each in estimates(replace(ONE, turns=3)) if each.holds]
        assert "current sheet" not in held
        assert "current sheet and round wire" in held

    def test_full_layers_are_near_the_block(self):
        coil = Wound(0.02, 0.0002, 0.00023, 1000, layers=20)
        layered = estimates(coil)[0].value_h
        assert layered == pytest.approx(block_h(coil.block), rel=5e-3)

    def test_far_from_alike_terms_wheeler_does_not_hold(self):
        long = Wound(0.006, 0.0002, 0.00023, 800, layers=4)
        assert [each.holds for each in estimates(long)] == [True, True, True, False]
