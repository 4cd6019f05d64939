"""Values of parts as people write them, and the units of lengths, powers, currents, inductances and plain numbers."""

import math
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.figures import (
    AMPERES,
    FARADS_PER_METRE,
    HENRIES,
    HENRIES_PER_METRE,
    HERTZ,
    METRES,
    MICROHENRIES,
    MILLIAMPERES,
    MILLIMETRES,
    NUMBER,
    OHMS,
    PICOFARADS,
    POWERS,
    SECONDS,
    SECONDS_PER_METRE,
    WATTS,
    Unit,
    plain_number,
    read_figure,
    with_unit,
)

NEW_UNITS = [
    AMPERES, FARADS_PER_METRE, HENRIES, HENRIES_PER_METRE, HERTZ, METRES, MICROHENRIES, MILLIAMPERES, MILLIMETRES,
    NUMBER, SECONDS, SECONDS_PER_METRE, WATTS,
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "unit", "stored"),
    [
        ("4k7", OHMS, 4700.0),
        ("2M2", OHMS, 2.2e6),
        ("2M2 Ω", OHMS, 2.2e6),
        ("6,8k", OHMS, 6800.0),
        ("6,8 kΩ", OHMS, 6800.0),
        ("4R7", OHMS, 4.7),
        ("1meg", OHMS, 1e6),
        ("2.2 Meg", OHMS, 2.2e6),
        ("1 megohm", OHMS, 1e6),
        ("100p", PICOFARADS, 1e-10),
        ("100 p", PICOFARADS, 1e-10),
        ("0.1 µF", PICOFARADS, 1e-7),
        ("0,1µF", PICOFARADS, 1e-7),
        ("0.1uF", PICOFARADS, 1e-7),
        ("0n1", PICOFARADS, 1e-10),
        ("p47", PICOFARADS, 4.7e-13),
        ("4µ7", PICOFARADS, 4.7e-6),
        ("100 µµF", PICOFARADS, 1e-10),
        ("100uuF", PICOFARADS, 1e-10),
        ("30", MICROHENRIES, 3e-5),
        ("30 uH", HENRIES, 3e-5),
        ("4µ7", MICROHENRIES, 4.7e-6),
        ("2m2", HENRIES, 2.2e-3),
        ("0.5", WATTS, 0.5),
        ("250 mW", WATTS, 0.25),
        ("1 watt", WATTS, 1.0),
        ("20", MILLIAMPERES, 0.02),
        ("0.02 A", MILLIAMPERES, 0.02),
        ("20 mA", AMPERES, 0.02),
        ("4.6", METRES, 4.6),
        ("4.6 m", METRES, 4.6),
        ("4600mm", METRES, 4.6),
        ("12 cm", METRES, 0.12),
        ("25", MILLIMETRES, 0.025),
        ("25 mm", MILLIMETRES, 0.025),
        ("0.3 m", MILLIMETRES, 0.3),
        ("50", HERTZ, 50.0),
        ("1.6 MHz", HERTZ, 1.6e6),
        ("1.6M", HERTZ, 1.6e6),
        ("350 ns", SECONDS, 3.5e-7),
        ("12", FARADS_PER_METRE, 1.2e-11),
        ("100 pF/m", FARADS_PER_METRE, 1e-10),
        ("0.9", HENRIES_PER_METRE, 9e-7),
        ("900nH/m", HENRIES_PER_METRE, 9e-7),
        ("3.34 ns/m", SECONDS_PER_METRE, 3.34e-9),
        ("3", NUMBER, 3.0),
        ("0,25", NUMBER, 0.25),
        ("-2e3", NUMBER, -2000.0),
    ],
)
def test_values_as_people_write_them(text: str, unit: Unit, stored: float) -> None:
    assert read_figure(text, unit) == stored


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("3k", NUMBER),
        ("3 m", NUMBER),
        ("3 %", NUMBER),
        ("4.6 ft", METRES),
        ("4 cc", METRES),
        ("4ccm", METRES),
        ("12 cm", HERTZ),
        ("1k5", METRES),
        ("4k7k", OHMS),
        ("4k7M2", OHMS),
        ("k47k", OHMS),
        ("1me", OHMS),
        ("1megmeg", OHMS),
        ("100 pp", PICOFARADS),
        ("100 µµµF", PICOFARADS),
        ("2W5", WATTS),
        ("30 F", MICROHENRIES),
        ("12 pF", FARADS_PER_METRE),
        ("pF/m", FARADS_PER_METRE),
        ("1 2", NUMBER),
        ("nan", NUMBER),
        ("inf", METRES),
        ("", METRES),
    ],
)
def test_what_cannot_be_meant_is_refused(text: str, unit: Unit) -> None:
    with pytest.raises(ValueError) as refused:
        read_figure(text, unit)
    bare = f"; without a unit it is taken as {unit.usual}" if unit.bare else ""
    assert str(refused.value) == f"“{text}” was given, and this is {unit.name}: {unit.examples}{bare}."


@pytest.mark.parametrize(
    ("text", "unit"), [("2 M", METRES), ("1e13", NUMBER), ("2 T", WATTS), ("1 F/m", FARADS_PER_METRE)]
)
def test_what_nobody_measures_is_a_slip(text: str, unit: Unit) -> None:
    slip = "2 F/m" if unit is FARADS_PER_METRE else text
    with pytest.raises(ValueError) as refused:
        read_figure(slip, unit)
    assert str(refused.value) == f"“{slip}” is far beyond anything measured here; check its unit."


@given(st.integers(0, 999), st.sampled_from("RkKM"), st.integers(0, 999))
def test_a_letter_stands_for_the_point(whole: int, letter: str, part: int) -> None:
    power = 0 if letter == "R" else POWERS[letter]
    meant = float(Decimal(f"{whole}.{part}").scaleb(power))
    assert read_figure(f"{whole}{letter}{part}", OHMS) == meant
    assert read_figure(f"{whole}.{part}{letter}", OHMS) == meant
    assert read_figure(f"{whole},{part} {letter.replace('R', '')}Ω", OHMS) == meant


@given(st.integers(1, 9999), st.sampled_from("pnuµμm"))
def test_prefix_and_unit_may_stand_apart_or_not(number: int, prefix: str) -> None:
    meant = float(Decimal(number).scaleb(POWERS[prefix]))
    for text in (f"{number}{prefix}", f"{number} {prefix}F", f"{number}{prefix}F", f" {number} {prefix} "):
        assert read_figure(text, PICOFARADS) == meant


@pytest.mark.parametrize("unit", NEW_UNITS, ids=lambda unit: unit.usual or "number")
class TestEachUnit:
    @given(thousandths=st.integers(-(10**5), 10**5))
    def test_written_and_read_again_it_is_the_same(self, unit: Unit, thousandths: int) -> None:
        stored = read_figure(f"{thousandths / 1000:.3f}", unit)
        assert read_figure(plain_number(stored, unit), unit) == stored
        assert read_figure(with_unit(stored, unit), unit) == stored

    @given(text=st.text(max_size=20))
    def test_any_text_is_a_finite_figure_or_refused(self, unit: Unit, text: str) -> None:
        try:
            value = read_figure(text, unit)
        except ValueError:
            return
        assert math.isfinite(value)

    def test_its_own_examples_are_read(self, unit: Unit) -> None:
        examples = re.split(", or |, | or ", unit.examples)
        assert len(examples) >= 2
        assert all(math.isfinite(read_figure(example, unit)) for example in examples)

    def test_it_is_written_without_a_space_too_many(self, unit: Unit) -> None:
        assert with_unit(0.0, unit) == f"0 {unit.usual}".strip()
