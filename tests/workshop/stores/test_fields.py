"""Values and ratings as they are written on parts and boxes."""

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from restoration.workshop.models import Grade, PartKind
from restoration.workshop.parts import value_in_words
from restoration.workshop.stores.fields import WattsField, read_value, without_fractions
from restoration.workshop.stores.forms import StoresLineForm

R, C = PartKind.RESISTOR, PartKind.CAPACITOR

WRITTEN = [
    ("4k7", R, 4700.0),
    ("4,7 kΩ", R, 4700.0),
    ("2M2", R, 2.2e6),
    ("6R8", R, 6.8),
    ("470", R, 470.0),
    ("100p", C, 1e-10),
    ("100", C, 1e-10),
    ("0.1 µF", C, 1e-7),
    (".1uF", C, 1e-7),
    ("4n7", C, 4.7e-9),
    ("8 µF", C, 8e-6),
]


@pytest.mark.parametrize(("text", "kind", "value"), WRITTEN)
def test_values_are_read_as_they_are_written(text: str, kind: str, value: float) -> None:
    assert read_value(text, kind) == value


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        ("many", R, "“many” was given, and this is a resistance: 0.4, 1k5 or 22M, say."),
        ("47 V", C, "“47 V” was given, and this is a capacitance: 47 pF, 4n7 or 0.1 µF; "
         "without a unit it is taken as pF."),
    ],
)  # fmt: skip
def test_what_is_no_value_is_refused(text: str, kind: str, sentence: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        read_value(text, kind)
    assert refusal.value.messages == [sentence]


@given(st.sampled_from([R, C]), st.integers(100, 999), st.integers(-3, 6))
def test_a_value_written_out_reads_back(kind: str, digits: int, decade: int) -> None:
    value = float(f"{digits}e{decade if kind == R else decade - 15}")
    assert read_value(value_in_words(kind, value), kind) == pytest.approx(value, rel=1e-12)


WATTS = [
    ("½ W", 0.5),
    ("½", 0.5),
    ("1½ W", 1.5),
    ("1 ½W", 1.5),
    ("1/4", 0.25),
    ("1/4W", 0.25),
    ("1 1/2 W", 1.5),
    ("1-1/2 W", 1.5),
    ("⅛", 0.125),
    ("250 mW", 0.25),
    ("2", 2.0),
    ("0,5 W", 0.5),
    ("", None),
]


@pytest.mark.parametrize(("text", "watts"), WATTS)
def test_ratings_are_read_as_they_are_printed(text: str, watts: float | None) -> None:
    assert WattsField().clean(text) == watts


@pytest.mark.parametrize("text", ["½ k½", "1/0", "a half", "1/2/3"])
def test_what_is_no_rating_is_refused(text: str) -> None:
    with pytest.raises(ValidationError, match="and this is a power"):
        WattsField().clean(text)


@given(st.integers(0, 99), st.integers(1, 999), st.integers(1, 999))
def test_a_fraction_is_worth_its_quotient(whole: int, above: int, below: int) -> None:
    assert float(without_fractions(f"{whole} {above}/{below}")) == pytest.approx(whole + above / below, rel=1e-5)


@given(st.text(max_size=20))
def test_any_text_is_a_rating_or_refused_in_a_sentence(text: str) -> None:
    form = StoresLineForm(sent(rating_w=text))
    if form.is_valid():
        assert isinstance(form.part().rating_w, float | None)
    else:
        assert set(form.errors) == {"rating_w"}
        assert all(message.endswith(".") for message in form.errors["rating_w"])


def sent(**facts: str) -> dict[str, str]:
    return {"kind": R, "value": "4k7", "tolerance": "5 %", "quantity": "12", "grade": Grade.PERIOD, **facts}


@given(st.text(max_size=20), st.sampled_from([R, C]))
def test_any_value_is_stored_in_si_or_refused_in_a_sentence(text: str, kind: str) -> None:
    form = StoresLineForm(sent(value=text, kind=kind))
    if form.is_valid():
        assert isinstance(form.part().value, float)
    else:
        assert set(form.errors) == {"value"}
        assert all(message.endswith(".") for message in form.errors["value"])


def test_a_form_gives_the_part_in_si_units() -> None:
    form = StoresLineForm(sent(rating_w="½ W", rating_v="0.35 kV", make="Harbour HR", place="A3"))
    assert form.is_valid()
    part = form.part()
    assert (part.value, part.tolerance, part.rating_w, part.rating_v) == (4700.0, 0.05, 0.5, 350.0)
    assert (part.quantity, part.make, part.place, part.remarks) == (12, "Harbour HR", "A3", "")
