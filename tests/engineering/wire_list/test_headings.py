"""Headings are matched in any order and case, and told where they say nothing."""

import pytest

from restoration.engineering.wire_list.headings import (
    COLUMNS,
    NEEDED,
    check_headings,
    has_needed,
    plain_heading,
    positions,
    unknown_headings,
)
from restoration.engineering.wire_list.refusals import WireListRefused
from tests.engineering.wire_list.making import text_list, wires_of


@pytest.mark.parametrize(
    "heading", ["from_slot", "From Slot", "FROM-SLOT", "  from__slot ", "From  slot", "from.slot", "“From slot”"]
)
def test_a_heading_in_any_dress_is_found(heading):
    assert plain_heading(heading) == "from_slot"


def test_columns_may_stand_in_any_order():
    wires = wires_of(
        text_list(["2", "C-04", "7", "B-05"], headings=["TO TERMINAL", "To-slot", "from_terminal", "From slot"])
    )
    assert wires.rows[0].source == ("B-05", "7")
    assert wires.rows[0].load == ("C-04", "2")


def test_every_column_of_the_list_is_known():
    assert positions(COLUMNS) == {name: place for place, name in enumerate(COLUMNS)}
    assert has_needed(NEEDED)


def test_other_headings_are_told_and_left_out():
    wires = wires_of(text_list(["A", "1", "B", "2", "x", "y"], headings=[*NEEDED, "Drawn by", "Проверил"]))
    assert wires.refused == ()
    assert wires.warnings == ("These columns are not part of a wire list and are left out: “Drawn by”, “Проверил”.",)
    assert unknown_headings(["loom", "Drawn by"]) == ("Drawn by",)


def test_a_column_without_a_heading_is_told_only_where_it_says_something():
    headings = [*NEEDED, "", ""]
    wires = wires_of(text_list(["A", "1", "B", "2", "", "lost"], headings=headings))
    assert wires.warnings == ("Column 6 has no heading and is left out.",)


def test_each_missing_column_is_named():
    with pytest.raises(WireListRefused) as refused:
        check_headings(["from_slot", "to_slot", "to_terminal"], 1)
    assert str(refused.value) == (
        "Line 1, column from_terminal: The heading row has no column “from_terminal”; a wire list needs from_slot, "
        "from_terminal, to_slot and to_terminal."
    )


def test_a_doubled_column_is_refused_even_in_another_dress():
    with pytest.raises(WireListRefused) as refused:
        check_headings([*NEEDED, "Signal", "SIGNAL"], 3)
    assert str(refused.value) == (
        "Line 3, column signal: The heading row names the column “signal” more than once; each may stand there once."
    )
