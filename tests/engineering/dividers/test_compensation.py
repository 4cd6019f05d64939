"""What keeps a divided pulse flat, and what is seen where the capacitances do not match."""

import math

import mpmath as mp
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.dividers import compensation, uncompensated

OHMS = st.floats(100, 1e6)
FARADS = st.floats(1e-12, 1e-8)
SOURCES = st.one_of(st.just(0.0), st.floats(10, 1e5))


def test_the_usual_probe_head():
    """9 MΩ over 1 MΩ beside 90 pF: 10 pF, by R1 C1 = R2 C2."""
    assert compensation(9e6, 1e6, 90e-12) == pytest.approx(10e-12)
    assert compensation(9e6, 1e6, 0.0) == 0.0


@given(OHMS, OHMS, FARADS, SOURCES)
def test_alike_is_flat(series_ohm, shunt_ohm, shunt_f, source_ohm):
    series_f = compensation(series_ohm, shunt_ohm, shunt_f)
    found = uncompensated(series_ohm, series_f, shunt_ohm, shunt_f, source_ohm=source_ohm)
    assert found.overshoot == pytest.approx(0.0, abs=1e-9)
    assert found.rounding == pytest.approx(0.0, abs=1e-9)
    assert found.words == "The top is flat: R1·C1 and R2·C2 are alike."


class TestStiffSource:
    """Closed forms of a stiff source."""

    @given(OHMS, FARADS, OHMS, FARADS)
    def test_first_the_capacitances_divide_and_then_the_resistances(self, series_ohm, series_f, shunt_ohm, shunt_f):
        found = uncompensated(series_ohm, series_f, shunt_ohm, shunt_f)
        initial, final = series_f / (series_f + shunt_f), shunt_ohm / (series_ohm + shunt_ohm)
        both_ohm = series_ohm * shunt_ohm / (series_ohm + shunt_ohm)
        assert found.initial_ratio == pytest.approx(initial, rel=1e-6)
        assert found.final_ratio == pytest.approx(final)
        assert found.time_constant_s == pytest.approx(both_ohm * (series_f + shunt_f))
        assert found.edge_time_constant_s == 0.0
        assert found.overshoot == pytest.approx(max(initial / final - 1, 0), rel=1e-6, abs=1e-9)
        assert found.rounding == pytest.approx(max(1 - initial / final, 0), rel=1e-6, abs=1e-9)

    def test_twice_the_capacitance(self):
        found = uncompensated(10e3, 20e-12, 10e3, 10e-12)
        assert found.overshoot == pytest.approx(1 / 3)
        assert found.words == "The edge overshoots by 33.3 % and sinks to the top: C1 is too large for R1."

    def test_half_the_capacitance(self):
        found = uncompensated(10e3, 5e-12, 10e3, 10e-12)
        assert found.rounding == pytest.approx(1 / 3)
        assert found.words == "The last 33.3 % of the edge come slowly: C1 is too small for R1."

    def test_none_at_all_is_an_rc(self):
        found = uncompensated(10e3, 0.0, 10e3, 10e-12)
        assert found.initial_ratio == pytest.approx(0.0, abs=1e-12)
        times_s = np.array([0.0, 50e-9])
        assert found.at(times_s) == pytest.approx([0.0, 0.5 * (1 - math.exp(-1))], abs=1e-12)


