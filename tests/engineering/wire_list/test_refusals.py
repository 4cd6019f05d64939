"""Refusals say where, and the first of many are kept."""

import pytest

from restoration.engineering.wire_list.refusals import KEPT, Refusal, RefusalList, WireListRefused, refuse_file


@pytest.mark.parametrize(
    ("line", "column", "says"),
    [
        (4, "loom", "Line 4, column loom: No."),
        (4, "", "Line 4: No."),
        (None, "loom", "Column loom: No."),
        (None, "", "No."),
    ],
)
def test_a_refusal_says_where(line, column, says):
    assert Refusal(line, column, "x", "No.").sentence() == says


def test_the_error_carries_every_refusal_and_says_the_first_three():
    error = WireListRefused(Refusal(line, "wire", "x", "No.") for line in range(2, 9))
    assert len(error.refused) == 7
    assert str(error) == "Line 2, column wire: No. Line 3, column wire: No. Line 4, column wire: No."


def test_the_first_by_line_are_kept_in_whatever_order_they_come():
    gathered = RefusalList()
    gathered.add(Refusal(line, "wire", "x", "No.") for line in range(5000, 0, -1))
    assert [refusal.line for refusal in gathered.kept] == list(range(1, KEPT + 1))
    assert gathered.count == 5000


def test_refusals_of_one_line_stay_in_the_order_they_came():
    gathered = RefusalList([Refusal(2, name, "x", "No.") for name in ("loom", "colour", "wire")])
    assert [refusal.column for refusal in gathered.kept] == ["loom", "colour", "wire"]


def test_a_long_value_is_cut_for_showing():
    assert refuse_file("No.", value="x" * 500).refused[0].value == "x" * 100 + "…"
