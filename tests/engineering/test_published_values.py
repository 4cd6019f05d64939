"""Check values from outside that no other test holds: each with where it comes from."""

import math

import numpy as np
import pytest

from restoration.engineering.coils import (
    DampedInductor,
    Layer,
    current_part,
    current_sheet_h,
    overshoot_of,
    settling_s,
    wheeler_1928_h,
)
from restoration.engineering.dividers import Divider, solve
from restoration.engineering.lines.lumped import lumped_ring
from restoration.engineering.link_model import (
    LinkLoad,
    LinkModel,
    LosslessLine,
    PulseSource,
    link_volts,
    source_emf_v,
)
from restoration.engineering.rise_time import rc_rise_s
from restoration.engineering.wires import awg_m, copper_factor, ohm_per_metre

NS = 1e-9


def test_heat_in_the_shunt_of_the_worked_divider():
    """V²/R2 of ngspice's 10.5200790 V. A list in circulation prints 16.2752833 mW, whose parts then miss its sum by
    20 nW; 16.2753033 mW makes it up: 53.1270573 mW in all."""
    found = solve(Divider(30.0, 1e3, 10e3, 6.8e3, 47e3))
    assert found.shunt_w == pytest.approx(10.5200790**2 / 6.8e3, rel=1e-8)
    assert found.shunt_w != pytest.approx(16.2752833e-3, rel=1e-7)
    parts_w = found.series_w + found.shunt_w + found.load_w + found.source_w
    assert parts_w == pytest.approx(53.1270573e-3, rel=1e-8)


@pytest.mark.parametrize(
    ("ramp_ns", "peak_v"),
    [
        (5, 14.9989), (20, 14.9924), (40, 11.2513), (60, 11.2490), (80, 10.7811), (100, 10.6871), (120, 10.5466),
        (200, 10.3327),
    ],
)  # fmt: skip
def test_the_peak_at_an_open_end_by_ramp_time(ramp_ns, peak_v):
    """ngspice 39: 10 V, 25 Ω, 75 Ω, 10 ns, 1 MΩ; the ideal step comes to 15 V. Within 0.1 % of the step."""
    source = PulseSource(0.0, 10.0, 1.0, ramp_ns * NS, ramp_ns * NS, 25.0)
    link = LinkModel(source, LosslessLine(75.0, 10 * NS), LinkLoad(1e6))
    assert link_volts(link, np.linspace(0.0, 300 * NS, 6001)).load_v.max() == pytest.approx(peak_v, abs=0.01)


@pytest.mark.parametrize(("part", "at_ns"), [(0.1, 10.53605), (0.5, 69.31472), (0.9, 230.2585)])
def test_instants_of_an_rc_edge(part, at_ns):
    """ngspice 39, 1 kΩ and 100 pF: ln(10/9), ln 2 and ln 10 RC; the wire is too short to be seen."""
    link = LinkModel(PulseSource(0.0, 1.0, 1.0, 0.0, 0.0, 1e3), LosslessLine(280.0, 1e-15), LinkLoad(math.inf, 100e-12))
    assert link_volts(link, np.array([at_ns * NS])).load_v[0] == pytest.approx(part, abs=2e-4)


def test_twenty_to_eighty_of_an_rc():
    """ln 4 RC: closed form."""
    assert rc_rise_s(1.0, 1.0, 0.2, 0.8) == pytest.approx(1.3862943611, rel=1e-10)


@pytest.mark.parametrize(("time", "fallen"), [(0.05, 0.048770575), (0.1, 0.095162582)])
def test_droop_of_a_top(time, fallen):
    """1 - exp(-t / tau): closed form."""
    source = PulseSource(0.0, 1.0, 1.0, 0.0, 0.0, 50.0, droop_time_constant_s=1.0)
    assert 1.0 - source_emf_v(source, np.array([time]))[0] == pytest.approx(fallen, rel=1e-7)


