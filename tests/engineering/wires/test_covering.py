"""Coverings, and whole turns side by side."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.wires import COVERINGS, covered_m, turns_per_layer


class TestTurns:
    @pytest.mark.parametrize(
        ("length_m", "pitch_m", "turns"),
        # Arithmetic; the last ones trip a bare floor: 0.3 / 0.1 is 2.9999999999999996.
        [(0.040, 0.0005, 80), (0.040, 0.0004572, 87), (0.3, 0.1, 3), (0.040, 0.0001, 400), (0.0999, 0.1, 0)],
    )
    def test_whole_turns(self, length_m, pitch_m, turns):
        assert turns_per_layer(length_m, pitch_m) == turns

    @given(st.integers(1, 5000), st.floats(5e-5, 5e-3))
    def test_dust_loses_no_turn(self, turns, pitch_m):
        assert turns_per_layer(turns * pitch_m, pitch_m) == turns
        assert turns_per_layer((turns - 0.001) * pitch_m, pitch_m) == turns - 1

    @pytest.mark.parametrize("nonsense", [0.0, -0.01, math.nan, math.inf])
    def test_nonsense(self, nonsense):
        with pytest.raises(ValueError, match=f"A winding length is above zero; {nonsense} m was given."):
            turns_per_layer(nonsense, 0.001)
        with pytest.raises(ValueError, match=f"A pitch from turn to turn is above zero; {nonsense} m was given."):
            turns_per_layer(0.04, nonsense)


class TestCovering:
    @pytest.mark.parametrize(
        ("bare_mm", "grade", "overall_mm"),
        # IEC 60317-0-1, largest overall diameters, from memory; a tenth of the increase is allowed.
        [(0.1, 1, 0.117), (0.2, 1, 0.226), (0.5, 1, 0.544), (1.0, 1, 1.062), (0.2, 2, 0.239), (1.0, 2, 1.094)],
    )
    def test_enamel(self, bare_mm, grade, overall_mm):
        found = covered_m(bare_mm * 1e-3, f"enamel {grade}") * 1e3
        assert found == pytest.approx(overall_mm, abs=0.1 * (overall_mm - bare_mm))

    @given(st.sampled_from(sorted(COVERINGS)), st.floats(5e-5, 2e-3))
    def test_never_thinner_than_bare(self, covering, bare_m):
        assert covered_m(bare_m, covering) >= bare_m

    def test_unknown(self):
        with pytest.raises(ValueError, match="“wool” is no covering known here; known are bare, enamel 1, "):
            covered_m(1e-3, "wool")

    @pytest.mark.parametrize("bare_m", [0.0, math.nan])
    def test_no_wire(self, bare_m):
        with pytest.raises(ValueError, match="A wire has a diameter above zero; "):
            covered_m(bare_m, "bare")
