"""Dividers against ngspice: the operating point, and the edge of flat, over- and under-compensated dividers."""

import math

import numpy as np
import pytest

from restoration.engineering.dividers import Divider, charged_part, compensation, solve, uncompensated
from tests.engineering.simulating import solve_circuit

AT_REST = [
    Divider(30.0, 1e3, 10e3, 6.8e3, 47e3),
    Divider(30.0, 1e3, 10e3, 6.8e3),
    Divider(-60.0, 0.0, 330.0, 270.0, 1e6),
    Divider(5.0, 220.0, 0.0, 1e3, 150.0),
    Divider(200.0, 47e3, 1e6, 1e6, 10e6),
]


def resistor(name, one, other, ohm):
    """A resistor, or a source of no volts where there is none: ngspice takes no resistor of zero."""
    return f"R{name} {one} {other} {ohm}" if ohm else f"V{name} {one} {other} 0"


def test_operating_point(tmp_path):
    """Five dividers side by side in one run; ngspice 39 gave 10.5200790 V for the first. Tolerance a millionth."""
    parts, nodes = [], []
    for place, divider in enumerate(AT_REST):
        parts += [
            f"V{place} e{place} 0 {divider.source_v}",
            resistor(f"s{place}", f"e{place}", f"s{place}", divider.source_ohm),
            resistor(f"a{place}", f"s{place}", f"o{place}", divider.series_ohm),
            f"Rb{place} o{place} 0 {divider.shunt_ohm}",
            f"Rl{place} o{place} 0 {min(divider.load_ohm, 1e15)}",
        ]
        nodes += [f"s{place}", f"o{place}"]
    volts = solve_circuit(parts, nodes, tmp_path)[0, 1:].reshape(-1, 2)

    for divider, (top_v, load_v) in zip(AT_REST, volts, strict=True):
        found = solve(divider)
        assert found.load_v == pytest.approx(load_v, rel=1e-6)
        assert found.load_v + found.series_v == pytest.approx(top_v, rel=1e-6)
    assert volts[0, 1] == pytest.approx(10.5200790, rel=1e-7)


FLAT_F = compensation(10e3, 6.8e3, 100e-12)
STEPPED = {
    "flat": (10e3, FLAT_F, 6.8e3, 100e-12, 0.0),
    "over": (10e3, 2 * FLAT_F, 6.8e3, 100e-12, 0.0),
    "under": (10e3, FLAT_F / 2, 6.8e3, 100e-12, 0.0),
    "none": (10e3, 0.0, 6.8e3, 100e-12, 0.0),
    "flat, soft source": (10e3, FLAT_F, 6.8e3, 100e-12, 1e3),
    "over, soft source": (10e3, 3 * FLAT_F, 6.8e3, 100e-12, 1e3),
    "under, soft source": (10e3, FLAT_F / 3, 6.8e3, 100e-12, 1e3),
    "none, soft source": (10e3, 0.0, 6.8e3, 100e-12, 1e3),
    "only the upper, soft source": (10e3, 47e-12, 6.8e3, 0.0, 2e3),
}


@pytest.fixture(scope="module")
def stepped(tmp_path_factory):
    """All cases side by side in one run: a step of a volt in 10 ps at 10 ns; a row each nanosecond."""
    parts = ["V0 e 0 PULSE(0 1 10n 10p 10p 1 2)"]
    for place, (series_ohm, series_f, shunt_ohm, shunt_f, source_ohm) in enumerate(STEPPED.values()):
        parts += [
            resistor(f"s{place}", "e", f"s{place}", source_ohm),
            f"Ra{place} s{place} o{place} {series_ohm}",
            f"Ca{place} s{place} o{place} {series_f}",
            f"Rb{place} o{place} 0 {shunt_ohm}",
            f"Cb{place} o{place} 0 {shunt_f}",
        ]
    nodes = [f"o{place}" for place in range(len(STEPPED))]
    return solve_circuit(parts, nodes, tmp_path_factory.mktemp("step"), step_s=1e-9, stop_s=6e-6)


@pytest.mark.parametrize("case", list(STEPPED))
def test_answer_to_a_step(case, stepped):
    """Tolerance 0.2 % of the final volts from 2 ns after the step on, 2 % for the peak, which may lie before that."""
    series_ohm, series_f, shunt_ohm, shunt_f, source_ohm = STEPPED[case]
    found = uncompensated(series_ohm, series_f, shunt_ohm, shunt_f, source_ohm=source_ohm)
    times_s, volts = stepped[:, 0], stepped[:, 1 + list(STEPPED).index(case)]
    later = times_s > 12e-9

    assert found.at(times_s - 10.005e-9)[later] == pytest.approx(volts[later], abs=2e-3 * found.final_ratio)
    overshoot = max(volts[later].max() / found.final_ratio - 1.0, 0.0)
    assert found.overshoot == pytest.approx(overshoot, abs=0.02)
    assert math.isclose(volts[-1], found.final_ratio, rel_tol=0.01)
    assert np.all(found.at(times_s[times_s < 10e-9] - 10e-9) == 0.0)


@pytest.mark.parametrize("pulse_ns", [100, 500, 2000])
def test_a_short_pulse_is_not_halved_at_a_capacitance(pulse_ns, tmp_path):
    """Two of 10 k from a stiff source into 100 pF: 5 k and 100 pF by Thevenin. Tolerance 0.2 % of the open pulse."""
    solved = solve_circuit(
        [f"V1 a 0 PULSE(0 30 0 0.1n 0.1n {pulse_ns - 0.1}n 1)", "R1 a b 10k", "R2 b 0 10k", "C1 b 0 100p"],
        ["b"], tmp_path, step_s=1e-9, stop_s=2 * pulse_ns * 1e-9,
    )  # fmt: skip
    found = 15.0 * charged_part(pulse_ns * 1e-9, 5e3, 100e-12)
    assert found == pytest.approx(solved[:, 1].max(), abs=0.06)
