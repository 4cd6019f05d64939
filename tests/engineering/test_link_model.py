"""The link model against lattice diagrams, closed forms and a circuit simulator."""

import math
import subprocess
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.link_model import (
    LinkLoad,
    LinkModel,
    LosslessLine,
    PulseSource,
    SupplyRipple,
    link_volts,
    source_emf_v,
)

NS = 1e-9


def step_source(volts, resistance_ohm, *, ramp_s=0.0):
    """A step that stays up far longer than any test looks."""
    return PulseSource(0.0, volts, 1.0, ramp_s, ramp_s, resistance_ohm)


def after_each_arrival(count):
    """Half a delay after each arrival at the load of a 10 ns line: 15, 35, 55 ns …"""
    return np.array([15.0 + 20.0 * arrival for arrival in range(count)]) * NS


CASE_A = LinkModel(step_source(10.0, 25.0), LosslessLine(75.0, 10 * NS), LinkLoad(225.0))
CASE_C = LinkModel(step_source(120.0, 0.0), LosslessLine(30.0, 10 * NS), LinkLoad(10.0))
CASE_E = LinkModel(step_source(5.0, 10.0), LosslessLine(50.0, 10 * NS), LinkLoad(math.inf))
CASE_F = LinkModel(step_source(10.0, 50.0), LosslessLine(50.0, 10 * NS), LinkLoad(100.0))
NEVER_SETTLES = LinkModel(step_source(5.0, 0.0), LosslessLine(50.0, 10 * NS))


class TestLatticeDiagrams:
    """Ideal line, ideal step. Tolerance 1e-9 of the step: the method is exact here."""

    @pytest.mark.parametrize(
        ("link", "load_v"),
        [
            # Lattice arithmetic, and ngspice 39 agreeing to seven digits.
            (CASE_A, [11.25, 8.4375, 9.140625, 8.96484375, 9.0087890625, 8.997802734375]),
            # W. D. Stevenson, Elements of Power System Analysis, example 5.6 with a 10 ohm load:
            # a published computer solution prints 60 90 105 112 116, cut off to whole volts.
            (CASE_C, [60.0, 90.0, 105.0, 112.5, 116.25, 118.125]),
            # Lattice arithmetic, open end.
            (CASE_E, [8.333333333, 2.777777778, 6.481481481, 4.012345679, 5.658436214]),
            # Lattice arithmetic, matched source: settled after one transit.
            (CASE_F, [6.666666667] * 4),
        ],
    )
    def test_load_after_each_arrival(self, link, load_v):
        found = link_volts(link, after_each_arrival(len(load_v))).load_v
        assert found == pytest.approx(load_v, rel=1e-9)

    @pytest.mark.parametrize(
        ("link", "source_v"),
        [
            (CASE_A, [7.5, 9.375, 8.90625, 9.0234375, 8.994140625]),
            (CASE_C, [120.0] * 5),
            (CASE_E, [4.166666667, 5.555555556, 4.62962963]),
            (CASE_F, [5.0, 6.666666667, 6.666666667]),
        ],
    )
    def test_source_end_after_each_return(self, link, source_v):
        times_s = np.array([5.0 + 20.0 * trip for trip in range(len(source_v))]) * NS
        assert link_volts(link, times_s).source_v == pytest.approx(source_v, rel=1e-9)

    def test_a_ramp_of_five_nanoseconds(self):
        """Half-ramp points and the peak of case A with a ramp: ngspice 39."""
        ramped = replace(CASE_A, source=step_source(10.0, 25.0, ramp_s=5 * NS))
        volts = link_volts(ramped, np.array([12.5, 32.5]) * NS).load_v
        assert volts == pytest.approx([5.625, 9.84375], rel=1e-9)
        assert link_volts(ramped, np.arange(1, 400) * 0.5 * NS).load_v.max() == pytest.approx(11.25, rel=1e-9)

    @pytest.mark.parametrize(
        ("ramp_ns", "peak_v"),
        # ngspice 39, 10 V, 25 ohm, 75 ohm, 10 ns, 1 Mohm. Tolerance 0.1 % of the step, which
        # also covers the simulator's own step control.
        [(5, 14.9989), (40, 11.2513), (80, 10.7811), (100, 10.6871), (120, 10.5466), (200, 10.3327)],
    )
    def test_peak_at_an_open_end_against_ramp_time(self, ramp_ns, peak_v):
        link = replace(CASE_A, source=step_source(10.0, 25.0, ramp_s=ramp_ns * NS), load=LinkLoad(1e6))
        peak = link_volts(link, np.arange(1, 3000) * 0.25 * NS).load_v.max()
        assert peak == pytest.approx(peak_v, abs=0.01)


