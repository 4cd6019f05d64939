import math

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from restoration.proving.figures import read_figure
from restoration.proving.wording import ohms


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0.4", 0.4),
        ("0,4", 0.4),
        (".4", 0.4),
        ("1k5", 1500.0),
        ("4R7", 4.7),
        ("22M", 22e6),
        ("22 MΩ", 22e6),
        ("22 Mohm", 22e6),
        ("470 ohms", 470.0),
        ("330R", 330.0),
        ("1e6", 1e6),
        ("2G2", 2.2e9),
        ("OL", math.inf),
        ("∞", math.inf),
        ("open", math.inf),
    ],
)
def test_resistances_as_people_write_them(text, value):
    assert read_figure(text, "ohm") == value


@pytest.mark.parametrize(
    ("text", "unit", "bare", "value"),
    [
        ("17.2", "V", "", 17.2),
        ("17,2 V", "V", "", 17.2),
        ("−4", "V", "", -4.0),
        ("350 mV", "V", "", 0.35),
        ("2.4", "s", "µ", 2.4e-6),
        ("2.4 us", "s", "µ", 2.4e-6),
        ("350ns", "s", "µ", 3.5e-7),
        ("350", "s", "n", 3.5e-7),
        ("0.35µs", "s", "n", 3.5e-7),
        ("6", "fraction", "", 0.06),
        ("6 %", "fraction", "", 0.06),
    ],
)
def test_figures_with_and_without_their_unit(text, unit, bare, value):
    assert read_figure(text, unit, bare) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "unit", "sentence"),
    [
        ("abc", "ohm", "“abc” was given, and this is a resistance: 0.4, 1k5 or 22M, say, or OL where"),
        ("1.2.3", "V", "“1.2.3” was given, and this is a voltage"),
        ("17 A", "V", "“17 A” was given, and this is a voltage"),
        ("OL", "V", "“OL” was given, and this is a voltage"),
        ("6 V", "fraction", "“6 V” was given, and this is a percentage"),
        ("nan", "V", "“nan” was given"),
        ("1e999", "V", "“1e999” is far beyond anything measured here; check its unit."),
        ("1e14", "ohm", "“1e14” is far beyond anything measured here; check its unit."),
        ("17 m", "fraction", "was given"),
    ],
)
def test_what_is_no_figure_is_refused_with_a_sentence(text, unit, sentence):
    with pytest.raises(ValidationError) as refusal:
        read_figure(text, unit)
    assert sentence in refusal.value.messages[0]


@given(st.text(max_size=30))
def test_any_text_is_read_as_a_finite_figure_or_refused(text):
    for unit in ("ohm", "V", "s", "fraction"):
        try:
            value = read_figure(text, unit)
        except ValidationError:
            continue
        assert not math.isnan(value)
        assert math.isfinite(value) or unit == "ohm"


@given(st.floats(0.001, 999), st.sampled_from(["", "k", "M"]))
def test_a_prefix_scales_and_nothing_else(number, prefix):
    scale = {"": 1, "k": 1e3, "M": 1e6}[prefix]
    assert read_figure(f"{number:.6f}{prefix}", "ohm") == pytest.approx(float(f"{number:.6f}") * scale, rel=1e-9)


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, "not measured"), (math.inf, "open"), (0.4, "0.4 Ω"), (22e6, "22 MΩ"), (1500.0, "1.5 kΩ"), (0.0, "0 Ω")],
)
def test_resistances_are_written_as_they_are_read_out(value, text):
    assert ohms(value) == text
