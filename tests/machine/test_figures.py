"""Figures as people write them and as they are stored."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.machine.figures import (
    MICROSECONDS,
    NANOSECONDS,
    OHMS,
    PERCENT,
    PICOFARADS,
    UNITS,
    VOLTS,
    limit_in_words,
    plain_number,
    read_figure,
    with_unit,
)
from restoration.machine.models import SignalLimit
from restoration.machine.models.limits import Quantity


@pytest.mark.parametrize(
    ("text", "unit", "stored"),
    [
        ("15", VOLTS, 15.0),
        ("15 V", VOLTS, 15.0),
        ("-250mV", VOLTS, -0.25),
        ("−9", VOLTS, -9.0),
        ("0,25 kV", VOLTS, 250.0),
        ("2.4", MICROSECONDS, 2.4e-6),
        ("2.4 us", MICROSECONDS, 2.4e-6),
        ("2,4 μs", MICROSECONDS, 2.4e-6),
        ("0.35 µs", NANOSECONDS, 3.5e-7),
        ("350", NANOSECONDS, 3.5e-7),
        ("10", PERCENT, 0.1),
        (" 7 % ", PERCENT, 0.07),
        ("1.2 kΩ", OHMS, 1200.0),
        ("47", PICOFARADS, 4.7e-11),
        (".5", VOLTS, 0.5),
    ],
)
def test_a_figure_is_read_into_si_units(text: str, unit: object, stored: float) -> None:
    assert read_figure(text, unit) == stored  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["", "nan", "inf", "1e5", "12 bananas", "1.2.3", "15 s", "V", "1 000", "--1", "٣"])
def test_anything_else_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(ValueError) as refused:
        read_figure(text, VOLTS)
    assert str(refused.value) == (
        f"“{text}” is not a figure that can be stored here: write a number, as in 2.4, with one of V, mV, kV after it; "
        "without one it is taken as V."
    )


@given(st.integers(-(10**6), 10**6), st.sampled_from([VOLTS, MICROSECONDS, NANOSECONDS, PERCENT, OHMS, PICOFARADS]))
def test_a_figure_written_and_read_again_is_the_same(thousandths: int, unit: object) -> None:
    stored = read_figure(f"{thousandths / 1000:.3f}", unit)  # type: ignore[arg-type]
    assert read_figure(plain_number(stored, unit), unit) == pytest.approx(stored, rel=1e-5)  # type: ignore[arg-type]


def test_a_figure_is_written_in_its_usual_unit() -> None:
    assert with_unit(2.4e-6, MICROSECONDS) == "2.4 µs"
    assert with_unit(0.0, VOLTS) == "0 V"
    assert with_unit(-9.5, VOLTS) == "-9.5 V"
    assert with_unit(100.0, VOLTS) == "100 V"


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        ({"least": 15, "most": 20}, "15 to 20 V"),
        ({"least": 15, "nominal": 17, "most": 20}, "15 to 20 V, nominally 17 V"),
        ({"least": 15}, "15 V at least"),
        ({"most": 20}, "20 V at most"),
        ({"nominal": 17}, "nominally 17 V"),
    ],
)
def test_a_limit_is_written_as_one_says_it(limit: dict[str, float], words: str) -> None:
    assert limit_in_words(SignalLimit(quantity="amplitude", **{k: float(v) for k, v in limit.items()})) == words


def test_every_quantity_has_a_unit() -> None:
    assert set(UNITS) == set(Quantity)
