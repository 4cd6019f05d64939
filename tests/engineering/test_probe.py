"""What a probe adds and takes: worked figures of practice, laws, warnings, and ngspice for the edge under a probe."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.probe import TIMES_ONE, TIMES_TEN, Probe, probe_loading
from restoration.engineering.second_order import resonance_hz
from tests.engineering.drawn import up_to
from tests.engineering.simulating import solve_circuit

PROBES = st.builds(Probe, st.floats(1e4, 1e8), up_to(1e-9), st.just(10.0), up_to(1))


def plain(loading):
    return [warning.replace("\xa0", " ") for warning in loading.warnings]


class TestFiguresOfPractice:
    """10 kΩ anode: a ×10 probe of 12 pF adds 0.26 µs, a ×1 of about 100 pF 2.2 µs; common practice."""

    def test_times_ten(self):
        found = probe_loading(TIMES_TEN, 10e3)
        assert found.added_rise_s == pytest.approx(0.26e-6, rel=0.02)
        assert found.dc_error == pytest.approx(10e3 / 10.01e6)

    def test_times_one(self):
        found = probe_loading(TIMES_ONE, 10e3)
        assert found.added_rise_s == pytest.approx(2.2e-6, rel=0.02)
        assert found.dc_error == pytest.approx(1 / 101)

    def test_ten_times_the_source_costs_a_tenth_at_most(self):
        assert probe_loading(Probe(100e3, 0.0), 10e3).dc_error < 0.10
        assert probe_loading(Probe(80e3, 0.0), 10e3).dc_error > 0.10

    def test_a_lead_of_fifteen_centimetres(self):
        """1 µH a metre with 12 pF: 118.6 MHz, closed form."""
        assert probe_loading(TIMES_TEN, 10e3).ringing_hz == pytest.approx(118.6e6, rel=1e-3)
        assert resonance_hz(1e-6, 100e-12) == pytest.approx(15.9154943e6, rel=1e-8)


def test_the_edge_with_and_without_the_probe(tmp_path):
    """Source of 10 kΩ and 20 pF, without and with 1 MΩ and 100 pF, in ngspice. Tolerance 0.5 %: its step of 2 ns."""
    parts = [
        "V1 e 0 PULSE(0 1 100n 0.1n 0.1n 1 2)",
        "R1 e a 10k",
        "C1 a 0 20p",
        "R2 e b 10k",
        "C2 b 0 20p",
        "R3 b 0 1MEG",
        "C3 b 0 100p",
    ]
    solved = solve_circuit(parts, ["a", "b"], tmp_path, step_s=2e-9, stop_s=20e-6)
    found = probe_loading(TIMES_ONE, 10e3, 20e-12)
    for column, expected in ((1, found.rise_without_s), (2, found.rise_with_s)):
        volts = solved[:, column] / solved[-1, column]
        early, late = np.interp([0.1, 0.9], volts, solved[:, 0])
        assert late - early == pytest.approx(expected, rel=5e-3)
    assert solved[-1, 2] == pytest.approx(1 - found.dc_error, rel=1e-4)


class TestWarnings:
    def test_a_probe_that_fills_a_third_of_the_pulse(self):
        assert plain(probe_loading(TIMES_ONE, 10e3, pulse_s=2e-6)) == [
            "The probe adds 2.18 µs of rise to a pulse of 2.00 µs, more than a third of it: take one with less "
            "capacitance."
        ]
        assert plain(probe_loading(TIMES_TEN, 10e3, pulse_s=2e-6)) == []

    def test_just_at_a_third(self):
        third = 3 * probe_loading(TIMES_TEN, 10e3).added_rise_s
        assert plain(probe_loading(TIMES_TEN, 10e3, pulse_s=third * 1.001)) == []
        assert len(plain(probe_loading(TIMES_TEN, 10e3, pulse_s=third * 0.999))) == 1

    def test_a_level_pulled_down(self):
        assert plain(probe_loading(Probe(1e6, 0.0), 470e3)) == [
            "The probe pulls the level down by 32.0 %: take one with more resistance, ten times the source's or more."
        ]

    def test_a_lead_that_rings(self):
        assert plain(probe_loading(TIMES_TEN, 50.0)) == [
            "The ground lead rings at about 119 MHz on an edge this stiff: shorten it before you believe an overshoot."
        ]
        assert plain(probe_loading(Probe(10e6, 12e-12, 10.0, 0.0), 50.0)) == []

    def test_without_lead_or_capacitance_nothing_rings(self):
        assert probe_loading(Probe(10e6, 12e-12), 50.0).ringing_hz is None
        assert probe_loading(Probe(10e6, 0.0, ground_lead_m=0.2), 50.0).ringing_hz is None


@given(PROBES, up_to(1e6), up_to(1e-9))
def test_a_better_probe_does_less(probe, source_ohm, source_f):
    found = probe_loading(probe, source_ohm, source_f)
    better = probe_loading(Probe(2 * probe.resistance_ohm, probe.capacitance_f / 2), source_ohm, source_f)
    assert 0.0 <= better.dc_error <= found.dc_error < 1.0
    both_ohm = source_ohm * probe.resistance_ohm / (source_ohm + probe.resistance_ohm)
    assert found.rise_with_s == pytest.approx(math.log(9) * both_ohm * (source_f + probe.capacitance_f))
    assert found.added_rise_s <= found.rise_with_s * (1 + 1e-9)


def test_an_ideal_probe_changes_nothing():
    found = probe_loading(Probe(math.inf, 0.0), 10e3, 20e-12)
    assert found.dc_error == found.added_rise_s == 0.0
    assert found.rise_with_s == found.rise_without_s


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (lambda: Probe(0.0, 1e-12), "resistance_ohm must be more than zero; 0.0 was given."),
        (lambda: Probe(1e6, -1e-12), "capacitance_f must be zero or more and finite; -1e-12 was given."),
        (lambda: Probe(1e6, 1e-12, 0.0), "factor must be more than zero; 0.0 was given."),
        (lambda: Probe(1e6, 1e-12, math.inf), "factor must be a finite number; inf was given."),
        (lambda: Probe(1e6, 1e-12, 1.0, -0.1), "ground_lead_m must be zero or more and finite; -0.1 was given."),
        (lambda: probe_loading(TIMES_TEN, -1.0), "source_ohm must be zero or more and finite; -1.0 was given."),
        (lambda: probe_loading(TIMES_TEN, math.inf), "source_ohm must be zero or more and finite; inf was given."),
        (lambda: probe_loading(TIMES_TEN, 1.0, math.nan), "source_f must be zero or more and finite; nan was given."),
        (lambda: probe_loading(TIMES_TEN, 1.0, pulse_s=0.0), "pulse_s must be more than zero; 0.0 was given."),
        (lambda: probe_loading(TIMES_TEN, 1.0, pulse_s=math.inf), "pulse_s must be a finite number; inf was given."),
        (lambda: resonance_hz(0.0, 1e-12), "inductance_h must be more than zero; 0.0 was given."),
        (lambda: resonance_hz(1e-6, math.inf), "capacitance_f must be a finite number; inf was given."),
    ],
)
def test_nonsense(asked, sentence):
    with pytest.raises(ValueError) as refused:
        asked()
    assert str(refused.value) == sentence
