"""Rows that look like one wire written twice: told, and taken as two wires all the same."""

from tests.engineering.wire_list.making import NEEDED, planned, text_list

BOTH_ENDS = "if this list names each wire from both ends, say so with --both-ends."


def warnings(*rows, headings=NEEDED, **choices):
    plan = planned(text_list(*rows, headings=headings), **choices)
    assert plan.can_be_saved
    return list(plan.warnings)


def test_rows_exactly_alike_are_told_with_both_lines():
    told = warnings(["A", "1", "B", "1"], ["C", "1", "D", "1"], ["A", "1", "B", "1"])
    assert told == ["Lines 2 and 4 are exactly alike, and are taken as two wires."]


def test_rows_that_differ_in_any_word_are_two_wires_and_nothing_is_said():
    rows = ["A", "1", "B", "1", "red"], ["A", "1", "B", "1", "green"]
    assert warnings(*rows, headings=[*NEEDED, "colour"]) == []


def test_a_reverse_row_is_told_with_both_lines_unless_the_list_is_read_from_both_ends():
    rows = ["A", "1", "B", "1"], ["C", "1", "D", "1"], ["B", "1", "A", "1"]
    assert warnings(*rows) == [f"Lines 2 and 4 name the same ends the other way round; {BOTH_ENDS}"]
    assert warnings(*rows, both_ends=True) == []


def test_two_link_codes_are_two_wires():
    headings = ["link", *NEEDED]
    assert warnings(["K1", "A", "1", "B", "1"], ["K2", "B", "1", "A", "1"], headings=headings) == []
    assert len(warnings(["K1", "A", "1", "B", "1"], ["", "B", "1", "A", "1"], headings=headings)) == 1


def test_a_wire_to_itself_is_no_reverse():
    assert warnings(["A", "1", "A", "1"]) == []


def test_twenty_pairs_are_told_and_the_rest_counted():
    told = warnings(*[["A", "1", "B", "1"]] * 26)
    assert len(told) == 21
    assert told[-1] == "5 more pairs of lines are alike."