class TestBehindAResistance:
    @given(OHMS, FARADS, OHMS, FARADS, st.floats(10, 1e5))
    def test_it_starts_at_nothing_and_ends_where_the_resistances_say(
        self, series_ohm, series_f, shunt_ohm, shunt_f, source_ohm
    ):
        found = uncompensated(series_ohm, series_f, shunt_ohm, shunt_f, source_ohm=source_ohm)
        whole = source_ohm + series_ohm + shunt_ohm
        start, end = found.at(np.array([0.0, 60 * found.time_constant_s]))
        assert start == pytest.approx(0.0, abs=1e-6 * found.final_ratio)
        assert end == pytest.approx(shunt_ohm / whole)
        assert found.edge_time_constant_s <= found.time_constant_s

    @given(OHMS, FARADS, OHMS, FARADS, st.floats(10, 1e5))
    def test_the_overshoot_is_the_highest_point(self, series_ohm, series_f, shunt_ohm, shunt_f, source_ohm):
        found = uncompensated(series_ohm, series_f, shunt_ohm, shunt_f, source_ohm=source_ohm)
        times_s = np.geomspace(found.edge_time_constant_s / 100, 30 * found.time_constant_s, 3000)
        highest = found.at(times_s).max() / found.final_ratio - 1
        assert highest <= found.overshoot + 1e-6
        assert found.overshoot == pytest.approx(max(highest, 0.0), rel=2e-3, abs=1e-6)

    @pytest.mark.parametrize("both_ohm", [1e-12, 1e-9, 1e-6, 1e-3])
    def test_poles_that_lie_next_to_each_other(self, both_ohm):
        """Alike halves far below the source: as a difference, the distance of the poles is nothing."""
        found = uncompensated(both_ohm, 1e-12, both_ohm, 1e-12, source_ohm=1e3)
        assert found.overshoot == pytest.approx(0.0, abs=1e-9)
        assert found.rounding == pytest.approx(0.0, abs=1e-9)
        assert found.time_constant_s == pytest.approx(both_ohm * 1e-12)

    @given(st.floats(1e-3, 1.0), FARADS, st.floats(1e-3, 1.0), FARADS)
    def test_close_poles_against_longer_arithmetic(self, series_ohm, series_f, shunt_ohm, shunt_f):
        """mpmath with 80 figures, taking the poles apart by the textbook's partial fractions."""
        found = uncompensated(series_ohm, series_f, shunt_ohm, shunt_f, source_ohm=1e3)
        mp.mp.dps = 80
        source, series, shunt = mp.mpf(1e3), mp.mpf(series_ohm), mp.mpf(shunt_ohm)
        upper, lower = series * mp.mpf(series_f), shunt * mp.mpf(shunt_f)
        square = source * upper * lower
        first = source * (upper + lower) + series * lower + shunt * upper
        slow, quick = sorted(mp.polyroots([square, first, source + series + shunt], maxsteps=500, extraprec=500))[::-1]
        parts = [shunt * (1 + pole * upper) / (pole * (2 * square * pole + first)) for pole in (slow, quick)]
        final = shunt / (source + series + shunt)
        assert found.time_constant_s == pytest.approx(float(-1 / slow), rel=1e-12)
        assert found.slow_part == pytest.approx(float(parts[0]), rel=1e-6, abs=1e-9 * float(final))
        assert found.quick_part == pytest.approx(float(parts[1]), rel=1e-6, abs=1e-9 * float(final))

    def test_a_softer_source_overshoots_less(self):
        stiff, soft, softer = (
            uncompensated(10e3, 40e-12, 10e3, 10e-12, source_ohm=ohm).overshoot for ohm in (0.0, 300.0, 3e3)
        )
        assert stiff > soft > softer > 0.0

    def test_a_nearly_stiff_source_is_all_but_stiff(self):
        stiff = uncompensated(10e3, 40e-12, 10e3, 10e-12)
        nearly = uncompensated(10e3, 40e-12, 10e3, 10e-12, source_ohm=1e-3)
        assert nearly.overshoot == pytest.approx(stiff.overshoot, rel=1e-4)
        assert nearly.time_constant_s == pytest.approx(stiff.time_constant_s, rel=1e-6)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (lambda: compensation(0.0, 1.0, 1e-12), "series_ohm must be more than zero; 0.0 was given."),
        (lambda: compensation(1.0, math.inf, 1e-12), "shunt_ohm must be a finite number; inf was given."),
        (lambda: compensation(1.0, 1.0, -1e-12), "shunt_f must be zero or more and finite; -1e-12 was given."),
        (lambda: compensation(math.nan, 1.0, 1e-12), "series_ohm must be a finite number; nan was given."),
        (lambda: uncompensated(1.0, 0.0, 1.0, 0.0), "Both capacitances are zero; give at least one of them."),
        (lambda: uncompensated(1.0, 1e-12, -1.0, 0.0), "shunt_ohm must be more than zero; -1.0 was given."),
        (lambda: uncompensated(1.0, math.inf, 1.0, 0.0), "series_f must be zero or more and finite; inf was given."),
        (
            lambda: uncompensated(1.0, 1e-12, 1.0, 0.0, source_ohm=math.nan),
            "source_ohm must be zero or more and finite; nan was given.",
        ),
    ],
)
def test_nonsense(asked, sentence):
    with pytest.raises(ValueError) as refused:
        asked()
    assert str(refused.value) == sentence
