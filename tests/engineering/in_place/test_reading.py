"""Figures read off computed pulses against closed forms, and against the measurement of captures."""

import math

import numpy as np
import pytest

from restoration.engineering.captures.record import Trace
from restoration.engineering.in_place import Arrangement, LinkCase, PulseFigures, WireConstants, predict
from restoration.engineering.in_place.reading import Levels, read_pulse
from restoration.engineering.link_model import LinkLoad, PulseSource, link_volts
from restoration.engineering.pulses import measure

NS = 1e-9
TIMES_S = np.arange(-100, 3000) * NS


def trapezoid(low=0.0, high=1.0):
    return low + (high - low) * np.interp(TIMES_S, np.array([0, 100, 400, 600]) * NS, [0.0, 1.0, 1.0, 0.0])


class TestClosedForms:
    def test_a_trapezoid(self):
        """0.8 of each ramp, the half-way points apart: IEEE 181 definitions."""
        found = read_pulse(TIMES_S, trapezoid(-3.0, 5.0), Levels(-3.0, 5.0), 400 * NS)
        assert found.figures.rise_time_s == pytest.approx(80 * NS)
        assert found.figures.fall_time_s == pytest.approx(160 * NS)
        assert found.figures.pulse_duration_s == pytest.approx(450 * NS)
        assert (found.figures.amplitude_v, found.figures.low_level_v) == (8.0, -3.0)
        assert (found.figures.overshoot, found.figures.undershoot, found.settled) == (0.0, 0.0, True)

    def test_rise_is_the_edge_that_goes_up(self):
        """A negative-going pulse: its leading edge falls."""
        found = read_pulse(TIMES_S, trapezoid(5.0, -3.0), Levels(5.0, -3.0), 400 * NS).figures
        assert found.fall_time_s == pytest.approx(80 * NS)
        assert found.rise_time_s == pytest.approx(160 * NS)
        assert (found.amplitude_v, found.high_level_v) == (8.0, 5.0)

    def test_a_pulse_that_climbs_till_its_end(self):
        """1 - exp(-t/T) for one T: 63.2 % is reached, and that is its amplitude."""
        up = -np.expm1(-np.clip(TIMES_S, 0.0, 500 * NS) / (500 * NS))
        volts = up * np.exp(-np.clip(TIMES_S - 500 * NS, 0.0, None) / (50 * NS))
        found = read_pulse(TIMES_S, volts, Levels(0.0, 1.0), 500 * NS)
        reached = 1 - math.exp(-1)
        assert not found.settled
        assert found.figures.amplitude_v == pytest.approx(reached, rel=1e-6)
        instants = [-500 * math.log(1 - part * reached) for part in (0.1, 0.9)]
        assert found.figures.rise_time_s == pytest.approx((instants[1] - instants[0]) * NS, rel=1e-3)
        assert found.figures.fall_time_s == pytest.approx(math.log(9) * 50 * NS, rel=1e-2)

    def test_ringing_leaves_the_level_and_shows_as_overshoot(self):
        """A second-order step, damping 0.3: overshoot exp(-pi z/sqrt(1 - z^2)) = 37.23 %."""
        damping, angular = 0.3, 2 * math.pi * 10e6
        rate, turning = damping * angular, angular * math.sqrt(1 - damping**2)
        since = np.clip(TIMES_S, 0.0, None)
        step = 1 - np.exp(-rate * since) * (np.cos(turning * since) + rate / turning * np.sin(turning * since))
        later = np.interp(TIMES_S - 1500 * NS, TIMES_S, step, left=0.0)
        found = read_pulse(TIMES_S, step - later, Levels(0.0, 1.0), 1500 * NS)
        assert found.settled
        assert found.figures.amplitude_v == 1.0
        assert found.figures.overshoot == pytest.approx(0.3723256, abs=2e-3)
        assert found.figures.undershoot == pytest.approx(0.3723256**2, abs=2e-3)
        assert not found.again

    def test_a_trace_that_rings_past_the_middle_is_told(self):
        since = np.clip(TIMES_S, 0.0, None)
        step = 1 - np.exp(-since / (200 * NS)) * np.cos(2 * math.pi * 10e6 * since)
        later = np.interp(TIMES_S - 1500 * NS, TIMES_S, step, left=0.0)
        assert read_pulse(TIMES_S, step - later, Levels(0.0, 1.0), 1500 * NS).again

    def test_a_top_that_sags(self):
        volts = trapezoid() * (1.2 - TIMES_S / (1500 * NS))
        found = read_pulse(TIMES_S, volts, Levels(0.0, 1.1), 400 * NS)
        assert 0.93 < found.figures.amplitude_v < 1.1


