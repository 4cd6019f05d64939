"""What terminations cost, against Ohm's law, closed limits and a summed-up train; what they do, by the line."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.lines.records import LinkLoad, LinkModel, LosslessLine, PulseSource
from restoration.engineering.lines.termination import (
    coupled_cost,
    coupling_for,
    series_cost,
    series_to_match,
    shunt_cost,
)
from restoration.engineering.lines.volts import link_volts
from tests.engineering.simulating import solve_circuit

NS = 1e-9


class TestShunt:
    def test_thirty_volts_into_270_ohm(self):
        """Worked by Ohm's law: 111 mA at the peak, which a small valve cannot drive."""
        cost = shunt_cost(30.0, 270.0, duty=0.1, drive_most_a=0.02)
        assert cost.peak_a == pytest.approx(0.1111, rel=1e-3)
        assert (cost.peak_w, cost.mean_w) == pytest.approx((3.333, 0.3333), rel=1e-3)
        assert cost.is_afforded is False
        assert cost.words == (
            "The termination draws 111\u00a0mA; the stage gives 20.0\u00a0mA at most and cannot drive it."
        )

    def test_a_stage_that_can(self):
        cost = shunt_cost(-10.0, 1000.0, drive_most_a=0.02)
        assert cost.is_afforded
        assert cost.words == (
            "The termination draws 10.0\u00a0mA; the stage gives 20.0\u00a0mA at most and 50% of it goes here."
        )

    def test_a_stage_nobody_knows(self):
        cost = shunt_cost(10.0, 1000.0)
        assert cost.is_afforded is None
        assert cost.words == "The termination draws 10.0\u00a0mA; what the stage can give is not known."


class TestSeries:
    @given(source=st.floats(0, 2000), z0=st.floats(20, 700))
    def test_it_never_passes_the_wire(self, source, z0):
        series = series_to_match(source, z0)
        assert series >= 0
        assert source + series == pytest.approx(max(source, z0))

    def test_it_stops_the_second_reflection(self):
        """Matched at the source, an open end stands at the whole step after one transit and stays there."""
        source = PulseSource(0.0, 30.0, 1.0, 0.0, 0.0, resistance_ohm=90.0)
        link = LinkModel(source, LosslessLine(276.0, 20 * NS), series_ohm=series_to_match(90.0, 276.0))
        assert link_volts(link, np.arange(25, 400, 10) * NS).load_v == pytest.approx(30.0)

    def test_current_flows_for_one_round_trip(self):
        """The start of the wire through time: (E - V)/R is E/(2*Z0) for two delays, nothing after. 0.1 %."""
        source = PulseSource(0.0, 30.0, 1.0, 0.0, 0.0, resistance_ohm=90.0)
        link = LinkModel(source, LosslessLine(276.0, 20 * NS), series_ohm=186.0)
        current_a = (30.0 - link_volts(link, np.array([10.0, 30.0, 50.0, 90.0]) * NS).source_v) / 90.0
        cost = series_cost(30.0, 90.0, 186.0, 276.0, 20 * NS, pulses_per_s=100e3)
        assert current_a == pytest.approx([cost.peak_a, cost.peak_a, 0.0, 0.0], abs=1e-9)
        assert cost.mean_w == pytest.approx(cost.peak_a**2 * 186.0 * 80 * NS * 100e3)