@pytest.mark.parametrize(
    ("damping", "overshoot", "peak", "settling"),
    # Closed forms worked with scipy, at a natural frequency of 1; settling to 2 %.
    [
        (0.1, 0.72924761, 3.157419, 38.3832), (0.2, 0.52662060, 3.206375, 19.6019),
        (0.3, 0.37232610, 3.293284, 11.2300), (0.5, 0.16303353, 3.627599, 8.0763),
        (0.7, 0.04598791, 4.399110, 5.9787), (0.8, 0.01516462, 5.235988, 3.7558),
    ],
)  # fmt: skip
def test_steps_of_the_second_order(damping, overshoot, peak, settling):
    inductor = DampedInductor(1.0, 1.0, 1.0 / (2.0 * damping))
    assert overshoot_of(damping) == pytest.approx(overshoot, abs=1e-8)
    assert lumped_ring(1.0, 1.0, 2.0 * damping).overshoot == pytest.approx(overshoot, abs=1e-8)
    assert current_part(inductor, np.array([peak]))[0] == pytest.approx(1.0 + overshoot, abs=1e-8)
    assert settling_s(inductor, 0.02) == pytest.approx(settling, abs=1.5e-4)  # some of its last digits are cut off


@pytest.mark.parametrize(("band", "settling"), [(0.01, 14.32457), (0.05, 10.13709)])
def test_settling_to_other_bands(band, settling):
    """A damping of 0.3: closed form, which the package polars-waveform gives as well."""
    assert settling_s(DampedInductor(1.0, 1.0, 1.0 / 0.6), band) == pytest.approx(settling, abs=6e-6)


def test_a_series_circuit_that_rings():
    """ngspice 39: 60 Ω, 1 µH, 100 pF: 1.372326 V of 1 V."""
    assert 1.0 + lumped_ring(1e-6, 100e-12, 60.0).overshoot == pytest.approx(1.372326, abs=1e-6)


@pytest.mark.parametrize(
    ("turns", "diameter_mm", "length_mm", "microhenries"),
    [(100, 25.4, 25.4, 172.413793), (100, 25.0, 50.0, 100.433874)],
)
def test_wheelers_short_formula(turns, diameter_mm, length_mm, microhenries):
    """Arithmetic, r²N²/(9r + 10l) in inches."""
    layer = Layer(turns, diameter_mm * 1e-3, length_mm * 1e-3)
    assert wheeler_1928_h(layer) * 1e6 == pytest.approx(microhenries, rel=1e-8)
    assert wheeler_1928_h(layer) < current_sheet_h(layer)


@pytest.mark.parametrize(
    ("gauge", "inches"),
    # ASTM B258's formula to six places; simetric.co.uk prints 4/0 and 1/0 so.
    [
        (-3, 0.460000), (0, 0.324861), (10, 0.101897), (18, 0.040303), (22, 0.025347), (26, 0.015941), (30, 0.010025),
        (36, 0.005000), (40, 0.003145),
    ],
)  # fmt: skip
def test_american_gauges_to_six_places(gauge, inches):
    assert awg_m(gauge) / 0.0254 == pytest.approx(inches, abs=5.1e-7)


@pytest.mark.parametrize(("gauge", "ohm_per_km"), [(36, 1361.0519), (40, 3441.1449)])
def test_resistance_of_thin_american_gauges(gauge, ohm_per_km):
    """Arithmetic with 1/58 ohm mm²/m (IEC 60028)."""
    assert ohm_per_metre(awg_m(gauge)) * 1e3 == pytest.approx(ohm_per_km, abs=6e-5)


@pytest.mark.parametrize(("at_c", "per_kelvin"), [(0.0, 0.00426525), (25.0, 0.00385426)])
def test_the_rise_of_copper_from_other_temperatures(at_c, per_kelvin):
    """0.00393 at 20 °C (Industrial Power Engineering Handbook p. 970), taken from 0 and from 25 °C: arithmetic."""
    rise = (copper_factor(at_c + 1.0) - copper_factor(at_c)) / copper_factor(at_c)
    assert rise == pytest.approx(per_kelvin, abs=6e-9)
