"""Figures as they are read out."""

import math

import pytest

from restoration.proving.wording import ohms, scaled


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, "not measured"), (math.inf, "open"), (0.4, "0.4 Ω"), (22e6, "22 MΩ"), (1500.0, "1.5 kΩ"), (0.0, "0 Ω")],
)
def test_resistances_are_written_as_they_are_read_out(value, text):
    assert ohms(value) == text


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (999.96, 3, "1 kV"), (999.6, 4, "999.6 V"), (-3.04e-7, 3, "−304 nV"), (0.0, 3, "0 V"), (2e12, 3, "2 TV"),
        (31.0, 3, "31 V"), (1e-15, 3, "1 fV"),
    ],
)  # fmt: skip
def test_a_figure_takes_the_prefix_that_suits_it_once_rounded(value, digits, text):
    assert scaled(value, "V", digits) == text
