"""Parts as an address names them, and as people type them."""

import pytest
from django.http import QueryDict

from restoration.conditioning.choosing import Chosen, TryForm, read_choice
from restoration.engineering.in_place import Arrangement


def test_a_choice_is_read_as_it_is_written():
    chosen = Chosen(Arrangement(series_ohm=330.0, shunt_ohm=1000.0), {"series_ohm": "stores-12", "shunt_ohm": "E24-r"})
    assert chosen.words == "series_ohm:330.0@stores-12,shunt_ohm:1000.0@E24-r"
    assert read_choice(chosen.words) == chosen
    assert chosen.stores_lines == {"series_ohm": 12}


def test_nothing_on_the_link_is_a_choice_too():
    assert read_choice("nothing").arrangement.is_bare
    assert Chosen(Arrangement(), {}).words == "nothing"


def test_a_key_that_is_no_number_names_no_line():
    assert Chosen(Arrangement(series_ohm=1.0), {"series_ohm": "stores-x"}).stores_lines == {}


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("lid:1", "“lid:1” names no part of a link; choose one from the list again."),
        ("series_ohm:tall", "“series_ohm:tall” gives no value; choose a part from the list again."),
        ("series_ohm:nan", "series_ohm must be zero or more and finite; nan was given."),
        ("shunt_ohm:-3", "shunt_ohm must be more than zero; -3.0 was given."),
        (
            "series_ohm:1,series_ohm:2",
            "“series_ohm:2” is a second part in the same place; choose one from the list again.",
        ),
        ("series_ohm:1," * 60, "The address names parts in 780 letters, and at most 600 are read."),
    ],
)
def test_what_is_no_choice_is_refused_in_a_sentence(words, sentence):
    with pytest.raises(ValueError, match="^" + sentence.replace(".", r"\.")):
        read_choice(words)


def test_values_are_typed_as_people_write_them():
    form = TryForm(QueryDict("attenuator_ohm=4k7&attenuator_f=47p&shunt_ohm=1k&series_ohm="))
    assert form.is_valid()
    assert form.arrangement == Arrangement(attenuator_ohm=4700.0, attenuator_f=47e-12, shunt_ohm=1000.0)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("series_ohm=0", "A part that is there has a value above 0 Ω; leave the field empty for none."),
        (
            "attenuator_ohm=1&attenuator_f=-4",
            "A part that is there has a value above 0 F; leave the field empty for none.",
        ),
        ("series_ohm=much", "“much” was given, and this is a resistance: 0.4, 1k5 or 22M, say."),
        (
            "attenuator_f=4p",
            "A capacitor across the attenuator needs a resistor there; 4.00\xa0pF was given across 0 Ω.",
        ),
        ("shunt_coupling_f=1n", "A capacitor in series with the shunt needs a shunt; 1.00\xa0nF was given with none."),
    ],
)
def test_what_cannot_be_typed_is_refused_in_a_sentence(typed, sentence):
    form = TryForm(QueryDict(typed))
    assert not form.is_valid()
    assert sentence in [str(error) for errors in form.errors.values() for error in errors]
