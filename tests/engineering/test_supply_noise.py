"""Noise on the supply: worked figures, scipy's step response, and trains of pulses run through ngspice until steady."""

import math
import re
import subprocess
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import signal

from restoration.engineering.supply_noise import (
    SupplyWire,
    capacitor_dip_v,
    decoupling_f,
    dip_of_step,
    pulse_charge_c,
    ripple_at_repetition,
    sag_at_repetition,
    self_resonance_hz,
    wire_dip_v,
)

US, UF, UH, MA = 1e-6, 1e-6, 1e-6, 1e-3


class TestPlainFigures:
    """Common practice, no source: 5 µH with 20 mA in 100 ns is 1 V; 20 mA for 1 µs at 0.1 V is 0.2 µF."""

    def test_wire(self):
        assert wire_dip_v(5 * UH, 20 * MA, 0.1 * US) == pytest.approx(1.0, rel=1e-12)

    def test_decoupling(self):
        assert decoupling_f(20 * MA, 1 * US, 0.1) == pytest.approx(0.2 * UF, rel=1e-12)
        assert pulse_charge_c(20 * MA, 1 * US) == pytest.approx(20e-9, rel=1e-12)

    def test_a_capacitor_of_no_faults_dips_by_its_charge(self):
        needed_f = decoupling_f(20 * MA, 1 * US, 0.1)
        assert capacitor_dip_v(20 * MA, 1 * US, 0.1 * US, needed_f) == pytest.approx(0.1, rel=1e-12)

    def test_resonance_of_a_capacitor_with_its_leads(self):
        assert self_resonance_hz(0.1 * UF, 20e-9) == pytest.approx(1 / (2 * math.pi * math.sqrt(2e-15)), rel=1e-12)
        assert self_resonance_hz(0.1 * UF, 0.0) == math.inf


class TestStep:
    @pytest.mark.parametrize("zeta", [0.0, 0.02, 0.3, 0.7, 0.95, 1.0, 1.5, 5.0])
    def test_deepest_dip_is_that_of_scipys_step_response(self, zeta):
        """scipy.signal.step of (R + sL)/(1 + sRC + s²LC), 40,000 points; 1e-5 of I·Z covers their spacing."""
        wire = SupplyWire(5 * UH, 2 * zeta * 5.0, 0.2 * UF)
        system = signal.TransferFunction(
            [wire.inductance_h, wire.resistance_ohm],
            [wire.inductance_h * wire.capacitance_f, wire.resistance_ohm * wire.capacitance_f, 1.0],
        )
        _, response = signal.step(system, T=np.linspace(0.0, 200 * US * max(1.0, zeta), 40_000))
        assert dip_of_step(wire, 20 * MA) == pytest.approx(20 * MA * response.max(), rel=1e-4)

    def test_without_resistance_it_is_the_current_times_the_impedance(self):
        assert dip_of_step(SupplyWire(5 * UH, 0.0, 0.2 * UF), 20 * MA) == pytest.approx(0.1, rel=1e-12)

    def test_both_formulas_meet_at_critical_damping(self):
        wires = [SupplyWire(5 * UH, 10.0 * part, 0.2 * UF) for part in (1 - 1e-9, 1 + 1e-9)]
        below, above = (dip_of_step(wire, 1.0) for wire in wires)
        assert below == pytest.approx(above, rel=1e-6)

    def test_what_damps_it(self):
        wire = SupplyWire(5 * UH, 0.0, 0.2 * UF)
        assert SupplyWire(5 * UH, wire.resistance_for(0.7), 0.2 * UF).damping_ratio == pytest.approx(0.7, rel=1e-12)


# wire or None (a feed resistor alone), current, duration, period; with each, as many periods as make it steady
TRAINS = [
    (SupplyWire(5 * UH, 0.2, 0.2 * UF), 20 * MA, 1 * US, 20 * US),
    (SupplyWire(5 * UH, 0.5, 0.2 * UF), 20 * MA, 3 * US, 6.28 * US),  # at the resonance, near enough
    (SupplyWire(10 * UH, 20.0, 0.5 * UF), 50 * MA, 5 * US, 12 * US),
    (SupplyWire(5 * UH, 2.0, 0.02 * UF), 10 * MA, 1 * US, 8 * US),
]
SAGS = [(1000.0, 0.01 * UF, 20 * MA, 1 * US, 10 * US), (100.0, 0.1 * UF, 5 * MA, 4 * US, 9 * US)]
EDGE_S = 1e-9
PERIODS = 400