class TestCoupled:
    def test_its_capacitor_holds_through_the_round_trip(self):
        """R*C three times the longer of edge and round trip: 28.3 % of the step is on the capacitor after it."""
        farad = coupling_for(276.0, 60 * NS, 100 * NS)
        assert 276.0 * farad == pytest.approx(360 * NS)
        assert -math.expm1(-120 * NS / (276.0 * farad)) == pytest.approx(0.2835, abs=1e-4)

    def test_it_calms_the_line_and_lets_the_level_stand(self):
        """An open end rings to 1.6 times the level; the coupled resistor keeps it below 1.05 and divides no level."""
        source = PulseSource(0.0, 30.0, 5e-6, 20 * NS, 20 * NS, resistance_ohm=50.0)
        bare = LinkModel(source, LosslessLine(276.0, 40 * NS), LinkLoad(1e6))
        farad = coupling_for(276.0, 40 * NS, 20 * NS, times=10)
        calm = LinkModel(source, LosslessLine(276.0, 40 * NS), LinkLoad(1e6), shunt_ohm=276.0, shunt_coupling_f=farad)
        times_s = np.linspace(0.0, 4.9e-6, 3000)
        assert link_volts(bare, times_s).load_v.max() > 1.6 * 30
        calmed_v = link_volts(calm, times_s).load_v
        assert calmed_v.max() < 1.05 * 30
        assert calmed_v[-1] == pytest.approx(30.0, rel=0.01)

    @pytest.mark.parametrize(("farad", "duty"), [(1e-9, 0.1), (22e-9, 0.1), (1e-6, 0.5)])
    def test_watts_as_the_train_summed_up(self, farad, duty):
        """The first-order circuit stepped exactly over 0.01 of the pulse until it repeats. Tolerance 0.5 %."""
        ohm, duration_s, level_v = 270.0, 2e-6, 30.0
        period_s = duration_s / duty
        cost = coupled_cost(level_v, ohm, farad, duration_s=duration_s, period_s=period_s)
        step_s = duration_s / 100
        kept = math.exp(-step_s / (ohm * farad))
        per_period = round(period_s / step_s)
        on = [level_v] * 100 + [0.0] * (per_period - 100)
        capacitor_v, watts = level_v * duty, []
        for _ in range(max(3, math.ceil(12 * ohm * farad / period_s))):
            watts = []
            for volts in on:
                across_v = volts - capacitor_v
                watts.append(across_v**2 / ohm * (1 - kept**2) * ohm * farad / 2 / step_s)
                capacitor_v = volts - across_v * kept
        assert cost.mean_w == pytest.approx(np.mean(watts), rel=5e-3)

    def test_behind_a_source_as_ngspice(self, tmp_path):
        """30 V behind 150 ohm into 270 ohm and 536 pF, 2 us of 10 us: mean heat. Tolerance 1 %."""
        solved = solve_circuit(
            ["V1 a 0 PULSE(0 30 0 1n 1n 1.999u 10u)", "R0 a b 150", "R1 b m 270", "C1 m 0 536p"],
            ["b", "m"], tmp_path, step_s=0.5e-9, stop_s=10e-6,
        )  # fmt: skip
        times_s, start_v, middle_v = solved.T
        simulated_w = np.trapezoid((start_v - middle_v) ** 2 / 270.0, times_s) / 10e-6
        cost = coupled_cost(30.0, 270.0, 536e-12, duration_s=2e-6, period_s=10e-6, source_ohm=150.0)
        assert cost.mean_w == pytest.approx(simulated_w, rel=0.01)
        assert cost.peak_a == pytest.approx(30.0 / 420.0)

    @given(duty=st.floats(0.01, 0.99))
    def test_a_huge_capacitor_leaves_the_alternating_part(self, duty):
        """With R*C far above the period the watts are V^2/R*d*(1 - d); a direct shunt takes V^2/R*d."""
        cost = coupled_cost(30.0, 270.0, 1.0, duration_s=duty * 1e-5, period_s=1e-5)
        assert cost.mean_w == pytest.approx(30.0**2 / 270.0 * duty * (1 - duty), rel=1e-6)
        assert cost.mean_w <= shunt_cost(30.0, 270.0, duty=duty).mean_w

    @given(farad=st.floats(1e-13, 1e-10))
    def test_a_tiny_capacitor_takes_its_charge_twice(self, farad):
        """C*V^2 a period: half on charging, half on discharging."""
        cost = coupled_cost(30.0, 270.0, farad, duration_s=1e-6, period_s=1e-5)
        assert cost.mean_w == pytest.approx(farad * 900.0 / 1e-5)


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: shunt_cost(30.0, 0.0), "shunt_ohm must be more than zero; 0.0 was given."),
        (lambda: shunt_cost(math.nan, 270.0), "level_v must be a finite number; nan was given."),
        (lambda: shunt_cost(30.0, 270.0, duty=1.5), "The duty must be from 0 to 1; 1.5 was given."),
        (lambda: shunt_cost(30.0, 270.0, drive_most_a=0.0), "drive_most_a must be more than zero; 0.0 was given."),
        (lambda: series_to_match(-1.0, 276.0), "source_ohm must be zero or more and finite; -1.0 was given."),
        (lambda: series_to_match(1.0, 0.0), "impedance_ohm must be more than zero; 0.0 was given."),
        (lambda: series_cost(1.0, 1.0, 1.0, 0.0, NS), "impedance_ohm must be more than zero; 0.0 was given."),
        (lambda: coupling_for(276.0, -NS, NS), "delay_s must be more than zero; -1e-09 was given."),
        (
            lambda: coupled_cost(30.0, 270.0, 1e-9, duration_s=1e-6, period_s=2e-6, source_ohm=-1.0),
            "source_ohm must be zero or more and finite; -1.0 was given.",
        ),
        (
            lambda: coupled_cost(30.0, 270.0, 1e-9, duration_s=2e-6, period_s=2e-6),
            "A period of 2e-06 s does not hold a pulse of 2e-06 s and a rest after it.",
        ),
    ],
)
def test_nonsense_gets_a_sentence(make, sentence):
    with pytest.raises(ValueError) as refused:
        make()
    assert str(refused.value) == sentence
