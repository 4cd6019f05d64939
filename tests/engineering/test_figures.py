"""Figures as people write them, read into SI units and written back."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.figures import (
    MICROSECONDS,
    NANOSECONDS,
    OHMS,
    OHMS_READ,
    PERCENT,
    PICOFARADS,
    VOLTS,
    Unit,
    plain_number,
    power_for,
    read_figure,
    with_unit,
)

EVERY_UNIT = [VOLTS, MICROSECONDS, NANOSECONDS, PERCENT, OHMS, OHMS_READ, PICOFARADS]


@pytest.mark.parametrize(
    ("text", "unit", "stored"),
    [
        ("15", VOLTS, 15.0),
        ("15 V", VOLTS, 15.0),
        ("17.2", VOLTS, 17.2),
        ("17,2 V", VOLTS, 17.2),
        ("350 mV", VOLTS, 0.35),
        ("-250mV", VOLTS, -0.25),
        ("−9", VOLTS, -9.0),
        ("0,25 kV", VOLTS, 250.0),
        (".5", VOLTS, 0.5),
        ("1e5", VOLTS, 1e5),
        ("2.4", MICROSECONDS, 2.4e-6),
        ("2.4 us", MICROSECONDS, 2.4e-6),
        ("2,4 μs", MICROSECONDS, 2.4e-6),
        ("350ns", MICROSECONDS, 3.5e-7),
        ("0.35 µs", NANOSECONDS, 3.5e-7),
        ("0.35µs", NANOSECONDS, 3.5e-7),
        ("350", NANOSECONDS, 3.5e-7),
        ("0.001 s", NANOSECONDS, 1e-3),
        ("10", PERCENT, 0.1),
        ("6 %", PERCENT, 0.06),
        (" 7 % ", PERCENT, 0.07),
        ("47", PICOFARADS, 4.7e-11),
        ("0.1 µF", PICOFARADS, 1e-7),
        ("100n", PICOFARADS, 1e-7),
        ("4n7", PICOFARADS, 4.7e-9),
        ("4p7F", PICOFARADS, 4.7e-12),
    ],
)
def test_a_figure_is_read_into_si_units(text: str, unit: Unit, stored: float) -> None:
    assert read_figure(text, unit) == stored


@pytest.mark.parametrize(
    ("text", "ohms"),
    [
        ("0.4", 0.4), ("0,4", 0.4), (".4", 0.4), ("1k5", 1500.0), ("1k5 Ω", 1500.0), ("4R7", 4.7), ("R47", 0.47),
        ("22M", 22e6), ("22 MΩ", 22e6), ("22 M\u2126", 22e6), ("22 Mohm", 22e6), ("470 ohms", 470.0), ("330R", 330.0),
        ("1.2 kΩ", 1200.0), ("1e6", 1e6), ("2G2", 2.2e9),
    ],
)  # fmt: skip
def test_resistances_as_people_write_them(text: str, ohms: float) -> None:
    assert read_figure(text, OHMS) == read_figure(text, OHMS_READ) == ohms


@pytest.mark.parametrize("text", ["OL", "o.l.", "∞", "open", "inf"])
def test_a_meter_without_a_path_reads_open_and_a_part_never_is(text: str) -> None:
    assert read_figure(text, OHMS_READ) == math.inf
    with pytest.raises(ValueError):
        read_figure(text, OHMS)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "nan",
        "inf",
        "OL",
        "12 bananas",
        "1.2.3",
        "15 s",
        "17 A",
        "V",
        "1 000",
        "--1",
        "٣",
        "٣.٥",
        "1V5",
        "k5",
        "1e5e5",
    ],
)
def test_anything_else_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(ValueError) as refused:
        read_figure(text, VOLTS)
    assert str(refused.value) == f"“{text}” was given, and this is a voltage: 17.2, or 350 mV."


@pytest.mark.parametrize(
    ("text", "unit", "sentence"),
    [
        (
            "abc",
            OHMS_READ,
            "“abc” was given, and this is a resistance: 0.4, 1k5 or 22M, say, or OL where the meter shows no path.",
        ),
        ("1k5k", OHMS, "“1k5k” was given, and this is a resistance: 0.4, 1k5 or 22M, say."),
        (
            "4n7 pF",
            PICOFARADS,
            "“4n7 pF” was given, and this is a capacitance: 47 pF, 4n7 or 0.1 µF; without a unit it is taken as pF.",
        ),
        ("6 V", PERCENT, "“6 V” was given, and this is a percentage: 6, or 6 %."),
        ("17 m", PERCENT, "“17 m” was given, and this is a percentage: 6, or 6 %."),
        (
            "fast",
            MICROSECONDS,
            "“fast” was given, and this is a time: 2.4 µs, or 350 ns; without a unit it is taken as µs.",
        ),
        ("x" * 60, VOLTS, f"“{'x' * 40}” was given, and this is a voltage: 17.2, or 350 mV."),
        ("1e999", VOLTS, "“1e999” is far beyond anything measured here; check its unit."),
        ("1e14", OHMS, "“1e14” is far beyond anything measured here; check its unit."),
        ("-200 kV", VOLTS, "“-200 kV” is far beyond anything measured here; check its unit."),
    ],
)  # fmt: skip
def test_a_refusal_says_what_was_given_and_what_is_taken(text: str, unit: Unit, sentence: str) -> None:
    with pytest.raises(ValueError) as refused:
        read_figure(text, unit)
    assert str(refused.value) == sentence


@given(st.text(max_size=30), st.sampled_from(EVERY_UNIT))
def test_any_text_is_read_as_a_figure_or_refused(text: str, unit: Unit) -> None:
    try:
        value = read_figure(text, unit)
    except ValueError:
        return
    assert math.isfinite(value) or (unit is OHMS_READ and value == math.inf)


@given(st.integers(-(10**5), 10**5), st.sampled_from([*EVERY_UNIT]))
def test_a_figure_written_and_read_again_is_the_same(thousandths: int, unit: Unit) -> None:
    stored = read_figure(f"{thousandths / 1000:.3f}", unit)
    assert read_figure(plain_number(stored, unit), unit) == stored
    assert read_figure(with_unit(stored, unit), unit) == stored


@given(st.floats(0.001, 999), st.sampled_from(["", "k", "M"]))
def test_a_prefix_scales_and_nothing_else(number: float, prefix: str) -> None:
    scale = {"": 1, "k": 1e3, "M": 1e6}[prefix]
    assert read_figure(f"{number:.6f}{prefix}", OHMS) == pytest.approx(float(f"{number:.6f}") * scale, rel=1e-12)


def test_a_figure_is_written_in_its_usual_unit() -> None:
    assert with_unit(2.4e-6, MICROSECONDS) == "2.4 µs"
    assert with_unit(0.0, VOLTS) == with_unit(-0.0, VOLTS) == "0 V"
    assert with_unit(-9.5, VOLTS) == "-9.5 V"
    assert with_unit(100.0, VOLTS) == "100 V"
    assert with_unit(1e-13, MICROSECONDS) == "0.0000001 µs"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_not_written_out(value: float) -> None:
    sentence = f"A figure that is written out has to be finite; {value} was given."
    for write in (lambda: plain_number(value, VOLTS), lambda: power_for(value)):
        with pytest.raises(ValueError) as refused:
            write()
        assert str(refused.value) == sentence


@given(st.floats(1e-14, 1e14), st.integers(2, 6))
def test_the_prefix_leaves_one_to_a_thousand(value: float, digits: int) -> None:
    rounded = float(f"{value:.{digits - 1}e}")
    assert 1 - 1e-9 <= rounded / 10.0 ** power_for(value, digits) < 1000
