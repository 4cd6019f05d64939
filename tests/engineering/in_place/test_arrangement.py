"""Parts on a wire: what can be, in words, and as plain data and back."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.in_place import BARE, Arrangement

OHMS = st.floats(1.0, 1e7)
FARADS = st.floats(1e-12, 1e-6)


@st.composite
def arrangements(draw):
    """Any arrangement that can be, bare ones among them."""
    has_attenuator, has_shunt = draw(st.booleans()), draw(st.booleans())
    return Arrangement(
        series_ohm=draw(st.just(0.0) | OHMS),
        source_shunt_ohm=draw(st.just(math.inf) | OHMS),
        attenuator_ohm=draw(OHMS) if has_attenuator else 0.0,
        attenuator_f=draw(st.just(0.0) | FARADS) if has_attenuator else 0.0,
        shunt_ohm=draw(OHMS) if has_shunt else math.inf,
        shunt_coupling_f=draw(st.just(math.inf) | FARADS) if has_shunt else math.inf,
    )


@given(arrangements())
def test_plain_data_and_back(arrangement):
    told = json.loads(json.dumps(arrangement.as_dict(), allow_nan=False))
    assert Arrangement.of_dict(told) == arrangement


@given(arrangements())
def test_what_is_told_is_what_is_there(arrangement):
    parts = arrangement.parts()
    assert len({part.role for part in parts}) == len(parts)
    assert arrangement.is_bare == (not parts)
    assert all(math.isfinite(part.value) and part.value > 0 for part in parts)
    assert arrangement.words.count(",") == max(0, len(parts) - 1)


def test_words_of_every_part():
    full = Arrangement(220.0, 10e3, 4700.0, 22e-12, 2200.0, 1e-9)
    assert full.words == (
        "220\xa0Ω in series at the source, 10.0\xa0kΩ from the source terminal to earth, "
        "4.70\xa0kΩ in series at the load, 22.0\xa0pF across the resistor in series at the load, "
        "2.20\xa0kΩ from the load terminal to earth, "
        "1.00\xa0nF in series with the resistor from the load terminal to earth"
    )
    assert [part.kind for part in full.parts()] == ["resistor"] * 3 + ["capacitor", "resistor", "capacitor"]
    assert BARE.words == "nothing fitted"


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"series_ohm": -1.0}, "series_ohm must be zero or more and finite; -1.0 was given."),
        ({"series_ohm": math.inf}, "series_ohm must be zero or more and finite; inf was given."),
        ({"shunt_ohm": 0.0}, "shunt_ohm must be more than zero; 0.0 was given."),
        ({"shunt_ohm": math.nan}, "shunt_ohm must be more than zero; nan was given."),
        (
            {"shunt_coupling_f": 1e-9},
            "A capacitor in series with the shunt needs a shunt; 1.00\xa0nF was given with none.",
        ),
        (
            {"attenuator_f": 1e-11},
            "A capacitor across the attenuator needs a resistor there; 10.0\xa0pF was given across 0 Ω.",
        ),
    ],
)
def test_nonsense_gets_a_sentence(given, sentence):
    with pytest.raises(ValueError) as refused:
        Arrangement(**given)
    assert str(refused.value) == sentence


@pytest.mark.parametrize("value", ["330", None, True, [1.0]])
def test_data_that_is_no_number_is_refused(value):
    with pytest.raises(ValueError) as refused:
        Arrangement.of_dict({"series_ohm": value})
    assert str(refused.value) == (f"The value at series_ohm has to be a number of ohms or farads; {value!r} was given.")
