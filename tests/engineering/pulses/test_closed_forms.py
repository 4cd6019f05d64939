"""Figures against closed forms; the tolerance and its reason stand beside each."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import erf, erfinv

from restoration.engineering.pulses import measure
from tests.engineering.pulses.waves import second_order_step, trace_of, trapezoid

NS = 1e-9


def test_trapezoid():
    """0 to 5 V, rise 100, top 300, fall 200, period 1000 ns: 80, 160, 450 ns, duty 0.45 by plain arithmetic.

    Straight edges sampled on their corners are interpolated without error, so the tolerance is rounding only.
    """
    found = measure(trace_of(trapezoid()))

    assert (found.low_level_v, found.high_level_v, found.amplitude_v) == (0.0, 5.0, 5.0)
    assert (found.minimum_v, found.maximum_v, found.peak_to_peak_v) == (0.0, 5.0, 5.0)
    assert found.rise_time_s.value_s == pytest.approx(80 * NS, rel=1e-9)
    assert found.fall_time_s.value_s == pytest.approx(160 * NS, rel=1e-9)
    assert found.pulse_duration_s == pytest.approx(450 * NS, rel=1e-9)
    assert found.period_s == pytest.approx(1000 * NS, rel=1e-9)
    assert found.frequency_hz == pytest.approx(1e6, rel=1e-9)
    assert found.duty == pytest.approx(0.45, rel=1e-9)
    assert found.jitter_s == pytest.approx(0.0, abs=1e-15)
    assert (found.overshoot, found.undershoot, found.preshoot) == (0.0, 0.0, 0.0)
    assert (found.rising_edges, found.falling_edges) == (5, 5)
    assert found.polarity == "positive pulse"
    # From the 50 % instant to 2 % below the top: 0.48 of 100 ns.
    assert found.settling_s == pytest.approx(0.48 * 200 * NS, rel=1e-9)


@pytest.mark.parametrize("fraction", [0.1, 0.37, 0.5, 0.83])
def test_trapezoid_off_its_corners(fraction):
    """Corners between samples: the line between samples is exact on straight edges, so 1e-6 is ample."""
    at = np.arange(5000) + fraction
    found = measure(trace_of(np.interp(at % 1000, [0, 100, 400, 600, 1000], [0, 5, 5, 0, 0])))

    assert found.rise_time_s.value_s == pytest.approx(80 * NS, rel=1e-6)
    assert found.fall_time_s.value_s == pytest.approx(160 * NS, rel=1e-6)
    assert found.pulse_duration_s == pytest.approx(450 * NS, rel=1e-6)


def test_rc_edge():
    """1 - exp(-t/RC): 10 to 90 % takes ln 9 RC; settles to 2 % at ln 50 RC, ln 2 RC after its middle is subtracted.

    Tolerance 0.1 %: the top is approached without end, and its level is known to part of a bin of 1/4096.
    """
    rc = 1000.0
    at = np.arange(-2000, 14000)
    found = measure(trace_of(np.where(at > 0, 1.0 - np.exp(-np.maximum(at, 0) / rc), 0.0)))

    assert found.low_level_v == 0.0
    assert found.high_level_v == pytest.approx(1.0, abs=1e-4)
    assert found.rise_time_s.value_s == pytest.approx(math.log(9.0) * rc * NS, rel=1e-3)
    assert found.settling_s == pytest.approx((math.log(50.0) - math.log(2.0)) * rc * NS, rel=2e-3)
    assert found.overshoot == 0.0
    assert found.ringing_hz is None
    assert found.polarity == "step up"


def test_rc_discharge_is_the_same_downwards():
    """The falling RC edge is the rising one upside down; same tolerance."""
    rc = 500.0
    at = np.arange(-2000, 8000)
    found = measure(trace_of(np.where(at > 0, 31.0 * np.exp(-np.maximum(at, 0) / rc), 31.0)))

    assert found.polarity == "step down"
    assert found.fall_time_s.value_s == pytest.approx(math.log(9.0) * rc * NS, rel=3e-3)
    assert found.rise_time_s.value_s is None
    assert found.reasons["rise_time_s"] == "There is no rising edge in the trace."


def test_gaussian_edge():
    """(1 + erf(t / sigma sqrt 2)) / 2: 10 to 90 % takes 2 sqrt 2 erfinv(0.8) sigma = 2.5631031311 sigma.

    Tolerance 1e-4: straight lines on a smooth edge of 200 samples a sigma.
    """
    sigma = 200.0
    at = np.arange(-3000, 3000)
    found = measure(trace_of(0.5 * (1.0 + erf(at / (sigma * math.sqrt(2.0))))))

    wanted = 2.0 * math.sqrt(2.0) * float(erfinv(0.8)) * sigma
    assert wanted == pytest.approx(2.5631031311 * sigma, rel=1e-9)
    assert found.rise_time_s.value_s == pytest.approx(wanted * NS, rel=1e-4)


def test_raised_cosine_edge():
    """(1 - cos(pi t/T)) / 2 over T: 10 to 90 % takes 0.5903344707 T. Tolerance 1e-4 at 1000 samples an edge."""
    length = 1000.0
    part = np.clip(np.arange(-1000, 3000) / length, 0.0, 1.0)
    found = measure(trace_of(0.5 * (1.0 - np.cos(np.pi * part))))

    assert found.rise_time_s.value_s == pytest.approx(0.5903344707 * length * NS, rel=1e-4)


# Damping, overshoot, 10 to 90 %, 50 % instant, 2 % settling: closed forms solved numerically for natural frequency 1.
SECOND_ORDER = [
    (0.1, 0.72924761, 1.104199, 1.088419, 38.3832),
    (0.2, 0.52662060, 1.203430, 1.133267, 19.6019),
    (0.3, 0.37232610, 1.321340, 1.182168, 11.2300),
    (0.5, 0.16303353, 1.637573, 1.294039, 8.0763),
    (0.7, 0.04598791, 2.126202, 1.428059, 5.9787),
    (0.8, 0.01516462, 2.467493, 1.504590, 3.7558),
]


@pytest.mark.parametrize(("damping", "overshoot", "rise", "middle", "settling"), SECOND_ORDER)
@pytest.mark.parametrize("turned", [False, True], ids=["up", "down"])
def test_second_order_step(damping, overshoot, rise, middle, settling, turned):
    """Overshoot exp(-pi z / sqrt(1 - z^2)), undershoot its square, ringing at sqrt(1 - z^2) / 2 pi, decay 1 / z.

    Tolerances: 1e-4 of the amplitude on excursions, 2e-4 on edges and settling, from straight lines at 100 samples a
    unit of time. At z = 0.1 the ring has not died away after 60 (0.25 % is left), and the level is known to that:
    0.5 %, and 1.2 % on settling, whose last passage of the band that moves. Ringing 0.02 % and decay 0.5 %, from
    crossings and peaks above 0.2 %.
    """
    interval = 0.01
    values = second_order_step(damping, np.arange(-10.0, 60.0, interval))
    found = measure(trace_of(-values if turned else values, interval))

    edge = found.fall_time_s if turned else found.rise_time_s
    died_away = damping > 0.15
    assert found.polarity == ("step down" if turned else "step up")
    assert edge.value_s == pytest.approx(rise, rel=2e-4 if died_away else 3e-3)
    assert found.overshoot == pytest.approx(overshoot, abs=1e-4 if died_away else 5e-3)
    undershoot = overshoot**2 if overshoot**2 > 5e-4 else 0.0  # less is not told from the resolution of the levels
    assert found.undershoot == pytest.approx(undershoot, abs=1e-4 if died_away else 5e-3)
    assert found.settling_s == pytest.approx(settling - middle, rel=2e-4 if died_away else 1.2e-2)
    w = math.sqrt(1.0 - damping**2)
    if damping <= 0.5:
        assert found.ringing_hz == pytest.approx(w / (2.0 * math.pi), rel=2e-4)
        assert found.ringing_decay_s == pytest.approx(1.0 / damping, rel=5e-3)
    else:
        assert found.ringing_hz is None
        assert found.reasons["ringing_hz"] == "No ringing stands out of the noise for a whole cycle after any edge."


@pytest.mark.parametrize(("damping", "overshoot", "rise", "middle"), [row[:4] for row in SECOND_ORDER])
def test_table_of_second_order_steps_follows_its_formula(damping, overshoot, rise, middle):
    """The table above against the formula solved by scipy, to its last printed digit."""

    def level(at):
        return float(second_order_step(damping, np.array([at]))[0])

    top = math.pi / math.sqrt(1.0 - damping**2)
    t10, t50, t90 = (brentq(lambda at, wanted=wanted: level(at) - wanted, 1e-9, top) for wanted in (0.1, 0.5, 0.9))

    assert math.exp(-math.pi * damping / math.sqrt(1.0 - damping**2)) == pytest.approx(overshoot, abs=1e-8)
    assert t90 - t10 == pytest.approx(rise, abs=1e-6)
    assert t50 == pytest.approx(middle, abs=1e-6)


@pytest.mark.parametrize("damping", [0.1, 0.2, 0.3, 0.5])
def test_ring_without_a_baseline_is_not_taken_for_a_state(damping):
    """A step that begins with its record: splitting the range in halves would call a dip of the ring the low state.

    Tolerance 2 % of the amplitude: the low state is seen only as the flat beginning of the edge.
    """
    found = measure(trace_of(second_order_step(damping, np.arange(0.0, 60.0, 0.01)), 0.01))

    assert found.low_level_v == pytest.approx(0.0, abs=0.02)
    assert found.high_level_v == pytest.approx(1.0, abs=0.005)
    assert (found.rising_edges, found.falling_edges) == (1, 0)


def test_gaussian_pulse_has_the_width_of_its_formula():
    """exp(-t^2 / 2 sigma^2) has no flat top; 50 % of its peak is 2 sqrt(2 ln 2) sigma wide. Tolerance 1 %: the level
    of a peak is that of its topmost bins."""
    sigma = 40.0
    found = measure(trace_of(20.0 * np.exp(-(((np.arange(2000) - 900.0) / sigma) ** 2) / 2.0)))

    assert found.polarity == "positive pulse"
    assert found.pulse_duration_s == pytest.approx(2.0 * math.sqrt(2.0 * math.log(2.0)) * sigma * NS, rel=1e-2)


def test_exponential_spike_is_measured_from_its_peak_and_says_so():
    """A pulse that leaves its top at once: its peak stands for the level; half of it is left after ln 2 tau."""
    at = np.arange(2000) - 700.0
    found = measure(trace_of(np.where(at > 0, 20.0 * np.exp(-np.maximum(at, 0.0) / 60.0), 0.0)))

    assert found.high_level_v == pytest.approx(20.0 * math.exp(-1.0 / 60.0), rel=1e-9)
    assert found.pulse_duration_s == pytest.approx(math.log(2.0) * 60.0 * NS, rel=0.02)
    assert "The trace has no flat high state; the mean of its peaks was taken as that level." in found.warnings


def test_jitter_of_known_offsets():
    """Periods that take turns between 990 and 1010 samples: standard deviation of the sequence, computed here.

    Tolerance 1e-3: the middle of each edge is a straight line between two samples.
    """
    starts = np.concatenate(([200], 200 + np.cumsum(np.tile([990, 1010], 10))))
    values = np.zeros(starts[-1] + 400)
    for start in starts:
        values += np.interp(np.arange(values.size), [start, start + 10, start + 210, start + 220], [0, 5, 5, 0])
    found = measure(trace_of(values))

    assert found.period_s == pytest.approx(1000 * NS, rel=1e-9)
    assert found.jitter_s == pytest.approx(np.diff(starts).std(ddof=1) * NS, rel=1e-3)
