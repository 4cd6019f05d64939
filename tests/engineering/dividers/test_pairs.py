"""The best pairs against every pair tried one by one, and against a search with the package eseries."""

import math

import eseries
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.dividers import Divider, best_pairs, solve
from restoration.engineering.preferred_values import values_between
from tests.engineering.drawn import up_to


def one_by_one(wanted_v, source_v, source_ohm, load_ohm, values, quantities, most_source_a=math.inf):
    """Misses of every pair that the stores allow, least first."""
    held = dict.fromkeys(values, 0)
    for value, quantity in zip(values, quantities, strict=True):
        held[value] += quantity
    misses = []
    for series_ohm in held:
        for shunt_ohm in held:
            enough = held[series_ohm] >= 2 if series_ohm == shunt_ohm else held[series_ohm] and held[shunt_ohm]
            figures = solve(Divider(source_v, source_ohm, series_ohm, shunt_ohm, load_ohm))
            if enough and abs(figures.source_a) <= most_source_a:
                misses.append(abs(figures.load_v / wanted_v - 1))
    return sorted(misses)


class TestPublishedSearch:
    """Brute force with eseries 1.2.1 over 1 k to 100 k."""

    def test_the_values_are_those_of_eseries(self):
        assert values_between("E24", 1e3, 1e5) == pytest.approx(list(eseries.erange(eseries.E24, 1e3, 1e5)))

    @pytest.mark.parametrize("name", ["E12", "E24"])
    def test_ten_volts_to_three_point_three(self, name):
        best, same, next_best = best_pairs(3.3, 10.0, 0.0, math.inf, values_between(name, 1e3, 100e3), 3)
        assert (best.series_ohm, best.shunt_ohm) == (6.8e3, 3.3e3)
        assert (same.series_ohm, same.shunt_ohm) == (68e3, 33e3)
        assert best.load_v == pytest.approx(3.2673267, rel=1e-7)
        assert best.error == pytest.approx(-0.00990099, rel=1e-6)
        assert next_best.error != pytest.approx(best.error, rel=1e-6)

    def test_the_runner_up_of_e24_is_two_to_one(self):
        runner_up = best_pairs(3.3, 10.0, 0.0, math.inf, values_between("E24", 1e3, 100e3), 3)[2]
        assert (runner_up.series_ohm, runner_up.shunt_ohm) == (2e3, 1e3)
        assert runner_up.error == pytest.approx(0.01010101, rel=1e-6)

    def test_with_a_source_and_a_load(self):
        best, second = best_pairs(10.0, 30.0, 1e3, 47e3, values_between("E24", 1e3, 100e3), 2)
        assert (best.series_ohm, best.shunt_ohm) == (8.2e3, 5.1e3)
        assert best.load_v == pytest.approx(10.0011126, rel=1e-8)
        assert (second.series_ohm, second.shunt_ohm) == (6.2e3, 3.9e3)
        assert second.load_v == pytest.approx(10.0021827, rel=1e-8)

    def test_the_same_with_e12(self):
        (best,) = best_pairs(10.0, 30.0, 1e3, 47e3, values_between("E12", 1e3, 100e3), 1)
        assert (best.series_ohm, best.shunt_ohm) == (18e3, 12e3)
        assert best.load_v == pytest.approx(10.0415430, rel=1e-8)


STOCK = st.lists(
    st.tuples(st.sampled_from(values_between("E12", 100, 1e5)), st.integers(0, 3)), min_size=1, max_size=12
)


@given(STOCK, st.floats(0.05, 0.95), up_to(5e3), st.floats(1e3, 1e6), st.integers(1, 9))
def test_from_the_stores_they_equal_every_pair_tried(stock, part, source_ohm, load_ohm, count):
    values, quantities = [value for value, _ in stock], [quantity for _, quantity in stock]
    if not any(quantities):
        return
    found = best_pairs(30.0 * part, 30.0, source_ohm, load_ohm, values, count, quantities=quantities)
    tried = one_by_one(30.0 * part, 30.0, source_ohm, load_ohm, values, quantities)
    assert [abs(pair.error) for pair in found] == pytest.approx(tried[:count], abs=3e-9)


