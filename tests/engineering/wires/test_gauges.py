"""Gauges against published tables, and names as people write them."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.wires import SWG_IN, awg_m, awg_of, swg_m, wire_named

INCH = 0.0254


class TestAmericanGauge:
    @pytest.mark.parametrize(
        ("gauge", "inches"),
        # simetric.co.uk, siwire.htm, to the digits that it prints.
        [(-3, 0.46), (10, 0.1019), (18, 0.0403), (22, 0.0253), (26, 0.0159), (30, 0.0100), (36, 0.0050), (40, 0.0031)],
    )
    def test_published_diameters(self, gauge, inches):
        assert awg_m(gauge) / INCH == pytest.approx(inches, abs=5.1e-5)

    def test_the_two_gauges_that_define_it_are_exact(self):
        """ASTM B258: 36 is 0.005 in and 4/0 is 0.46 in."""
        assert awg_m(36) == pytest.approx(0.005 * INCH, rel=1e-14)
        assert awg_m(-3) == pytest.approx(0.46 * INCH, rel=1e-14)

    def test_steps(self):
        """Closed form: a step is 92 ** (1/39), six halve the diameter nearly, ten change the area 10.164 times."""
        assert awg_m(10) / awg_m(11) == pytest.approx(1.1229321965, rel=1e-9)
        assert awg_m(10) / awg_m(16) == pytest.approx(2.0050, abs=5e-5)
        assert (awg_m(10) / awg_m(20)) ** 2 == pytest.approx(10.164, abs=5e-4)

    @given(st.integers(-3, 60))
    def test_the_way_back(self, gauge):
        assert awg_of(awg_m(gauge)) == pytest.approx(gauge, abs=1e-9)

    @pytest.mark.parametrize("gauge", [-4, 61])
    def test_others_are_refused(self, gauge):
        with pytest.raises(ValueError, match=f"There is no AWG {gauge} here; the gauges go from 4/0 "):
            awg_m(gauge)

    @pytest.mark.parametrize("bare_m", [0.0, -1e-3, math.nan, math.inf])
    def test_no_gauge_of_no_wire(self, bare_m):
        with pytest.raises(ValueError, match="A wire has a diameter above zero; "):
            awg_of(bare_m)


class TestBritishGauge:
    @pytest.mark.parametrize(
        ("gauge", "inches"),
        # engineeringtoolbox.com d_1779 and simetric.co.uk agree on these.
        [
            ("7/0", 0.5), ("1", 0.3), ("10", 0.128), ("14", 0.08), ("16", 0.064), ("18", 0.048), ("20", 0.036),
            ("22", 0.028), ("24", 0.022), ("26", 0.018), ("27", 0.0164), ("28", 0.0148), ("30", 0.0124),
            ("32", 0.0108), ("34", 0.0092), ("36", 0.0076), ("38", 0.006), ("40", 0.0048), ("42", 0.004),
            ("44", 0.0032), ("46", 0.0024), ("48", 0.0016), ("50", 0.001),
        ],
    )  # fmt: skip
    def test_published_diameters(self, gauge, inches):
        assert swg_m(gauge) == pytest.approx(inches * INCH, rel=1e-12)

    def test_one_nought_by_its_inches(self):
        """A published table prints 8.236 mm for 1/0; 0.324 in is 8.2296 mm (sdiy.info prints 8.230)."""
        assert swg_m("1/0") == swg_m("0") == pytest.approx(8.2296e-3, rel=1e-12)

    def test_the_whole_table_falls(self):
        """57 gauges, each thinner than the one before, and none by more than a quarter."""
        inches = list(SWG_IN.values())
        assert len(inches) == 57
        assert all(0.749 * one < other < one for one, other in pairwise(inches))

    @pytest.mark.parametrize("gauge", ["51", "8/0", "x", "-1", ""])
    def test_others_are_refused(self, gauge):
        with pytest.raises(ValueError, match=f"There is no SWG {gauge} in the table; it goes from 7/0 to 50."):
            swg_m(gauge)


class TestNames:
    @pytest.mark.parametrize(
        ("text", "name", "bare_mm"),
        [
            ("26 SWG", "26 SWG", 0.4572),
            ("swg26", "26 SWG", 0.4572),
            ("SWG 00", "2/0 SWG", 0.348 * 25.4),
            ("AWG 30", "AWG 30", 0.010025 * 25.4),
            ("30awg", "AWG 30", 0.010025 * 25.4),
            ("AWG 0", "AWG 1/0", 0.324861 * 25.4),
            ("4/0 AWG", "AWG 4/0", 11.684),
            ("0.2 mm", "0.2 mm", 0.2),
            ("0,2", "0.2 mm", 0.2),
            ("200 µm", "0.2 mm", 0.2),
        ],
    )
    def test_as_people_write_them(self, text, name, bare_mm):
        found = wire_named(text)
        assert found.name == name
        assert found.bare_m * 1e3 == pytest.approx(bare_mm, rel=3e-5)

    @pytest.mark.parametrize(
        ("text", "says"),
        [
            ("AWG 99", "There is no AWG 99 here"),
            ("AWG 5/0", "There is no AWG -4 here"),
            ("AWG 3/4", "There is no AWG 3/4 here"),
            ("SWG 99", "There is no SWG 99 in the table"),
            ("0 mm", "A wire has a diameter above zero; 0 mm was given."),
            ("-0.2 mm", "A wire has a diameter above zero; -0.2 mm was given."),
            ("nan", "“nan” was given, and this is a diameter of wire"),
            ("", "“” was given, and this is a diameter of wire"),
            ("2 m", "“2 m” is far beyond anything measured here; check its unit."),
        ],
    )
    def test_what_is_no_wire(self, text, says):
        with pytest.raises(ValueError, match=says):
            wire_named(text)
