"""Numbers as instruments print them."""

import pytest

from restoration.engineering.captures.numbers import is_number, last_place, printed_step, quantity


@pytest.mark.parametrize("field", ["0", "-1.5", "+2.5E+03", ".5", "5.", "-00.049280000000", "NaN", "-inf", "--", " 7 "])
def test_numbers_and_marks_for_them(field):
    assert is_number(field)


@pytest.mark.parametrize("field", ["", "Volt", "1e", "1.2.3", "0x10", "1_0", "5 V", "٣", "1,5", "e5", "+-1"])
def test_no_numbers(field):
    assert not is_number(field)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("CH1:0.0000020000000", 2e-6), ("Analog:140000", 140000.0), ("100MSa/s", 1e8), ("1.000GSa/s", 1e9),
        ("-12.0mV", -0.012), ("4ns", 4e-9), ("2us", 2e-6), ("2µs", 2e-6), ("10X", 10.0), ('"8192"', 8192.0),
        ("CH3: 0.05", 0.05), ("2.500E-10", 2.5e-10), ("50 kHz", 5e4),
    ],
)  # fmt: skip
def test_quantities(field, value):
    assert quantity(field) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("field", ["Edge", "DC", "", "CH1", "12 parrots", "V", "1.2.3"])
def test_words_are_no_quantity(field):
    assert quantity(field) is None


@pytest.mark.parametrize(("field", "place"), [("1.25", 0.01), ("7", 1.0), ("-2.0000e-04", 1e-8), ("3e5", 1e5)])
def test_last_place(field, place):
    assert last_place(field) == place


@pytest.mark.parametrize(
    ("fields", "step"),
    [
        (["-5.24e-08", "-5.2375e-08", "5e-08"], 1e-12),
        (["0", "0.125", "0.25"], 1e-3),
        (["1.00e-02", "9.99e-03"], 1e-4),
        (["0", "5E-9"], 1.0),
        ([], 0.0),
    ],
)
def test_printed_step(fields, step):
    assert printed_step(fields) == step
