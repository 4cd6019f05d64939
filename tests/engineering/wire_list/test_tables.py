"""Any accepted file becomes the same rows of text, each with the line a person sees."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.wire_list.bounds import BOUNDS
from restoration.engineering.wire_list.refusals import WireListRefused
from restoration.engineering.wire_list.tables import read_table
from tests.engineering.wire_list.making import NEEDED, ods, table_of, text_list, wires_of, xlsx

ROW = ["B-05", "7", "C-04", "2"]
ROWS = [(2, tuple(ROW))]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le-bom", "utf-16-be-bom", "cp1252"])
@pytest.mark.parametrize("line_end", ["\r\n", "\n", "\r"])
def test_text_of_every_make_reads_the_same(separator, encoding, line_end):
    row = ["B-05", "é", "C, 04; x", "2"]
    data = text_list(row, separator=separator, line_end=line_end, encoding="utf-8")
    if encoding.endswith("-bom"):
        data = ("\ufeff" + data.decode()).encode(encoding.removesuffix("-bom"))
    else:
        data = data.decode().encode(encoding)
    assert table_of(data).rows == [(2, tuple(row))]


@pytest.mark.parametrize("make", [lambda rows: text_list(*rows[1:]), xlsx, ods])
def test_the_three_kinds_read_the_same(make):
    assert table_of(make([NEEDED, ROW])).rows == ROWS


@pytest.mark.parametrize(
    ("data", "name", "shape"),
    [
        (text_list(ROW), "list.xlsx", "csv"),
        (xlsx([NEEDED, ROW]), "list.csv", "xlsx"),
        (ods([NEEDED, ROW]), "list", "ods"),
    ],
)
def test_the_content_decides_not_the_name(data, name, shape):
    table = read_table(data, name=name)
    assert (table.shape, table.rows) == (shape, ROWS)


def test_windows_text_is_read_with_a_word_of_warning():
    table = table_of(text_list(["Prüfung", "1", "B", "2"], encoding="cp1252"))
    assert table.rows[0][1][0] == "Prüfung"
    assert table.warnings == ("The file is not UTF-8 and was read as Windows-1252; look at the letters with accents.",)


def test_blank_rows_are_left_out_and_lines_still_counted():
    data = b"\n,,,\nfrom_slot,from_terminal,to_slot,to_terminal\n\n , ,\t,\nB-05,7,C-04,2\n\n\nB-06,7,C-04,2\n,,,"
    table = table_of(data)
    assert [line for line, _ in table.rows] == [6, 9]
    assert table.heading_line == 3


def test_a_row_whose_first_cell_is_blank_is_kept():
    assert [row for _, row in table_of(text_list(["", "7", "C-04", "2"], [" ", "7", "", ""])).rows] == [
        ("", "7", "C-04", "2"),
        (" ", "7", "", ""),
    ]


def test_quoted_cells_hold_separators_quotes_and_line_ends():
    data = b'from_slot,from_terminal,to_slot,to_terminal,remarks\n"A,1","say ""go""",B,2,"two\nlines"\nC,1,D,2,x\n'
    rows = table_of(data).rows
    assert rows[0] == (2, ("A,1", 'say "go"', "B", "2", "two\nlines"))
    assert rows[1][0] == 4


def test_a_quote_inside_an_unquoted_cell_is_text():
    assert table_of(b'from_slot,from_terminal,to_slot,to_terminal\nA 3" bay,1,B,2').rows[0][1][0] == 'A 3" bay'


def test_an_announced_separator_is_heeded_and_lines_still_counted():
    data = b"sep=|\r\nfrom_slot|from_terminal|to_slot|to_terminal\r\nA|1|B|2\r\n"
    assert table_of(data).rows == [(3, ("A", "1", "B", "2"))]


def test_the_separator_is_chosen_by_what_the_headings_say():
    data = b"from_slot;from_terminal;to_slot;to_terminal;a, b, c, d, e, f\nA;1;B;2;x"
    assert table_of(data).rows[0][1][:4] == ("A", "1", "B", "2")


@pytest.mark.parametrize("make", [xlsx, ods])
def test_numbers_in_a_workbook_read_as_typed(make):
    rows = table_of(make([[*NEEDED, "length_m", "critical"], ["B-05", 7, "C-04", 2.0, 0.45, True]])).rows
    assert rows == [(2, ("B-05", "7", "C-04", "2", "0.45", "yes"))]


def test_a_date_in_a_workbook_is_told():
    table = table_of(xlsx([NEEDED, ["B-05", dt.date(1951, 2, 1), "C-04", dt.time(3, 4)]]))
    assert table.rows == [(2, ("B-05", "1951-02-01", "C-04", "03:04:00"))]
    assert table.warnings[0] == (
        "Line 2 holds a date or time, read as “1951-02-01”; a spreadsheet may have made it of a code such as 1-2."
    )


def test_many_dates_are_counted_rather_than_listed():
    rows = [["B-05", dt.date(1951, 2, 1), "C-04", n] for n in range(25)]
    assert table_of(xlsx([NEEDED, *rows])).warnings[20:] == ("5 more cells hold a date or time.",)


@pytest.mark.parametrize("make", [xlsx, ods])
def test_the_first_sheet_with_the_needed_headings_is_read(make):
    data = make([["Notes for the team"]], [], [NEEDED, ROW], [NEEDED, ["X", "1", "Y", "2"]])
    assert table_of(data).rows == ROWS


@pytest.mark.parametrize("make", [xlsx, ods])
def test_rows_above_and_columns_left_of_the_list_do_not_shift_it(make):
    data = make([[None] * 5, [None, *NEEDED], [None, *ROW]])
    assert table_of(data).rows == [(3, tuple(ROW))]


@pytest.mark.parametrize("make", [xlsx, ods])
def test_a_workbook_without_the_headings_says_what_its_first_sheet_has(make):
    with pytest.raises(WireListRefused) as refused:
        table_of(make([["Slot", "Terminal"], ["A", "1"]], [["x"]]))
    assert {refusal.column for refusal in refused.value.refused} == set(NEEDED)
    assert {refusal.value for refusal in refused.value.refused} == {"Slot, Terminal"}


@pytest.mark.parametrize(
    ("bounds", "says"),
    [
        (BOUNDS._replace(bytes=10), "The file is 75 bytes long; a wire list may have at most 10."),
        (BOUNDS._replace(rows=1), "The list has 2 rows; at most 1 are taken at once."),
        (BOUNDS._replace(cells=8), "The file has about 12 cells; at most 8 are taken at once."),
    ],
)
def test_a_list_beyond_the_bounds_is_refused(bounds, says):
    with pytest.raises(WireListRefused) as refused:
        read_table(text_list(ROW, ROW), name="w.csv", bounds=bounds)
    assert str(refused.value) == says


def test_a_file_of_line_ends_alone_is_not_split():
    with pytest.raises(WireListRefused, match=r"^The file has 5,000 lines; at most 10 rows are taken at once\.$"):
        read_table(b"a" + b"\n" * 5000, name="w.csv", bounds=BOUNDS._replace(rows=10))


@given(st.lists(st.lists(st.text(' ,;"\t\nab=', max_size=5), min_size=4, max_size=4), max_size=5))
def test_any_cell_written_by_a_careful_program_is_read_as_it_was(rows):
    filled = [row for row in rows if "".join(row).strip()]
    assert [list(row) for _, row in table_of(text_list(*rows)).rows] == filled
    assert wires_of(text_list(*rows)).row_count == len(filled)
