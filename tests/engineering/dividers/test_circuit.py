"""A divider at rest: worked figures, laws, and what two equal resistors really make of a pulse."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.dividers import Divider, halving, parallel, solve
from tests.engineering.drawn import either_way, up_to

OHMS = st.floats(1.0, 1e7)
LOADS = st.one_of(OHMS, st.just(math.inf))
DIVIDERS = st.builds(Divider, either_way(500), up_to(1e5), up_to(1e6), OHMS, LOADS)


class TestWorkedCase:
    """30 V behind 1 k, 10 k, 6.8 k, a load of 47 k: volts, current and P(R1) by ngspice 39, the rest closed forms."""

    found = solve(Divider(30.0, 1e3, 10e3, 6.8e3, 47e3))

    def test_volts_and_current(self):
        assert self.found.load_v == pytest.approx(10.5200790, rel=1e-8)
        assert self.found.source_a == pytest.approx(1.77090191e-3, rel=1e-8)
        assert self.found.series_v == pytest.approx(17.7090191, rel=1e-8)

    def test_heat(self):
        assert self.found.series_w == pytest.approx(31.36093572e-3, rel=1e-8)
        assert self.found.shunt_w == pytest.approx(16.2753033e-3, rel=1e-7)
        assert self.found.load_w == pytest.approx(2.3547247e-3, rel=1e-7)
        assert self.found.source_w == pytest.approx(3.1360936e-3, rel=1e-7)
        assert self.found.source_a * 30.0 == pytest.approx(53.1270573e-3, rel=1e-8)

    def test_thevenin_without_the_load(self):
        assert self.found.thevenin_v == pytest.approx(11.4606742, rel=1e-8)
        assert self.found.thevenin_ohm == pytest.approx(4202.24719, rel=1e-8)

    def test_heat_at_a_duty(self):
        a_tenth = solve(Divider(30.0, 1e3, 10e3, 6.8e3, 47e3), duty=0.1)
        assert a_tenth.series_w == pytest.approx(3.136093572e-3, rel=1e-8)
        assert a_tenth.shunt_w == pytest.approx(1.62753033e-3, rel=1e-7)
        assert a_tenth.load_v == self.found.load_v


class TestEnds:
    def test_no_shunt_and_no_load_takes_nothing(self):
        found = solve(Divider(30.0, 1e3, 10e3, math.inf))
        assert (found.load_v, found.source_a, found.series_w) == (30.0, 0.0, 0.0)
        assert found.thevenin_ohm == 11e3

    def test_no_resistance_above(self):
        found = solve(Divider(30.0, 0.0, 0.0, 1e3, 1e3))
        assert found.load_v == found.thevenin_v == 30.0
        assert found.source_a == pytest.approx(0.06)
        assert found.thevenin_ohm == 0.0

    def test_ten_volts_to_three_point_three(self):
        """A search of E12 by the package eseries: 6.8 k and 3.3 k give 3.2673267 V."""
        assert solve(Divider(10.0, 0.0, 6.8e3, 3.3e3)).load_v == pytest.approx(3.2673267, rel=1e-7)


class TestLaws:
    @given(DIVIDERS)
    def test_the_heat_is_what_the_source_gives(self, divider):
        found = solve(divider)
        heat = found.series_w + found.shunt_w + found.load_w + found.source_w
        assert heat == pytest.approx(divider.source_v * found.source_a, rel=1e-6, abs=1e-18)

    @given(DIVIDERS)
    def test_thevenin_with_the_load_gives_the_same_volts(self, divider):
        found = solve(divider)
        if math.isinf(divider.load_ohm):
            assert found.load_v == pytest.approx(found.thevenin_v, rel=1e-12)
            return
        with_load = found.thevenin_v * divider.load_ohm / (found.thevenin_ohm + divider.load_ohm)
        assert found.load_v == pytest.approx(with_load, rel=1e-9)

    @given(DIVIDERS)
    def test_it_never_makes_more(self, divider):
        assert abs(solve(divider).load_v) <= abs(divider.source_v)

    @given(st.lists(OHMS, min_size=1, max_size=5))
    def test_side_by_side_is_less_than_the_least(self, ohms):
        assert parallel(*ohms) <= min(ohms) * (1 + 1e-12)
        assert parallel(*ohms, math.inf) == parallel(*ohms)


def plain(words):
    return words.replace("\xa0", " ")


class TestHalving:
    """Two equal resistors to earth halve a pulse from a stiff source: common practice, no source."""

    @given(OHMS)
    def test_from_a_stiff_source_into_a_light_load_it_is_half(self, ohm):
        found = halving(ohm)
        assert found.ratio == found.ratio_to_before == 0.5
        assert found.miss == 0.0
        assert found.halves
        assert found.words.endswith("halve the pulse.")

    def test_a_soft_source(self):
        """Closed form: 10 / (1 + 10 + 10)."""
        found = halving(10e3, source_ohm=1e3)
        assert found.ratio == pytest.approx(10 / 21)
        assert found.miss == found.source_part == pytest.approx(-1 / 21)
        assert found.load_part == 0.0
        assert not found.halves
        assert plain(found.words) == (
            "Two equal resistors of 10.0 kΩ leave 0.476 of the open pulse, 4.8 % less than half of it: the source is "
            "not stiff, its own 1.00 kΩ takes 4.8 %."
        )

    def test_a_heavy_load(self):
        """Closed form: 10 k beside 10 k is 5 k, and 5 / 15 a third."""
        found = halving(10e3, load_ohm=10e3)
        assert found.ratio == pytest.approx(1 / 3)
        assert found.source_part == 0.0
        assert plain(found.words) == (
            "Two equal resistors of 10.0 kΩ leave 0.333 of the open pulse, 33.3 % less than half of it: the load is "
            "not light, its 10.0 kΩ takes 33.3 %."
        )

    def test_both_and_against_what_stood_there_before(self):
        found = halving(10e3, source_ohm=1e3, load_ohm=47e3)
        lower = parallel(10e3, 47e3)
        assert found.ratio == pytest.approx(lower / (11e3 + lower))
        assert found.ratio_to_before == pytest.approx(found.ratio * 48 / 47)
        assert found.source_part + found.load_part == pytest.approx(found.miss)
        assert plain(found.words) == (
            "Two equal resistors of 10.0 kΩ leave 0.428 of the open pulse, 14.3 % less than half of it: the source is "
            "not stiff, its own 1.00 kΩ takes 4.8 %; the load is not light, its 47.0 kΩ takes 9.5 %."
        )

    def test_near_enough(self):
        found = halving(10e3, source_ohm=100.0, load_ohm=1e6)
        assert found.halves
        assert plain(found.words) == (
            "Two equal resistors of 10.0 kΩ leave 0.495 of the open pulse, 1.0 % less than half of it, near enough to "
            "half: the source is not stiff, its own 100 Ω takes 0.5 %; the load is not light, its 1.00 MΩ takes 0.5 %."
        )
        assert not halving(10e3, source_ohm=100.0, load_ohm=1e6, within=0.005).halves

    @given(OHMS, up_to(1e6), LOADS)
    def test_a_source_or_a_load_only_ever_takes(self, ohm, source_ohm, load_ohm):
        found = halving(ohm, source_ohm, load_ohm)
        assert found.ratio <= 0.5
        assert found.source_part <= 0.0
        assert found.load_part <= 1e-12
        assert found.ratio == pytest.approx(0.5 * (1 + found.miss))
        assert found.ratio == solve(Divider(1.0, source_ohm, ohm, ohm, load_ohm)).load_v


class TestRefusals:
    @pytest.mark.parametrize(
        ("given", "sentence"),
        [
            ((math.nan, 0, 1, 1), "source_v must be a finite number; nan was given."),
            ((math.inf, 0, 1, 1), "source_v must be a finite number; inf was given."),
            ((1, -5, 1, 1), "source_ohm must be zero or more and finite; -5 was given."),
            ((1, math.nan, 1, 1), "source_ohm must be zero or more and finite; nan was given."),
            ((1, 0, math.inf, 1), "series_ohm must be zero or more and finite; inf was given."),
            ((1, 0, -1, 1), "series_ohm must be zero or more and finite; -1 was given."),
            ((1, 0, 1, 0), "shunt_ohm must be more than zero; 0 was given."),
            ((1, 0, 1, math.nan), "shunt_ohm must be more than zero; nan was given."),
            ((1, 0, 1, 1, -2), "load_ohm must be more than zero; -2 was given."),
        ],
    )
    def test_a_divider_of_nonsense(self, given, sentence):
        with pytest.raises(ValueError) as refused:
            Divider(*given)
        assert str(refused.value) == sentence

    @pytest.mark.parametrize(
        ("asked", "sentence"),
        [
            (lambda: parallel(), "No resistance was given; give one or more."),
            (lambda: parallel(1.0, 0.0), "resistance_ohm must be more than zero; 0.0 was given."),
            (lambda: halving(0.0), "each_ohm must be more than zero; 0.0 was given."),
            (lambda: halving(math.inf), "each_ohm must be a finite number; inf was given."),
            (lambda: halving(1.0, -1.0), "source_ohm must be zero or more and finite; -1.0 was given."),
            (lambda: halving(1.0, within=0.0), "What passes for a half is a part between 0 and 1; 0.0 was given."),
            (
                lambda: solve(Divider(1, 1, 1, 1), duty=1.5),
                "A duty is a part of the time from 0 to 1; 1.5 was given.",
            ),
        ],
    )
    def test_other_nonsense(self, asked, sentence):
        with pytest.raises(ValueError) as refused:
            asked()
        assert str(refused.value) == sentence