def _deck() -> str:
    """Every case in one circuit with nothing in common but earth; least, most and mean over the last two periods."""
    lines, asked = ["* supplies under trains of pulses"], []
    cases = [(wire.inductance_h, wire.resistance_ohm, wire.capacitance_f, *rest) for wire, *rest in TRAINS]
    cases += [(0.0, ohm, farad, *rest) for ohm, farad, *rest in SAGS]
    stop_s = max(PERIODS * period_s for *_, period_s in cases) / 4
    for at, (henry, ohm, farad, current_a, duration_s, period_s) in enumerate(cases):
        feed = [f"R{at} 0 m{at} {ohm}", f"L{at} m{at} n{at} {henry}"] if henry else [f"R{at} 0 n{at} {ohm}"]
        high_s = duration_s - EDGE_S
        pulse = f"I{at} n{at} 0 PULSE(0 {current_a} 0 {EDGE_S} {EDGE_S} {high_s} {period_s})"
        lines += [*feed, f"C{at} n{at} 0 {farad}", pulse]
        span = f"v(n{at}) from={stop_s - 8 * period_s} to={stop_s}"
        asked += [f"meas tran {what}{at} {what} {span}" for what in ("min", "max", "avg")]
    run = [".options reltol=1e-5 abstol=1e-12 vntol=1e-8", ".control", f"tran 50n {stop_s} 0 100n", *asked]
    return "\n".join([*lines, *run, "quit 0", ".endc", ".end", ""])


