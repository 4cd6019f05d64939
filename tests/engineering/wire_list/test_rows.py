"""What a row says is kept as it stands: trimmed outside, untouched inside."""

import pytest

from restoration.engineering.wire_list.cells import critical_column, length_column, text_column
from restoration.engineering.wire_list.headings import COLUMNS
from restoration.engineering.wire_list.wires import WireRow, in_columns
from tests.engineering.wire_list.making import NEEDED, text_list, wire, wires_of


def test_a_row_with_every_column():
    said = ["K7", "GATE 3", "R1", "B-05", "7", "R2", "C-04", "2", "0.6 tinned", "red", "0,45", "L2", "Yes", "long way"]
    assert wires_of(text_list(said, headings=COLUMNS)).rows == [
        WireRow(
            2, "K7", "GATE 3", "R1", "B-05", "7", "R2", "C-04", "2", "0.6 tinned", "red", 0.45, "L2", True, "long way"
        )
    ]


def test_absent_columns_say_nothing():
    wires = wires_of(text_list(["B-05", "7", "C-04", "2"]))
    assert wires.rows == [wire()]
    assert wires.columns == set(NEEDED)


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ("  B-05\t", "B-05"),
        ("\u00a0B-05\u3000", "B-05"),
        ("B  05", "B  05"),
        ("b-05", "b-05"),
        ("É", "É"),
        ("E\u0301", "E\u0301"),
        ("'+5", "+5"),
        (" '=A ", "=A"),
        ("'quoted'", "'quoted'"),
        ("007", "007"),
    ],
)
def test_text_is_trimmed_outside_and_kept_inside(written, kept):
    assert text_column("from_slot", [written, "plain"]).values == [kept, "plain"]


def test_codes_that_differ_only_in_case_or_accent_stay_different():
    rows = [["a", "1", "A", "1"], ["É", "1", "E\u0301", "1"]]
    assert [row.source + row.load for row in wires_of(text_list(*rows)).rows] == [tuple(row) for row in rows]


@pytest.mark.parametrize(
    ("written", "metres"),
    [("0.45", 0.45), ("0,45", 0.45), ("+2", 2.0), ("1e-2", 0.01), (".5", 0.5), ("5.", 5.0), ("-0", 0.0), ("10000", 1e4),
     ("0.1234567", 0.123457), (" 3 ", 3.0), ("", None), ("  ", None)],
)  # fmt: skip
def test_lengths_in_every_accepted_dress(written, metres):
    column = length_column([written])
    assert (column.values, column.refused) == ([metres], {})
    assert str(column.values[0]) != "-0.0"


@pytest.mark.parametrize("written", ["yes", "Y", "TRUE", "1", "x", " X "])
def test_yes(written):
    assert critical_column([written]).values == [True]


@pytest.mark.parametrize("written", ["no", "N", "False", "0", "", " "])
def test_no(written):
    assert critical_column([written]).values == [False]


def test_remarks_may_have_several_lines():
    wires = wires_of(text_list(["A", "1", "B", "2", " one\r\ntwo\tthree\rfour "], headings=[*NEEDED, "remarks"]))
    assert wires.rows[0].remarks == "one\ntwo\tthree\nfour"


@pytest.mark.parametrize(("name", "most"), [("signal", 60), ("link", 300), ("remarks", 2000)])
def test_the_longest_text_that_is_taken(name, most):
    assert text_column(name, ["x" * most]).refused == {}
    assert list(text_column(name, ["x" * (most + 1)]).refused) == ["x" * (most + 1)]


def test_white_space_outside_does_not_count_to_the_length():
    assert text_column("signal", [" " * 40 + "x" * 60]).refused == {}


def test_short_rows_are_filled_and_blank_cells_beyond_the_headings_left_out():
    data = b"from_slot,from_terminal,to_slot,to_terminal,signal\nA,1,B,2\nA,3,B,4,S,,\n"
    wires = wires_of(data)
    assert [(row.line, row.signal) for row in wires.rows] == [(2, ""), (3, "S")]
    assert wires.refused == ()


def test_a_bad_row_is_left_out_of_the_good_ones():
    wires = wires_of(text_list(["A", "1", "B", "2"], ["A", "", "B", "2"], ["A", "3", "B", "2"]))
    assert [row.line for row in wires.rows] == [2, 4]
    assert wires.row_count == 3


def test_a_list_without_rows_is_a_list_of_no_wires():
    wires = wires_of(text_list())
    assert (wires.rows, wires.row_count, wires.refused) == ([], 0, ())


def test_columns_and_records_hold_the_same():
    rows = [wire(2), wire(5, ("A", "1"), ("A", "1"), link="K")]
    assert in_columns(rows).rows() == rows
    assert in_columns(rows).row(1) == rows[1]
    assert in_columns(rows).sources == [("B-05", "7"), ("A", "1")]
    assert in_columns(rows).loads == [("C-04", "2"), ("A", "1")]


def test_a_wire_turned_twice_is_itself():
    row = wire(3, link="K", from_rack="R1", length_m=1.0)
    assert row.turned() != row
    assert row.turned().turned() == row