DECK = """* one interconnect
Vs e 0 PULSE({rest_v} {active_v} {start_s} {rise_s} {fall_s} {top_s} 1)
Rs e s {resistance_ohm}
Rt s a {series_ohm}
T1 a 0 b 0 Z0={impedance_ohm} TD={delay_s}
Rp b 0 {shunt_ohm}
Rl b 0 {load_ohm}
Cl b 0 {load_f}
.options reltol=1e-6 abstol=1e-12 vntol=1e-9
.control
tran {step_s} {stop_s} 0 {step_s}
linearize v(s) v(a) v(b)
set wr_singlescale
set wr_vecnames
wrdata {out} v(s) v(a) v(b)
quit 0
.endc
.end
"""


def simulate(link, folder, *, step_s, stop_s):
    """The same link through `ngspice -b`; columns are time, source, line start, load."""
    source = link.source
    deck = DECK.format(
        rest_v=source.rest_v,
        active_v=source.active_v,
        start_s=source.start_s,
        rise_s=source.rise_s,
        fall_s=source.fall_s,
        top_s=source.duration_s - (source.rise_s + source.fall_s) / 2,
        resistance_ohm=source.resistance_ohm,
        series_ohm=link.series_ohm or 1e-6,
        impedance_ohm=link.line.impedance_ohm,
        delay_s=link.line.delay_s,
        shunt_ohm=min(link.shunt_ohm, 1e12),
        load_ohm=min(link.load.resistance_ohm, 1e12),
        load_f=link.load.capacitance_f,
        step_s=step_s,
        stop_s=stop_s,
        out=folder / "out.txt",
    )
    (folder / "link.cir").write_text(deck)
    subprocess.run(["ngspice", "-b", str(folder / "link.cir")], check=True, capture_output=True, timeout=60)
    return np.loadtxt(folder / "out.txt", skiprows=1)


PULSE = PulseSource(0.0, 34.0, 600 * NS, 40 * NS, 60 * NS, resistance_ohm=90.0, start_s=50 * NS)
LINE = LosslessLine.of_length(4.6, impedance_ohm=280.0, delay_s_per_m=4e-9)


@pytest.mark.parametrize(
    "link",
    [
        LinkModel(PULSE, LINE, LinkLoad(220e3, 150e-12)),
        LinkModel(PULSE, LINE, LinkLoad(220e3, 150e-12), series_ohm=330.0, shunt_ohm=1200.0),
        LinkModel(replace(PULSE, rest_v=2.0, active_v=-25.0), LINE, LinkLoad(47e3, 40e-12), series_ohm=47.0),
    ],
    ids=["ringing", "attenuated", "negative-going"],
)
def test_agrees_with_the_circuit_simulator(link, tmp_path):
    """ngspice as oracle. Tolerance 0.2 % of the step at every point of three traces."""
    simulated = simulate(link, tmp_path, step_s=0.2 * NS, stop_s=1500 * NS)
    ours = link_volts(link, simulated[:, 0], longest_step_s=0.25 * NS)
    for column, volts in enumerate((ours.source_v, ours.line_start_v, ours.load_v), start=1):
        assert np.abs(volts - simulated[:, column]).max() < 0.002 * abs(link.source.step_v)


def test_the_step_chosen_without_asking_is_fine_enough():
    """Within 0.5 % of the step of the answer at a tenth of the step."""
    link = LinkModel(PULSE, LINE, LinkLoad(220e3, 150e-12))
    times_s = np.arange(1500) * NS
    coarse, fine = link_volts(link, times_s), link_volts(link, times_s, longest_step_s=0.1 * NS)
    assert np.abs(coarse.load_v - fine.load_v).max() < 0.005 * PULSE.step_v


def test_a_capacitor_behind_a_matched_source_charges_exponentially():
    """Closed form: v = E(1 - exp(-t/(Z0 C))) from one delay on. Tolerance 0.1 % of the step."""
    link = LinkModel(step_source(10.0, 50.0), LosslessLine(50.0, 10 * NS), LinkLoad(capacitance_f=200e-12))
    since_s = np.arange(1, 100) * NS
    volts = link_volts(link, since_s + 10 * NS, longest_step_s=0.02 * NS).load_v
    assert volts == pytest.approx(10.0 * -np.expm1(-since_s / (50.0 * 200e-12)), abs=0.01)


