"""Decimal commas in comma-separated rows."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.captures import CaptureRefused, read_capture
from restoration.engineering.captures.locale_rows import looks_like_decimal_commas, rejoin


def shown(value):
    return f"{value:.6f}".rstrip("0").rstrip(".").replace(".", ",")


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(-30, 30).map(lambda value: value / 4), min_size=12, max_size=60))
def test_any_volts_beside_even_times_come_back_or_are_refused(volts):
    """Rows of one field or two a number are plain; between them the time decides; where it cannot, nobody guesses."""
    times = np.arange(len(volts)) * 0.5
    text = "".join(f"{shown(t)},{shown(v)}\n" for t, v in zip(times, volts, strict=True))
    try:
        rows = rejoin(text, 2, 1)
    except CaptureRefused as refusal:
        assert "more than one way" in str(refusal)  # noqa: PT017
        return
    np.testing.assert_allclose(rows[:, 1], volts)
    np.testing.assert_allclose(rows[:, 0], times)


def test_signs_and_powers_settle_a_row():
    rows = rejoin("0,5,1\n1,-2\n1,5,-3,25\n2,1,2e-08\n", 2, 1)
    assert rows.tolist() == [[0.5, 1.0], [1.0, -2.0], [1.5, -3.25], [2.0, 1.2e-8]]


@pytest.mark.parametrize(
    ("rows", "labelled", "are"),
    [
        ((("1", "5"), ("2",)), 0, True),
        ((("0", "1", "0", "5"),), 2, True),
        ((("0", "1"), ("1", "2")), 2, False),
        ((("0.5", "1"), ("1",)), 2, False),
        ((("1", "2", ""), ("2", "3", "")), 2, False),
    ],
)
def test_what_looks_like_decimal_commas(rows, labelled, are):
    assert looks_like_decimal_commas(rows, labelled) is are


def test_all_rows_torn_alike_are_joined_by_their_heading():
    capture = read_capture(b"Time(us),CH1(V)\n0,5,1,25\n1,5,1,75\n2,5,1,25\n3,5,1,5\n")

    assert capture.channels[0].values.tolist() == [1.25, 1.75, 1.25, 1.5]
    assert capture.channels[0].interval_s == pytest.approx(1e-6)
    assert capture.shape == "decimal commas in a comma-separated file"
