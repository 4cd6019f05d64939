"""Good, troubled and conditioned states of an interconnect, and the figures read from them."""

import math
from dataclasses import replace

import numpy as np
import pytest

from restoration.kestrel.link_physics import conditioned_state, figures_of, good_state, troubled_state, well_within
from restoration.kestrel.machine_plan import machine_plan

PLAN = machine_plan()
LINK = next(link for link in PLAN.interconnects if link.signal == "digit pulse" and "C-03/2" in link.loads)
SIGNAL = PLAN.signal_by_name["digit pulse"]
GOOD = good_state(LINK, SIGNAL, np.random.default_rng(1))


def test_figures_of_a_plain_pulse_are_those_of_its_trapezoid():
    """Closed form: a matched source over almost no wire; tolerance 1 %, 10 to 90 % is 0.8 of a straight edge."""
    state = replace(
        GOOD,
        active_v=20.0,
        duration_s=2e-6,
        rise_s=200e-9,
        fall_s=300e-9,
        source_ohm=50.0,
        impedance_ohm=50.0,
        delay_s=1e-9,
        load_ohm=1e6,
        load_f=0.0,
        beside_ohm=math.inf,
        beside_f=0.0,
    )
    figures = figures_of(state)
    assert figures.amplitude_v == pytest.approx(20.0, rel=0.001)
    assert figures.pulse_duration_s == pytest.approx(2e-6, rel=0.01)
    assert figures.rise_time_s == pytest.approx(160e-9, rel=0.01)
    assert figures.fall_time_s == pytest.approx(240e-9, rel=0.01)
    assert figures.overshoot < 0.001


def test_rise_is_the_positive_going_edge_of_a_negative_pulse_too():
    state = replace(GOOD, active_v=-GOOD.active_v, rise_s=100e-9, fall_s=300e-9, beside_f=0.0)
    figures = figures_of(state)
    assert figures.rise_time_s > 2 * figures.fall_time_s
    assert figures.amplitude_v > 0


def test_every_link_of_the_machine_is_good_when_nothing_is_wrong():
    for link in PLAN.interconnects:
        signal = PLAN.signal_by_name[link.signal]
        assert well_within(figures_of(good_state(link, signal, np.random.default_rng(int(link.code)))), signal)


@pytest.mark.parametrize(
    ("trouble", "is_seen"),
    [
        ("rings", lambda figures: figures.overshoot > 0.1),
        ("tall", lambda figures: figures.amplitude_v > 20),
        ("low", lambda figures: figures.amplitude_v < 15),
        ("short", lambda figures: figures.pulse_duration_s < 2.2e-6),
        ("slow", lambda figures: figures.rise_time_s > 0.35e-6),
    ],
)
def test_each_trouble_shows_in_its_own_figure(trouble, is_seen):
    assert not is_seen(figures_of(GOOD))
    assert is_seen(figures_of(troubled_state(GOOD, SIGNAL, trouble)))


def test_a_damper_is_one_resistor_and_an_attenuator_two():
    damped = conditioned_state(troubled_state(GOOD, SIGNAL, "rings"), SIGNAL, "rings")
    attenuated = conditioned_state(troubled_state(GOOD, SIGNAL, "tall"), SIGNAL, "tall")
    assert (damped.series_ohm > 0, damped.shunt_ohm) == (True, math.inf)
    assert (attenuated.series_ohm > 0, attenuated.shunt_ohm) == (True, 1200.0)
    assert well_within(figures_of(damped), SIGNAL)
    assert figures_of(attenuated).amplitude_v == pytest.approx(17.5, rel=0.08)


def test_a_trouble_without_a_name_is_refused():
    with pytest.raises(ValueError) as refused:
        troubled_state(GOOD, SIGNAL, "tired")
    assert str(refused.value) == "There is no trouble called 'tired'; there are rings, tall, low, short and slow."


def test_what_no_resistor_cures_is_refused():
    with pytest.raises(ValueError) as refused:
        conditioned_state(troubled_state(GOOD, SIGNAL, "low"), SIGNAL, "low")
    assert str(refused.value) == ("No preferred resistor brings 'digit pulse' inside its limits from the state given.")