def test_a_single_one_is_not_used_twice():
    (pair,) = best_pairs(5.0, 10.0, 0.0, math.inf, [1e3, 1.2e3], 1, quantities=[1, 1])
    assert {pair.series_ohm, pair.shunt_ohm} == {1e3, 1.2e3}
    (pair,) = best_pairs(5.0, 10.0, 0.0, math.inf, [1e3, 1.2e3], 1, quantities=[2, 1])
    assert (pair.series_ohm, pair.shunt_ohm, pair.error) == (1e3, 1e3, 0.0)
    assert best_pairs(5.0, 10.0, 0.0, math.inf, [1e3], 4, quantities=[1]) == ()


def test_two_drawers_of_one_value_count_together():
    (pair,) = best_pairs(5.0, 10.0, 0.0, math.inf, [1e3, 1e3], 1, quantities=[1, 1])
    assert pair.series_ohm == pair.shunt_ohm == 1e3


def test_pairs_that_draw_too_much_are_left_out():
    values = values_between("E24", 100, 100e3)
    every = one_by_one(10.0, 30.0, 1e3, 47e3, values, [2] * len(values), most_source_a=1e-3)
    found = best_pairs(10.0, 30.0, 1e3, 47e3, values, 20, most_source_a=1e-3)
    assert [abs(pair.error) for pair in found] == pytest.approx(every[:20], abs=3e-9)
    for pair in found:
        assert solve(Divider(30.0, 1e3, pair.series_ohm, pair.shunt_ohm, 47e3)).source_a <= 1e-3


def test_a_negative_pulse():
    (pair,) = best_pairs(-10.0, -30.0, 1e3, 47e3, values_between("E24", 1e3, 100e3), 1)
    assert (pair.series_ohm, pair.shunt_ohm) == (8.2e3, 5.1e3)
    assert pair.load_v == pytest.approx(-10.0011126, rel=1e-8)


class TestRefusals:
    @pytest.mark.parametrize(
        ("changed", "sentence"),
        [
            (
                {"wanted_v": 30.0},
                "A divider can only make less of 30 V, and of the same sign; 30 V was asked for.",
            ),
            (
                {"wanted_v": -5.0},
                "A divider can only make less of 30 V, and of the same sign; -5 V was asked for.",
            ),
            ({"wanted_v": 0.0}, "A divider can only make less of 30 V, and of the same sign; 0 V was asked for."),
            ({"wanted_v": math.nan}, "wanted_v must be a finite number; nan was given."),
            ({"source_v": math.nan}, "source_v must be a finite number; nan was given."),
            ({"source_ohm": -1.0}, "source_ohm must be zero or more and finite; -1.0 was given."),
            ({"load_ohm": 0.0}, "load_ohm must be more than zero; 0.0 was given."),
            ({"values": []}, "Give 1 to 2000 values; 0 were given."),
            ({"values": [1.0] * 2001}, "Give 1 to 2000 values; 2001 were given."),
            ({"values": [1e3, -1.0]}, "A resistance to choose from has to be positive; -1.0 was given."),
            ({"values": [1e3, math.inf]}, "A resistance to choose from has to be positive; inf was given."),
            ({"count": 0}, "At least one pair has to be asked for; 0 was given."),
            ({"quantities": [1]}, "2 values were given and 1 quantities; give one for each."),
            ({"quantities": [1, -1]}, "A quantity in the stores is zero or more; -1 was given."),
            ({"quantities": [0, 0]}, "The stores hold none of these values; give one with a quantity above zero."),
            ({"most_source_a": 0.0}, "most_source_a must be more than zero; 0.0 was given."),
        ],
    )
    def test_nonsense(self, changed, sentence):
        asked = {
            "wanted_v": 10.0, "source_v": 30.0, "source_ohm": 1e3, "load_ohm": 47e3, "values": [1e3, 2e3], "count": 1,
        }  # fmt: skip
        with pytest.raises(ValueError) as refused:
            best_pairs(**(asked | changed))
        assert str(refused.value) == sentence
