"""Bench against place: the factors multiply to what is predicted, and the rest is named when it is one."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.in_place import (
    Arrangement,
    Measured,
    emf_from_bench,
    explain,
    fit,
    predict,
)
from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import LinkLoad
from tests.engineering.in_place.cases import PULSE, a_case, other
from tests.engineering.in_place.test_fitting import exact_records

BENCH_LOAD = LinkLoad(10e3, 30e-12)
BENCH_V = 20.0


def case_of(**changes):
    """A link whose source gives 20 V into the bench load."""
    emf_v = emf_from_bench(BENCH_V, BENCH_LOAD, 1000.0)
    source = replace(PULSE, active_v=emf_v, resistance_ohm=1000.0, duration_s=4e-6)
    return a_case(source=source, bench_load=BENCH_LOAD, **changes)


def explained(place_v, case, **more):
    return explain(Measured(BENCH_V, 0.2), BENCH_LOAD, Measured(place_v, 0.01 * place_v), case, **more)


@settings(max_examples=15, deadline=None)
@given(st.floats(1.0, 500.0), st.floats(1e3, 1e6), st.floats(0.0, 5e3))
def test_emf_gives_the_bench_figure_back(bench_v, load_ohm, drive_ohm):
    emf_v = emf_from_bench(bench_v, LinkLoad(load_ohm), drive_ohm)
    assert emf_v * load_ohm / (load_ohm + drive_ohm) == pytest.approx(bench_v)


@pytest.mark.parametrize(
    "case",
    [
        case_of(),
        case_of(load=LinkLoad(2000.0, 60e-12), others=(other("K2", 3.0, LinkLoad(3300.0, 20e-12)),)),
        case_of(arrangement=Arrangement(attenuator_ohm=2200.0, shunt_ohm=2200.0), probe=LinkLoad(1e6, 12e-12)),
    ],
)
def test_what_the_model_predicts_is_explained(case):
    found = explained(predict(case).load.amplitude_v, case)
    assert math.prod(factor.ratio for factor in found.factors) == pytest.approx(found.ratio, rel=5e-3)
    assert found.unexplained == pytest.approx(1.0, abs=5e-3)
    assert found.is_explained
    assert found.words[0].startswith("The model explains the amplitude in place to within the ")


def test_heavier_loads_in_place():
    case = case_of(load=LinkLoad(2000.0, 30e-12), others=(other("K2", 1.0, LinkLoad(2000.0)),))
    load = explained(11.0, case).factors[0]
    # 1/(1 + R/RL) in place over that on the bench.
    assert load.ratio == pytest.approx((1 + 0.1) / (1 + 1.0), rel=1e-3)
    assert load.words == "the loads in place have 1.00\xa0kΩ together, the bench load 10.0\xa0kΩ"


def test_parts_fitted_and_the_probe_are_factors_of_their_own():
    case = case_of(arrangement=Arrangement(shunt_ohm=1000.0), probe=LinkLoad(10e3, 12e-12))
    words = [factor.words for factor in explained(9.0, case).factors]
    assert words[3] == "parts are fitted: 1.00\xa0kΩ from the load terminal to earth"
    assert words[4] == "the probe loads the link while it is measured"


def test_capacitance_slows_the_edge():
    found = explain(
        Measured(2e-7, 5e-9),
        BENCH_LOAD,
        Measured(5e-7, 1e-8),
        case_of(load=LinkLoad(10e3, 200e-12)),
        quantity=Quantity.RISE_TIME,
    )
    assert found.factors[1].ratio > 1.5
    assert found.factors[1].words == "wires and loads have 236\xa0pF, the bench load 30.0\xa0pF"


def test_the_sites_own_drives_are_a_factor():
    constants = fit(exact_records())
    case = case_of(load=LinkLoad(1000.0, 30e-12))
    place_v = predict(constants.applied(case, "tinned copper", "")).load.amplitude_v
    found = explained(place_v, case, constants=constants, wire="tinned copper")
    assert found.factors[-1].words.startswith("the site's records have the drive resistance 1.")
    assert found.factors[-1].ratio < 0.93
    assert found.unexplained == pytest.approx(1.0, abs=5e-3)
    assert found.uncertainty < explained(place_v, case).uncertainty


def test_a_rest_that_is_too_large_is_named():
    case = case_of()
    found = explained(0.6 * predict(case).load.amplitude_v, case)
    assert not found.is_explained
    assert found.words[0].startswith(
        "The amplitude in place is 40.0\xa0% below what the model explains, and is known to "
    )
    assert found.words[1] == (
        "See whether the source has a load not listed, the rails are up in place, and the joints are sound."
    )


def test_a_peak_read_for_the_amplitude_is_suspected():
    source = replace(PULSE, resistance_ohm=40.0, rise_s=5e-8, fall_s=5e-8, duration_s=4e-6)
    case = a_case(source=source, length_m=5.0)
    predicted = predict(case).load
    found = explain(
        Measured(predicted.amplitude_v, 0.01),
        LinkLoad(47e3, 30e-12),
        Measured(predicted.amplitude_v * (1 + predicted.overshoot), 0.01),
        case,
    )
    assert predicted.overshoot > 0.3
    assert "see whether the peak was read for the amplitude." in found.words[1]


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        (lambda: Measured(0.0), "A figure to compare has to be above zero; 0.0 was given."),
        (lambda: Measured(math.nan), "value must be a finite number; nan was given."),
        (lambda: Measured(1.0, -1.0), "uncertainty must be zero or more and finite; -1.0 was given."),
        (
            lambda: explained(9.0, case_of(), quantity=Quantity.OVERSHOOT),
            "The overshoot has no ratio to compare; amplitude, pulse duration, rise time, fall time have.",
        ),
        (lambda: explained(9.0, case_of(), end="both"), "A link has the ends load and source; 'both' was given."),
        (lambda: emf_from_bench(math.inf, BENCH_LOAD, 10.0), "bench_v must be a finite number; inf was given."),
    ],
)
def test_nonsense_gets_a_sentence(wrong, sentence):
    with pytest.raises(ValueError) as refused:
        wrong()
    assert str(refused.value) == sentence
