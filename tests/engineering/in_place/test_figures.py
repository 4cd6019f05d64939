"""What a link will show: against closed forms, a circuit simulator, and the laws that any link keeps."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.in_place import Arrangement, predict
from restoration.engineering.in_place.reading import read_pulse
from restoration.engineering.in_place.solving import solve_pulse, trailing_s
from restoration.engineering.in_place.warnings import lumping_error
from restoration.engineering.link_model import LinkLoad, PulseSource, link_volts
from tests.engineering.in_place.cases import LOAD, PULSE, WIRE, a_case, other
from tests.engineering.in_place.star import simulate_stars

LONG = replace(PULSE, duration_s=1e-3)


class TestClosedForms:
    def test_two_equal_resistors_halve_a_pulse_from_a_stiff_source(self):
        """A fact of the trade, common practice, no source; it holds for a stiff source and a light load."""
        half = Arrangement(attenuator_ohm=1000.0, shunt_ohm=1000.0)
        stiff = a_case(source=replace(PULSE, resistance_ohm=1.0), load=LinkLoad(1e6), arrangement=half)
        weak = a_case(source=replace(PULSE, resistance_ohm=1000.0), load=LinkLoad(1e6), arrangement=half)
        heavy = a_case(source=replace(PULSE, resistance_ohm=1.0), load=LinkLoad(1000.0), arrangement=half)
        assert predict(stiff).load.amplitude_v == pytest.approx(10.0, rel=2e-3)
        assert predict(weak).load.amplitude_v == pytest.approx(20.0 / 3, rel=2e-3)
        assert predict(heavy).load.amplitude_v == pytest.approx(20.0 / 3, rel=2e-3)

    def test_levels_behind_a_rest_level(self):
        case = a_case(source=replace(PULSE, rest_v=-8.0, active_v=4.0), load=LinkLoad(750.0))
        found = predict(case).load
        assert (found.low_level_v, found.high_level_v) == (pytest.approx(-6.0), pytest.approx(3.0))
        assert found.amplitude_v == pytest.approx(9.0)

    def test_a_slow_source_into_a_capacitor_is_one_pole(self):
        """10 to 90 % of one pole is ln 9 R C."""
        source = PulseSource(0.0, 20.0, 50e-6, 1e-9, 1e-9, resistance_ohm=10e3)
        found = predict(a_case(source=source, length_m=0.1, load=LinkLoad(capacitance_f=100e-12))).load
        constant_s = 10e3 * (100e-12 + 0.1 * 12e-12)
        assert found.rise_time_s == pytest.approx(math.log(9) * constant_s, rel=5e-3)
        assert found.fall_time_s == pytest.approx(found.rise_time_s, rel=5e-3)

    def test_the_current_into_a_resistor(self):
        case = a_case(source=replace(PULSE, resistance_ohm=50.0), load=LinkLoad(150.0), length_m=0.1)
        assert predict(case).peak_drive_a == pytest.approx(0.1, rel=1e-2)

    def test_a_long_top_changes_nothing_but_the_duration(self):
        short, long = predict(a_case()), predict(a_case(source=LONG))
        added_s = LONG.duration_s - PULSE.duration_s
        assert long.load.pulse_duration_s - short.load.pulse_duration_s == pytest.approx(added_s, rel=1e-6)
        for name in ("amplitude_v", "rise_time_s", "fall_time_s", "overshoot"):
            assert getattr(long.load, name) == pytest.approx(getattr(short.load, name), rel=2e-3, abs=1e-4)
        assert long.volts.times_s[-1] > LONG.duration_s
        assert np.all(np.diff(long.volts.times_s) > 0)

    def test_the_figures_are_those_of_the_whole_waveform(self):
        """Against an even, fine record of the same link, nothing passed over."""
        case = a_case(source=replace(PULSE, duration_s=6e-6), arrangement=Arrangement(series_ohm=100.0))
        model = case.model()
        times_s = np.arange(-1e-7, 12e-6, 1e-9)
        levels = solve_pulse(model, 900).at_load
        volts = link_volts(model, times_s).load_v
        whole = read_pulse(times_s, volts, levels, trailing_s(case.source) + model.line.delay_s).figures
        found = predict(case).load
        for name in ("amplitude_v", "pulse_duration_s", "rise_time_s", "fall_time_s"):
            assert getattr(found, name) == pytest.approx(getattr(whole, name), rel=2e-3)
        assert found.overshoot == pytest.approx(whole.overshoot, abs=1e-3)


class TestStarAgainstCircuitSimulator:
    """ngspice 39, three wires on one source, all true lines; here two of them are lumped."""

    CASES = [
        a_case(
            source=replace(PULSE, resistance_ohm=ohm, rise_s=edge_s, fall_s=1.2 * edge_s),
            others=(other("K2", length_m), other("K3", 0.7 * length_m, LinkLoad(22e3, 20e-12))),
        )
        for ohm, edge_s, length_m in [
            (100.0, 1e-7, 1.0), (100.0, 1e-7, 4.0), (100.0, 2e-7, 8.0), (250.0, 1e-7, 2.0),
            (250.0, 5e-8, 4.0), (600.0, 1e-7, 4.0), (600.0, 2e-7, 8.0), (1500.0, 1e-7, 8.0),
        ]
    ]  # fmt: skip

    def test_lumping_errs_by_no_more_than_is_told(self, tmp_path):
        stars = simulate_stars(self.CASES, tmp_path, step_s=2e-9, stop_s=3e-6)
        for case, star in zip(self.CASES, stars, strict=True):
            found = predict(case)
            amplitude_v = found.load.amplitude_v
            here = np.interp(star.times_s, found.volts.times_s, found.volts.load_v)
            assert float(np.abs(here - star.load_v).max()) <= (lumping_error(case) + 0.005) * amplitude_v
            turns_s = trailing_s(case.source) + case.delay_s
            levels = solve_pulse(case.model(), 900).at_load
            true = read_pulse(star.times_s, star.load_v, levels, turns_s).figures
            assert amplitude_v == pytest.approx(true.amplitude_v, rel=0.01)
            assert found.load.overshoot == pytest.approx(true.overshoot, abs=lumping_error(case) + 0.01)

    def test_where_it_may_err_it_is_said(self):
        words = " ".join(predict(self.CASES[4]).warnings)
        assert (
            "The other wires of the source are taken as lumps, which is fair while they are short beside the edge: "
            "K2 has 4.00\xa0m, so that while an edge passes the level, and the overshoot, may err by 17.1\xa0% of the "
            "amplitude, and the time of an edge by more." in words
        )
        assert "lumps" not in " ".join(predict(self.CASES[0]).warnings)


OHMS = st.floats(1e3, 1e6)


class TestLaws:
    @settings(max_examples=25, deadline=None)
    @given(st.floats(30.0, 2000.0), OHMS, st.floats(0.1, 0.9))
    def test_more_load_never_raises_the_amplitude(self, source_ohm, load_ohm, heavier):
        source = replace(PULSE, resistance_ohm=source_ohm)
        light = predict(a_case(source=source, load=LinkLoad(load_ohm, 30e-12))).load.amplitude_v
        heavy = predict(a_case(source=source, load=LinkLoad(heavier * load_ohm, 30e-12))).load.amplitude_v
        more = predict(a_case(source=source, load=LinkLoad(load_ohm, 60e-12))).load.amplitude_v
        assert heavy <= light * (1 + 1e-6)
        assert more <= light * 1.002

    @settings(max_examples=25, deadline=None)
    @given(st.floats(0.2, 8.0), st.floats(1.2, 3.0), st.floats(800.0, 3000.0))
    def test_a_longer_wire_brings_the_edge_to_the_load_later(self, length_m, longer, source_ohm):
        """On a damped link; where it rings, the ripple on the edge may pass the middle sooner on a longer wire."""
        source = replace(PULSE, resistance_ohm=source_ohm)
        arrivals = []
        for metres in (length_m, longer * length_m):
            model = a_case(source=source, length_m=metres).model()
            solved = solve_pulse(model, 900)
            times_s, volts = solved.volts.times_s, solved.volts.load_v
            arrivals.append(read_pulse(times_s, volts, solved.at_load, solved.turns_s + model.line.delay_s).leading_s)
        assert arrivals[1] > arrivals[0]

    @settings(max_examples=20, deadline=None)
    @given(st.floats(1.0, 12.0), st.floats(20.0, 2000.0))
    def test_nothing_reaches_the_load_before_the_wire_can_carry_it(self, length_m, source_ohm):
        volts = predict(a_case(source=replace(PULSE, resistance_ohm=source_ohm), length_m=length_m)).volts
        early = volts.times_s < length_m * WIRE.delay_s_per_m * (1 - 1e-6)
        # A time step of the solver, edge/32, may lie on both sides of the front.
        early &= volts.times_s < length_m * WIRE.delay_s_per_m - PULSE.rise_s / 32
        assert early.any()
        assert np.abs(volts.load_v[early]).max() <= 1e-3

    @settings(max_examples=20, deadline=None)
    @given(st.floats(0.2, 8.0), st.floats(1.05, 3.0))
    def test_between_matched_ends_the_delay_is_that_of_the_wire(self, length_m, longer):
        ohm = WIRE.impedance_ohm
        for metres in (length_m, longer * length_m):
            case = a_case(source=replace(PULSE, resistance_ohm=ohm), length_m=metres, load=LinkLoad(ohm))
            assert predict(case).load.delay_s == pytest.approx(case.delay_s, rel=1e-3, abs=5e-11)

    @settings(max_examples=20, deadline=None)
    @given(st.floats(0.1, 10.0), st.sampled_from([-1.0, 1.0]))
    def test_twice_the_source_is_twice_the_amplitude(self, factor, sign):
        one = predict(a_case())
        scaled = predict(a_case(source=replace(PULSE, active_v=20.0 * factor * sign)))
        assert scaled.load.amplitude_v == pytest.approx(factor * one.load.amplitude_v)
        assert scaled.load.overshoot == pytest.approx(one.load.overshoot, abs=1e-9)
        leading = (scaled.load.rise_time_s, scaled.load.fall_time_s)[:: int(sign)]
        assert leading == pytest.approx((one.load.rise_time_s, one.load.fall_time_s))


def test_a_sagging_source_is_solved_whole():
    source = replace(PULSE, duration_s=2e-6, droop_time_constant_s=10e-6)
    found = predict(a_case(source=source, load=LinkLoad(2000.0, 10e-12)))
    assert found.load.pulse_duration_s == pytest.approx(2e-6, rel=0.02)
    # Half way along, exp(-0.1) of 20 V through 2000/2250.
    assert found.load.amplitude_v == pytest.approx(20.0 * 2000 / 2250 * math.exp(-0.1), rel=0.02)


@pytest.mark.parametrize("case", [
    a_case(source=replace(PULSE, resistance_ohm=0.0)),
    a_case(source=replace(PULSE, rise_s=0.0, fall_s=0.0)),
    a_case(length_m=0.001),
    a_case(length_m=200.0),
    a_case(load=LinkLoad()),
    a_case(load=LinkLoad(1e6, 30e-12, grid_stopper_ohm=10e3)),
    a_case(arrangement=Arrangement(220.0, 10e3, 4700.0, 22e-12, 2200.0, 1e-9), others=(other(),)),
])  # fmt: skip
def test_odd_links_have_finite_figures(case):
    found = predict(case)
    for figures in (found.load, found.source):
        assert all(math.isfinite(value) for value in vars(figures).values())
        assert figures.amplitude_v > 0
        assert figures.pulse_duration_s > 0
    assert 0 < found.peak_drive_a < math.inf


def test_refusals():
    with pytest.raises(ValueError) as refused:
        predict(a_case(), points=10)
    assert str(refused.value) == "A prediction takes at least 200 points; 10 were asked for."
    with pytest.raises(ValueError) as refused:
        predict(a_case()).end("middle")
    assert str(refused.value) == "A link has the ends load and source; 'middle' was given."
    assert LOAD.capacitance_f == 30e-12
