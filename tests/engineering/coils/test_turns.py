"""Turns for a wanted inductance: against every number of turns tried one by one, and what cannot be wound."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.coils import Stuff, Wound, turns_close_wound, turns_in_layers, turns_spread

STUFF = Stuff(0.025, 0.0004572, 0.0005)
FINE = Stuff(0.02, 0.0002, 0.00023)
MICRO = 1e-6


class TestCloseWound:
    @pytest.mark.parametrize("wanted_h", [0.5e-6, 10e-6, 100e-6, 1e-3])
    def test_nearest_of_all(self, wanted_h):
        """Every number of turns up to 1,500, one by one."""
        tried = {n: Wound(0.025, 0.0004572, 0.0005, n).inductance_h for n in range(1, 1500, 1)}
        best = min(tried, key=lambda n: abs(tried[n] - wanted_h))
        found = turns_close_wound(wanted_h, STUFF)
        assert found.coil.turns == best
        assert found.inductance_h == tried[best]
        assert found.off == pytest.approx(tried[best] / wanted_h - 1.0)
        assert abs(found.exact_turns - best) <= 0.51

    @given(st.integers(2, 300))
    def test_what_was_wound_is_found_again(self, turns):
        wound_h = Wound(0.025, 0.0004572, 0.0005, turns).inductance_h
        assert turns_close_wound(wound_h, STUFF).coil.turns == turns

    def test_longer_than_the_room(self):
        with pytest.raises(
            ValueError,
            match=r"100 µH takes 97 turns in one layer, 48.5 mm long, and the winding length is 40 mm, which takes 80 "
            "turns: take thinner wire, a thicker former or more layers.",
        ):
            turns_close_wound(100e-6, STUFF, room_m=0.040)
        assert turns_close_wound(100e-6, STUFF, room_m=0.0485).coil.turns == 97

    def test_longer_than_its_wire(self):
        with pytest.raises(
            ValueError,
            match=r"97 turns take 7.77 m of wire without the ends, and there are 5 m: the coil would be longer than ",
        ):
            turns_close_wound(100e-6, replace(STUFF, wire_m=5.0))

    def test_less_than_one_turn(self):
        with pytest.raises(ValueError, match="1.00 nH is less than 1 turn of this coil can have, "):
            turns_close_wound(1e-9, STUFF)

    def test_no_end_of_turns(self):
        with pytest.raises(
            ValueError, match="That takes more than 100,000 turns, and more than these are taken for a "
        ):
            turns_close_wound(1.0, STUFF)

    @pytest.mark.parametrize("wanted_h", [0.0, -1e-6, math.nan, math.inf])
    def test_nonsense(self, wanted_h):
        with pytest.raises(ValueError, match=f"A wanted inductance is above zero; {wanted_h} H was given."):
            turns_close_wound(wanted_h, STUFF)


class TestSpread:
    def test_nearest_of_all(self):
        tried = {n: Wound(0.025, 0.0004572, 0.0005, n, 1, 0.03 / n).inductance_h for n in range(2, 61)}
        found = turns_spread(30e-6, STUFF, 0.03)
        assert found.coil.turns == min(tried, key=lambda n: abs(tried[n] - 30e-6))
        assert found.coil.length_m == pytest.approx(0.03)

    def test_more_turns_than_the_length_takes(self):
        with pytest.raises(ValueError, match="100 µH cannot be wound in one layer 20 mm long: it takes 40 turns, "):
            turns_spread(100e-6, STUFF, 0.02)

    def test_the_fullest_it_takes(self):
        full_h = Wound(0.025, 0.0004572, 0.0005, 40).inductance_h
        assert turns_spread(full_h * (1 - 1e-9), STUFF, 0.02).coil.turns == 40

    def test_hardly_a_coil(self):
        with pytest.raises(ValueError, match="is less than 7 turns of this coil can have, "):
            turns_spread(1e-9, STUFF, 0.5)

    def test_shorter_than_a_turn(self):
        with pytest.raises(ValueError, match="No turn of wire 0.5 mm thick fits a winding 0.4 mm long."):
            turns_spread(1e-6, STUFF, 0.0004)

    @pytest.mark.parametrize("length_m", [0.0, -0.1, math.nan, math.inf])
    def test_nonsense(self, length_m):
        with pytest.raises(ValueError, match=f"A winding length is above zero; {length_m} m was given."):
            turns_spread(1e-6, STUFF, length_m)


class TestLayers:
    def test_nearest_of_its_neighbours(self):
        found = turns_in_layers(10e-3, FINE, 0.015)
        coil = found.coil
        assert coil.side_by_side == 65
        beside = [
            Wound(0.02, 0.0002, 0.00023, n, -(-n // 65), side_by_side=65) for n in (coil.turns - 1, coil.turns + 1)
        ]
        assert beside[0].inductance_h < 10e-3 < beside[1].inductance_h
        assert all(abs(found.inductance_h - 10e-3) <= abs(each.inductance_h - 10e-3) for each in beside)

    @settings(max_examples=30)
    @given(st.integers(2, 400))
    def test_what_was_wound_is_found_again(self, turns):
        wound_h = Wound(0.02, 0.0002, 0.00023, turns, -(-turns // 65), side_by_side=65).inductance_h
        assert turns_in_layers(wound_h, FINE, 0.015).coil.turns == turns

    def test_deeper_than_there_is_room(self):
        with pytest.raises(
            ValueError, match="10.0 mH cannot be wound here: 8 layers of 65 turns are 1.84 mm deep and have "
        ):
            turns_in_layers(10e-3, FINE, 0.015, depth_m=0.002)

    def test_no_turn_and_no_layer_fits(self):
        with pytest.raises(ValueError, match="No turn of wire 0.23 mm thick fits a winding 0.2 mm long."):
            turns_in_layers(1e-3, FINE, 0.0002)
        with pytest.raises(ValueError, match="No layer of wire 0.23 mm thick fits a winding 0.2 mm deep."):
            turns_in_layers(1e-3, FINE, 0.015, depth_m=0.0002)

    def test_impossible_wire(self):
        with pytest.raises(ValueError, match="Wire is not thinner with its covering than without; "):
            turns_in_layers(1e-3, Stuff(0.02, 0.0003, 0.0002), 0.015)
