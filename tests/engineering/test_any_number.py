"""Whatever numbers are given, there is an answer without NaN in it, or a refusal in a whole sentence."""

import dataclasses
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.crosstalk import crosstalk_bound, steepest_slope
from restoration.engineering.dividers import (
    Divider,
    best_pairs,
    charged_part,
    check_rating,
    compensation,
    corners,
    halving,
    parallel,
    solve,
    spread,
    uncompensated,
)
from restoration.engineering.fan_out import Drive, HungLoad, fan_out
from restoration.engineering.preferred_values import nearest, neighbours, values_between
from restoration.engineering.probe import Probe, probe_loading
from restoration.engineering.rise_time import (
    bandwidth_of_rise,
    combined_rise_s,
    equal_stages_rise_s,
    quadrature_error,
    rc_rise_s,
    rise_of_bandwidth,
    staged_rise_s,
    true_edge,
)
from restoration.engineering.second_order import resonance_hz
from restoration.engineering.timing_budget import Step, budget

ASKED = {
    "parallel": (3, parallel),
    "solve": (5, lambda *given: solve(Divider(*given))),
    "halving": (3, halving),
    "charged part": (3, charged_part),
    "corners": (7, lambda *given: corners(Divider(*given[:5]), *given[5:])),
    "spread": (7, lambda *given: spread(Divider(*given[:5]), *given[5:])),
    "best pairs": (6, lambda *given: best_pairs(*given[:4], given[4:])),
    "rating": (5, check_rating),
    "compensation": (3, compensation),
    "uncompensated": (5, lambda *given: uncompensated(*given[:4], source_ohm=given[4])),
    "rc rise": (2, rc_rise_s),
    "combined rise": (3, combined_rise_s),
    "bandwidth": (1, bandwidth_of_rise),
    "rise of bandwidth": (1, rise_of_bandwidth),
    "equal stages": (1, lambda constant_s: equal_stages_rise_s(constant_s, 3)),
    "stages": (3, lambda *given: staged_rise_s(given)),
    "quadrature": (2, lambda *given: quadrature_error(given)),
    "true edge": (5, lambda *given: true_edge(*given[:4], instrument_tolerance=given[4])),
    "ringing": (2, resonance_hz),
    "probe": (6, lambda *given: probe_loading(Probe(*given[:3], 0.1), *given[3:5], pulse_s=given[5])),
    "budget": (5, lambda *given: budget([Step("a", *given[:3]), Step("b", given[3])], given[4])),
    "fan-out": (7, lambda *given: fan_out(Drive(*given[:4]), [HungLoad("a", *given[4:])])),
    "slope": (2, steepest_slope),
    "crosstalk": (6, lambda *given: crosstalk_bound(*given[:5], threshold_v=given[5])),
    "values between": (2, lambda *given: values_between("E6", *given)),
    "nearest": (1, lambda value: nearest("E24", value)),
    "neighbours": (1, lambda value: neighbours("E24", value)),
}
USUAL = st.sampled_from([0.0, 1e-12, 1e-9, 1e-6, 1e-3, 0.05, 0.5, 1.0, 10.0, 1e3, 1e6, math.inf, math.nan, -1.0])
NUMBERS = st.one_of(USUAL, st.floats(min_value=0.0, exclude_min=True), st.floats())


def numbers_in(answer):
    if isinstance(answer, float):
        yield answer
    elif isinstance(answer, tuple):
        for part in answer:
            yield from numbers_in(part)
    elif dataclasses.is_dataclass(answer):
        yield from numbers_in(tuple(getattr(answer, field.name) for field in dataclasses.fields(answer)))


@pytest.mark.parametrize("name", list(ASKED))
@settings(deadline=None, max_examples=60)
@given(data=st.data())
def test_an_answer_or_a_sentence(name, data):
    count, asked = ASKED[name]
    given_numbers = data.draw(st.tuples(*[NUMBERS] * count))
    answer, sentence = None, ""
    try:
        answer = asked(*given_numbers)
    except ValueError as refused:
        sentence = str(refused)
    assert answer is not None or (sentence.endswith(".") and " " in sentence)
    assert not any(math.isnan(number) for number in numbers_in(answer))