@pytest.fixture(scope="module")
def simulated(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    """What ngspice measures: min0, max0, avg0 and so on."""
    deck = Path(tmp_path_factory.mktemp("supply")) / "supply.cir"
    deck.write_text(_deck())
    done = subprocess.run(["ngspice", "-b", deck.name], cwd=deck.parent, capture_output=True, text=True, check=True)
    return {name: float(value) for name, value in re.findall(r"^((?:min|max|avg)\d+)\s*=\s*(\S+)", done.stdout, re.M)}


class TestTrains:
    @pytest.mark.parametrize("at", range(len(TRAINS)))
    def test_ripple_in_the_long_run_is_that_of_ngspice(self, at, simulated):
        """Within 1 % of the swing: edges of 1 ns there, none here, and the simulator's own steps."""
        wire, current_a, duration_s, period_s = TRAINS[at]
        found = ripple_at_repetition(wire, current_a, duration_s, period_s)
        swing = found.peak_to_peak_v
        assert -found.lowest_v == pytest.approx(simulated[f"min{at}"], abs=0.01 * swing)
        assert found.highest_v == pytest.approx(simulated[f"max{at}"], abs=0.01 * swing)
        assert -found.mean_v == pytest.approx(simulated[f"avg{at}"], abs=0.01 * swing)

    @pytest.mark.parametrize("at", range(len(SAGS)))
    def test_sag_behind_a_resistor_is_that_of_ngspice(self, at, simulated):
        ohm, farad, current_a, duration_s, period_s = SAGS[at]
        sag = sag_at_repetition(current_a, duration_s, period_s, ohm, farad)
        number = len(TRAINS) + at
        assert -sag.lowest_v == pytest.approx(simulated[f"min{number}"], rel=5e-3)
        assert -sag.before_v == pytest.approx(simulated[f"max{number}"], rel=5e-3)
        assert -sag.mean_v == pytest.approx(simulated[f"avg{number}"], rel=5e-3)

    @pytest.mark.parametrize("rest_turns", [11.3, 39.4])
    def test_the_peaks_of_a_quick_ring_are_not_stepped_over(self, rest_turns):
        """Twenty times finer steps by a rotation in closed form; within 0.3 % of the swing."""
        wire = SupplyWire(5 * UH, 2.0, 0.001 * UF)
        duration_s = 0.4 / wire.resonance_hz
        period_s = duration_s + rest_turns / wire.resonance_hz
        matrix = np.array(
            [[0.0, 1.0 / wire.capacitance_f], [-1.0 / wire.inductance_h, -wire.resistance_ohm / wire.inductance_h]]
        )
        roots, shapes = np.linalg.eig(matrix)
        drawing = np.array([-20 * MA * wire.resistance_ohm, 20 * MA])

        def after(state, settled, seconds):
            parts = np.linalg.solve(shapes, state - settled)
            return ((shapes * parts) @ np.exp(np.outer(roots, np.atleast_1d(seconds)))).real + settled[:, np.newaxis]

        state = np.zeros(2)
        for _ in range(40):
            end = after(state, drawing, duration_s)[:, -1]
            state = after(end, np.zeros(2), period_s - duration_s)[:, -1]
        levels_v = np.concatenate(
            [after(state, drawing, np.linspace(0, duration_s, 40_000))[0],
             after(end, np.zeros(2), np.linspace(0, period_s - duration_s, 40_000))[0]]
        )  # fmt: skip
        found = ripple_at_repetition(wire, 20 * MA, duration_s, period_s)
        assert found.peak_to_peak_v == pytest.approx(np.ptp(levels_v), rel=3e-3)

    def test_a_repetition_at_the_resonance_builds_the_ring_up(self):
        wire = SupplyWire(5 * UH, 0.2, 0.2 * UF)
        at_resonance = ripple_at_repetition(wire, 20 * MA, 1 * US, 1 / wire.resonance_hz)
        between = ripple_at_repetition(wire, 20 * MA, 1 * US, 1.5 / wire.resonance_hz)
        assert at_resonance.peak_to_peak_v > 5 * between.peak_to_peak_v

    @given(
        current_a=st.floats(1e-4, 1.0),
        part=st.floats(0.01, 0.99),
        period_s=st.floats(1e-6, 1e-2),
        feed_ohm=st.floats(1.0, 1e5),
        capacitance_f=st.floats(1e-9, 1e-4),
    )
    def test_a_sag_holds_its_mean_between_its_ends_and_never_passes_the_current_times_the_resistor(
        self, current_a, part, period_s, feed_ohm, capacitance_f
    ):
        sag = sag_at_repetition(current_a, part * period_s, period_s, feed_ohm, capacitance_f)
        dust = 1e-9 * sag.lowest_v
        assert 0 <= sag.before_v <= sag.mean_v + dust
        assert sag.mean_v <= sag.lowest_v + dust
        assert sag.lowest_v <= current_a * feed_ohm * (1 + 1e-12)

    def test_a_short_pulse_on_a_large_capacitor_is_charge_over_capacitance(self):
        sag = sag_at_repetition(20 * MA, 1 * US, 100 * US, 10e3, 10 * UF)
        assert sag.ripple_v == pytest.approx(20e-9 * (1 - 0.01) / (10 * UF), rel=1e-3)


class TestRefusals:
    @pytest.mark.parametrize(
        ("act", "sentence"),
        [
            (lambda: wire_dip_v(-1e-6, 1.0, 1e-6), "inductance_h must be zero or more and finite; -1e-06 was given."),
            (lambda: wire_dip_v(1e-6, 1.0, 0.0), "edge_s must be more than zero; 0.0 was given."),
            (lambda: wire_dip_v(1e-6, math.nan, 1e-6), "current_a must be zero or more and finite; nan was given."),
            (lambda: wire_dip_v(1e-6, 1.0, math.inf), "edge_s must be a finite number; inf was given."),
            (lambda: decoupling_f(1.0, 1e-6, 0.0), "dip_v must be more than zero; 0.0 was given."),
            (lambda: capacitor_dip_v(1.0, 1e-6, 1e-7, 0.0), "capacitance_f must be more than zero; 0.0 was given."),
            (lambda: self_resonance_hz(math.nan, 0.0), "capacitance_f must be more than zero; nan was given."),
            (lambda: SupplyWire(0.0, 1.0, 1e-6), "inductance_h must be more than zero; 0.0 was given."),
            (lambda: SupplyWire(1e-6, -1.0, 1e-6), "resistance_ohm must be zero or more and finite; -1.0 was given."),
            (
                lambda: sag_at_repetition(1.0, 2e-6, 1e-6, 1.0, 1e-6),
                "A pulse of 2e-06 s does not end within its period of 1e-06 s; give a shorter pulse.",
            ),
            (
                lambda: ripple_at_repetition(SupplyWire(1e-6, 0.0, 1e-6), 1.0, 1e-6, 2e-6),
                "resistance_ohm must be more than zero; 0.0 was given.",
            ),
            (
                lambda: ripple_at_repetition(SupplyWire(1e-6, 1.0, 1e-6), 1.0, 1e-6, 1e-3),
                "The supply rings 159 times between two edges of the current; up to 40 are followed. "
                "Give a shorter period.",
            ),
        ],
    )
    def test_nonsense_gets_a_sentence(self, act, sentence):
        with pytest.raises(ValueError) as refusal:
            act()
        assert str(refusal.value) == sentence
