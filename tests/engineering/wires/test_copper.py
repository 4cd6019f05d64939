"""Copper by IEC 60028, and the skin effect against its limits and mpmath."""

import math

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.wires import (
    awg_m,
    copper_factor,
    ohm_per_metre,
    skin_depth_m,
    skin_factor,
    swg_m,
)


class TestResistance:
    @pytest.mark.parametrize(
        ("gauge", "ohm_per_km"),
        # Arithmetic with 1/58 ohm mm²/m (IEC 60028) on the formula of ASTM B258.
        [(-3, 0.1608), (0, 0.3224), (10, 3.2771), (18, 20.9482), (22, 52.9634), (26, 133.9072), (30, 338.5574)],
    )
    def test_american_gauges(self, gauge, ohm_per_km):
        assert ohm_per_metre(awg_m(gauge)) * 1e3 == pytest.approx(ohm_per_km, abs=6e-5)

    @pytest.mark.parametrize(
        ("gauge", "ohm"),
        [
            (16, 0.008307),
            (20, 0.026255),
            (24, 0.070302),
            (28, 0.155343),
            (32, 0.291721),
            (36, 0.589098),
            (40, 1.476836),
        ],
    )
    def test_british_gauges(self, gauge, ohm):
        """The same arithmetic on the table."""
        assert ohm_per_metre(swg_m(gauge)) == pytest.approx(ohm, abs=6e-7)

    def test_temperature(self):
        """0.00393 a kelvin: Industrial Power Engineering Handbook p. 970."""
        assert copper_factor(50.0) == pytest.approx(1.1179, rel=1e-9)
        assert copper_factor(75.0) == pytest.approx(1.21615, rel=1e-9)
        assert ohm_per_metre(1e-3, 50.0) / ohm_per_metre(1e-3) == pytest.approx(1.1179, rel=1e-9)

    @pytest.mark.parametrize("temperature_c", [-51.0, 201.0, math.nan])
    def test_no_copper_there(self, temperature_c):
        with pytest.raises(ValueError, match="Copper is reckoned from -50 to 200 °C; "):
            ohm_per_metre(1e-3, temperature_c)

    @pytest.mark.parametrize("bare_m", [0.0, -1e-3])
    def test_no_wire(self, bare_m):
        with pytest.raises(ValueError, match="A wire has a diameter above zero; "):
            ohm_per_metre(bare_m)

    def test_no_number(self):
        with pytest.raises(ValueError, match="bare_m must be a finite number; nan was given."):
            skin_factor(math.nan, 1e6)


class TestSkin:
    def test_depth_at_a_megahertz(self):
        """66 µm: the figure every handbook gives."""
        assert skin_depth_m(1e6) == pytest.approx(66e-6, rel=3e-3)

    @pytest.mark.parametrize("frequency_hz", [50.0, 1e4, 1e6, 3e7])
    def test_against_bessel_functions_of_the_first_kind(self, frequency_hz):
        """mpmath, J0 and J1 of (1 - j) a / delta: the other way to write the same solution."""
        bare_m = 0.5e-3
        x = mpmath.mpc(1, -1) * bare_m / 2 / skin_depth_m(frequency_hz)
        wanted = float((x * mpmath.besselj(0, x) / (2 * mpmath.besselj(1, x))).real)
        assert skin_factor(bare_m, frequency_hz) == pytest.approx(wanted, rel=1e-10)

    def test_thin_wire_has_none(self):
        """Series: 1 + (a/delta)**4 / 48."""
        bare_m, frequency_hz = 0.1e-3, 20e3
        part = bare_m / 2 / skin_depth_m(frequency_hz)
        assert skin_factor(bare_m, frequency_hz) - 1 == pytest.approx(part**4 / 48, rel=1e-2)

    def test_thick_wire_is_a_tube(self):
        """Far above: a / (2 delta) + 1/4."""
        part = 5e-3 / skin_depth_m(1e7)
        assert skin_factor(10e-3, 1e7) == pytest.approx(part / 2 + 0.25, rel=2e-3)

    @given(st.floats(1.0, 1e9))
    def test_never_less_than_steady(self, frequency_hz):
        assert 1.0 - 1e-12 <= skin_factor(1e-3, frequency_hz) <= skin_factor(1e-3, 2 * frequency_hz) + 1e-12

    def test_no_frequency(self):
        with pytest.raises(ValueError, match="A frequency is above zero and finite; -1.0 Hz was given."):
            skin_factor(1e-3, -1.0)