def test_a_quantity_without_a_computed_figure_is_none():
    figures = PulseFigures(5.0, 1e-6, 1e-7, 1e-7, 0.1, 0.0, 2e-8, 0.0, 5.0)
    assert figures.get("preshoot") is None
    assert figures.get("low_level") == 0.0
    with pytest.raises(ValueError, match="'height' is not a valid Quantity"):
        figures.get("height")


def _cases():
    """Links that settle: every sort of arrangement, both polarities."""
    luck = np.random.default_rng(181)
    arrangements = [
        Arrangement(),
        Arrangement(series_ohm=180.0),
        Arrangement(attenuator_ohm=2200.0, attenuator_f=22e-12, shunt_ohm=4700.0),
        Arrangement(shunt_ohm=1000.0),
    ]
    for number in range(16):
        edge_s = luck.uniform(40, 250) * NS
        source = PulseSource(
            luck.choice([0.0, -5.0]),
            luck.choice([20.0, -25.0]),
            20 * edge_s,
            edge_s,
            1.3 * edge_s,
            luck.uniform(60, 500),
        )
        wire = WireConstants(luck.uniform(10, 15) * 1e-12, luck.uniform(0.7, 1.1) * 1e-6)
        load = LinkLoad(luck.uniform(5e3, 200e3), luck.uniform(5, 60) * 1e-12)
        yield LinkCase(source, luck.uniform(0.3, 8.0), wire, load, arrangement=arrangements[number % 4])


@pytest.mark.parametrize("case", list(_cases()))
def test_a_capture_of_the_same_waveform_is_measured_alike(case):
    """Against `pulses.measure` on an even record: levels within 1 % of the amplitude, times within 3 %, excursions
    within 1.5 % of the amplitude. The histogram does not know the circuit; these are what it may differ by."""
    edge_s, duration_s = case.source.rise_s, case.source.duration_s
    times_s = np.arange(-duration_s, 3 * duration_s, edge_s / 50)
    volts = link_volts(case.model(), times_s)
    predicted = predict(case)
    for trace_v, figures in ((volts.load_v, predicted.load), (volts.source_v, predicted.source)):
        measured = measure(Trace("CH1", 0.0, float(times_s[1] - times_s[0]), trace_v))
        assert figures.amplitude_v == pytest.approx(measured.amplitude_v, rel=0.01)
        assert figures.pulse_duration_s == pytest.approx(measured.pulse_duration_s, rel=0.01)
        assert figures.rise_time_s == pytest.approx(measured.rise_time_s.value_s, rel=0.03)
        assert figures.fall_time_s == pytest.approx(measured.fall_time_s.value_s, rel=0.03)
        if measured.overshoot is not None:
            assert figures.overshoot == pytest.approx(measured.overshoot, abs=0.015)


def test_a_trace_that_comes_to_no_second_edge_is_refused():
    """A capacitor that empties far slower than the record lasts."""
    volts = -np.expm1(-np.clip(TIMES_S, 0.0, 400 * NS) / (300_000 * NS))
    with pytest.raises(ValueError) as refusal:
        read_pulse(TIMES_S, volts, Levels(0.0, 1.0), 400 * NS)
    assert str(refusal.value) == (
        "The pulse of this link does not pass half of its height and come back while it is looked at, so no figure "
        "can be read of it: look at the capacitances, the resistances and the length given for it."
    )
