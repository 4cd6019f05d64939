"""A case fitted to what was seen: hidden sources are found again, and what was not seen stays as it was."""

import math
from dataclasses import replace

import pytest

from restoration.engineering.in_place import Arrangement, LinkCase, WireConstants, predict
from restoration.engineering.in_place.matching import SPREADS, Seen, match, uncertainty_of
from restoration.engineering.link_model import LinkLoad, PulseSource

DRAWN = LinkCase(
    PulseSource(0.0, 20.0, 2.4e-6, 200e-9, 250e-9, resistance_ohm=130.0),
    length_m=3.0,
    wire=WireConstants(14e-12, 0.95e-6),
    load=LinkLoad(100e3, 22e-12),
    probe=LinkLoad(10e6, 12e-12),
)
READ = ("amplitude", "pulse_duration", "rise_time", "fall_time", "overshoot")
HIDDEN = {
    "tall": PulseSource(0.0, 31.0, 2.4e-6, 200e-9, 250e-9, resistance_ohm=130.0),
    "stiff and quick": PulseSource(0.0, 20.0, 2.4e-6, 45e-9, 72e-9, resistance_ohm=40.0),
    "tall, stiff and quick": PulseSource(0.0, 32.0, 2.4e-6, 60e-9, 90e-9, resistance_ohm=60.0),
    "short": PulseSource(0.0, 20.0, 1.8e-6, 200e-9, 250e-9, resistance_ohm=130.0),
    "negative": PulseSource(0.0, -28.0, 2.4e-6, 90e-9, 200e-9, resistance_ohm=70.0),
}


def seen_of(case, quantities=READ):
    figures = predict(case).load
    return [Seen("load", name, figures.get(name), uncertainty_of(name, figures.get(name), None)) for name in quantities]


@pytest.mark.parametrize("name", HIDDEN)
def test_a_hidden_source_is_found_well_enough_to_say_what_a_damper_will_do(name):
    """Built from the answer: figures of a hidden source; the fitted case foretells it with other parts on the wire."""
    hidden = replace(DRAWN, source=HIDDEN[name])
    drawn = replace(DRAWN, source=replace(DRAWN.source, active_v=math.copysign(20.0, hidden.source.active_v)))
    found = match(drawn, seen_of(hidden))
    assert found.unexplained == ()
    for parts in (Arrangement(series_ohm=150.0), Arrangement(series_ohm=100.0, shunt_ohm=1200.0)):
        expected, foretold = (predict(replace(case, arrangement=parts)).load for case in (hidden, found.case))
        assert foretold.amplitude_v == pytest.approx(expected.amplitude_v, rel=0.05)
        assert foretold.overshoot == pytest.approx(expected.overshoot, abs=0.04)


def test_a_light_load_cannot_tell_a_weak_source_from_a_slow_one():
    """The limit of it: both explain the figures at a light load, and a heavy shunt would part them."""
    hidden = replace(DRAWN, source=PulseSource(0.0, 16.0, 2.4e-6, 200e-9, 250e-9, resistance_ohm=900.0))
    found = match(DRAWN, seen_of(hidden))
    assert found.unexplained == ()
    assert found.case.source.resistance_ohm < 0.6 * 900.0
    shunted = [predict(replace(case, arrangement=Arrangement(shunt_ohm=1200.0))).load for case in (hidden, found.case)]
    assert shunted[1].amplitude_v > 1.2 * shunted[0].amplitude_v


def test_what_was_not_seen_stays_as_it_was_given():
    found = match(DRAWN, [Seen("load", "amplitude", 31.0, 0.2)])
    assert predict(found.case).load.amplitude_v == pytest.approx(31.0, rel=0.01)
    assert found.factors["height"] == pytest.approx(1.55, rel=0.02)
    others = [found.factors[name] for name in SPREADS if name != "height"]
    assert others == pytest.approx([1.0] * 6, abs=0.03)


def test_a_case_that_agrees_already_moves_nothing():
    found = match(DRAWN, seen_of(DRAWN))
    assert list(found.factors.values()) == pytest.approx([1.0] * 7, abs=0.02)


def test_what_no_source_within_reason_explains_is_named():
    impossible = Seen("load", "amplitude", 2000.0, 1.0)
    assert match(DRAWN, [impossible]).unexplained == (impossible,)


def test_nothing_telling_is_refused():
    with pytest.raises(ValueError, match="Nothing that was seen tells of source or wire"):
        match(DRAWN, [Seen("load", "delay", 1e-8, 1e-9)])


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (("middle", "amplitude", 1.0, 0.1), "A figure is read at the load or the source end; 'middle' was given."),
        (("load", "amplitude", math.nan, 0.1), "value must be a finite number; nan was given."),
        (("load", "amplitude", 1.0, 0.0), "standard_uncertainty must be more than zero; 0.0 was given."),
    ],
)
def test_a_figure_that_cannot_be_meant_is_refused(given, sentence):
    with pytest.raises(ValueError) as refused:
        Seen(*given)
    assert str(refused.value) == sentence


def test_no_figure_is_taken_for_more_certain_than_reading_leaves_it():
    assert uncertainty_of("amplitude", 20.0, 1.2) == 0.6
    assert uncertainty_of("rise_time", 1e-7, None) == pytest.approx(2e-9)
    assert uncertainty_of("overshoot", 0.0, 0.0) == 0.01
    with pytest.raises(ValueError, match="value must be a finite number"):
        uncertainty_of("amplitude", math.inf, None)