class TestSource:
    def test_a_trapezoid_has_its_duration_between_half_points(self):
        source = PulseSource(0.0, 5.0, 450 * NS, 100 * NS, 200 * NS, 50.0, period_s=1000 * NS)
        times_s = np.arange(10_000) * 0.3 * NS
        volts = source_emf_v(source, times_s)
        above = times_s[volts > 2.5]
        assert np.count_nonzero(np.diff(volts > 2.5)) == 6
        assert above[above < 900 * NS][-1] - above[0] == pytest.approx(450 * NS, abs=0.6 * NS)

    @pytest.mark.parametrize(("share", "droop"), [(0.05, 0.048770575), (0.1, 0.095162582)])
    def test_droop_is_that_of_a_coupling_capacitor(self, share, droop):
        """Closed form: 1 - exp(-t/T) of the top is gone after t."""
        source = PulseSource(0.0, 20.0, 1e-6, 0.0, 0.0, 50.0, droop_time_constant_s=1e-6 / share)
        assert source_emf_v(source, np.array([0.0, 1e-6 - 1e-15]))[1] == pytest.approx(20.0 * (1 - droop), rel=1e-6)

    def test_a_drooped_pulse_dips_past_rest_by_what_it_lost(self):
        source = PulseSource(0.0, 20.0, 1e-6, 50 * NS, 50 * NS, 50.0, droop_time_constant_s=10e-6)
        volts = source_emf_v(source, np.arange(1200) * NS)
        assert volts.min() == pytest.approx(-20.0 * (1 - math.exp(-0.1)), rel=0.03)

    def test_ripple_rides_on_the_source(self):
        still = PulseSource(0.0, 20.0, 1e-6, 0.0, 0.0, 50.0, start_s=1.0)
        volts = source_emf_v(still, np.array([0.0, 2.5e-3, 5e-3]), SupplyRipple(0.5, 100.0))
        assert volts == pytest.approx([0.0, 0.5, 0.0], abs=1e-12)

    def test_whole_numbers_of_volts_are_volts_too(self):
        source = PulseSource(1, 6, 350 * NS, 100 * NS, 200 * NS, 50)
        assert source_emf_v(source, np.array([0.0, 50.0]) * NS) == pytest.approx([1.0, 3.5])

    def test_a_link_at_rest_stays_at_its_divided_level(self):
        link = LinkModel(PulseSource(10.0, 20.0, 1e-6, 0.0, 0.0, 100.0, start_s=1e-6), LINE, LinkLoad(400.0))
        assert link_volts(link, np.arange(900) * NS).load_v == pytest.approx(8.0)


@given(scale=st.floats(0.1, 50.0), shift_ns=st.integers(0, 500))
def test_scaling_scales_and_shifting_shifts(scale, shift_ns):
    link = LinkModel(PULSE, LINE, LinkLoad(220e3, 60e-12), series_ohm=100.0)
    other = replace(
        PULSE, rest_v=PULSE.rest_v * scale, active_v=PULSE.active_v * scale, start_s=PULSE.start_s + shift_ns * NS
    )
    times_s = np.arange(0, 900, 3) * NS
    first = link_volts(link, times_s).load_v
    second = link_volts(replace(link, source=other), times_s + shift_ns * NS).load_v
    assert second == pytest.approx(first * scale, abs=2e-3 * abs(PULSE.step_v) * scale)


class TestRefusals:
    @pytest.mark.parametrize(
        ("make", "sentence"),
        [
            (
                lambda: LosslessLine(75.0, 0.0),
                "delay_s must be more than zero; 0.0 was given.",
            ),
            (
                lambda: LosslessLine.of_length(-1.0, impedance_ohm=75.0, delay_s_per_m=4e-9),
                "length_m must be more than zero; -1.0 was given.",
            ),
            (
                lambda: LinkLoad(capacitance_f=-1e-12),
                "capacitance_f must be zero or more and finite; -1e-12 was given.",
            ),
            (
                lambda: PulseSource(math.nan, 5.0, 1e-6, 0.0, 0.0, 50.0),
                "rest_v must be a finite number; nan was given.",
            ),
            (
                lambda: PulseSource(0.0, 5.0, 1e-7, 2e-7, 2e-7, 50.0),
                "A pulse of 1e-07 s is shorter than half of its two edges together, 2e-07 s; "
                "give a longer pulse or quicker edges.",
            ),
            (
                lambda: PulseSource(0.0, 5.0, 1e-6, 0.0, 0.0, 50.0, period_s=5e-7),
                "A period of 5e-07 s does not hold a pulse that takes 1e-06 s.",
            ),
            (
                lambda: LinkModel(PULSE, LINE, shunt_ohm=0.0),
                "shunt_ohm must be more than zero; 0.0 was given.",
            ),
            (
                lambda: link_volts(NEVER_SETTLES, np.array([0.0, 2.0])),
                "The record would take 200000002 steps; at most 2000000 are allowed. "
                "Ask for a shorter time or a longer line.",
            ),
            (
                lambda: link_volts(CASE_A, np.array([1.0, 1.0])),
                "The times must rise from each sample to the next.",
            ),
            (
                lambda: link_volts(CASE_A, np.array([])),
                "The times must be a one-dimensional array of finite seconds with at least one in it.",
            ),
        ],
    )
    def test_nonsense_gets_a_sentence(self, make, sentence):
        with pytest.raises(ValueError) as refused:
            make()
        assert str(refused.value) == sentence
