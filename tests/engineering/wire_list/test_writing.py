"""What is written out comes back as it was, and no spreadsheet finds a formula in it."""

import csv
import io

import openpyxl
import pytest
from hypothesis import given, settings

from restoration.engineering.wire_list.guard import guarded
from restoration.engineering.wire_list.headings import COLUMNS
from restoration.engineering.wire_list.known import KnownWiring
from restoration.engineering.wire_list.plan import plan_import
from restoration.engineering.wire_list.writing import write_csv, write_xlsx
from tests.engineering.wire_list.making import (
    NEEDED,
    exported,
    known_after,
    planned,
    text_list,
    wire,
    wires_of,
    wirings,
)

WRITERS = [write_csv, write_xlsx]
AWKWARD = [
    "A+B", "+120 V", "-12 V", "#3", "~CLK", "TT/7", "=Q1", "@HOME", "'quoted'", "''=x", "'=x", "=cmd|' /C x'!A0",
    'say "go"', "two  spaces", "Ж-7", "東/1", "اب", "é", "e\u0301", "a,b", "a;b", "_x0041_", "_x005F_", "x_x000D_y",
    "\u200b", "\ufeffA", "＝1", "\\", "7.0", "007", "1e5", "TRUE", "1-2", "0", "#N/A", "sep=;", "<b>", "&amp;", "]]>",
]  # fmt: skip


@pytest.mark.parametrize("write", WRITERS)
@pytest.mark.parametrize("code", AWKWARD)
def test_an_awkward_code_survives_being_written_and_read(write, code):
    row = wire(2, (code, code), ("C-04", code), link=code, signal=code, from_rack=code, remarks=code)
    assert wires_of(write([row])).rows == [row._replace(critical=False)]


@pytest.mark.parametrize("write", WRITERS)
@given(rows=wirings())
@settings(max_examples=40, deadline=None)
def test_import_export_import_changes_nothing(write, rows):
    first = known_after(planned(write_csv(rows)))
    again = plan_import(wires_of(write(exported(first))), first)
    assert again.changes_nothing, again
    assert again.unchanged == len(rows)
    assert known_after(again, first) == first


@given(rows=wirings())
@settings(max_examples=40, deadline=None)
def test_every_field_comes_back_exactly(rows):
    for write in WRITERS:
        assert [row[1:] for row in wires_of(write(rows)).rows] == [row[1:] for row in rows]


@pytest.mark.parametrize("write", WRITERS)
def test_the_columns_are_those_that_are_read(write):
    assert wires_of(write([])).columns == set(COLUMNS)


def test_text_is_written_with_its_mark_and_crlf():
    data = write_csv([wire()])
    assert data.startswith(b"\xef\xbb\xbflink,signal,from_rack,")
    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n") == 2


@given(rows=wirings())
@settings(max_examples=40, deadline=None)
def test_no_cell_of_the_text_starts_a_formula(rows):
    cells = list(csv.reader(io.StringIO(write_csv(rows).decode("utf-8-sig"), newline="")))
    assert not [cell for row in cells for cell in row if cell[:1] in set("=+-@＝＋－＠\t\r")]


def test_no_cell_of_the_workbook_is_a_formula():
    row = wire(2, ("=1+1", "+1"), ("-1", "@x"), link="=HYPERLINK(1)", signal="'=2", length_m=0.45, critical=True)
    sheet = openpyxl.load_workbook(io.BytesIO(write_xlsx([row]))).active
    kinds = [cell.data_type for cell in sheet[2] if cell.value not in (None, "")]
    assert "f" not in kinds
    assert kinds.count("n") == 1
    assert sheet["A2"].value == "'=HYPERLINK(1)"


def test_a_text_like_a_number_stays_text_in_the_workbook():
    sheet = openpyxl.load_workbook(io.BytesIO(write_xlsx([wire(2, ("007", "1.50"), ("1e5", "TRUE"))]))).active
    assert [sheet[place].value for place in ("D2", "E2", "G2", "H2")] == ["007", "1.50", "1e5", "TRUE"]


def test_lengths_are_written_plainly():
    rows = [wire(2, length_m=2.0), wire(3, length_m=0.45), wire(4)]
    lines = write_csv(rows).decode("utf-8-sig").splitlines()[1:]
    assert [line.split(",")[10] for line in lines] == ["2", "0.45", ""]


def test_yes_no_and_unsaid_are_written_apart():
    rows = [wire(2, critical=True), wire(3, critical=False), wire(4, critical=None)]
    lines = write_csv(rows).decode("utf-8-sig").splitlines()[1:]
    assert [line.split(",")[12] for line in lines] == ["yes", "no", ""]


def test_a_control_character_in_the_records_does_not_stop_the_workbook():
    assert wires_of(write_xlsx([wire(remarks="a\x07b")])).rows[0].remarks == "a\ufffdb"


def test_recorded_crlf_in_remarks_is_no_change():
    known = known_after(planned(text_list(["A", "1", "B", "2", "x"], headings=[*NEEDED, "remarks"])))
    link = known.links["A:1 > B:2"]._replace(remarks="one\r\ntwo")
    known = KnownWiring(known.racks, known.slots, known.terminals, known.signals, {link.code: link})
    assert plan_import(wires_of(write_csv(exported(known))), known).changes_nothing
    assert plan_import(wires_of(write_xlsx(exported(known))), known).changes_nothing


def test_a_guard_is_only_put_where_a_formula_starts():
    assert [guarded(text) for text in ("A=1", "", "'a", "5-7")] == ["A=1", "", "'a", "5-7"]
