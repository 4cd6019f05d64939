"""Every malformed list gives whole sentences, and a plan that saves nothing."""

import random
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.wire_list.known import KnownWiring
from restoration.engineering.wire_list.outcome import refused_plan
from restoration.engineering.wire_list.plan import plan_import
from restoration.engineering.wire_list.refusals import WireListRefused
from restoration.engineering.wire_list.rows import read_rows
from restoration.engineering.wire_list.tables import read_table
from tests.engineering.wire_list.making import NEEDED, ods, text_list, xlsx

GOOD = ["B-05", "7", "C-04", "2"]
HEAD = b"from_slot,from_terminal,to_slot,to_terminal"
NO_TEXT = "The file is neither text nor a workbook; a wire list comes as .csv, .xlsx or .ods."
EMPTY = "The file is empty; a wire list comes as .csv, .xlsx or .ods."
NO_NUMBER = "The length is not a number; write metres as 0.45 or 0,45, without a unit."
BAD_CRITICAL = "The column critical takes yes, y, true, 1 or x, and no, n, false, 0 or a blank."
BAD_QUOTES = "The double quotes in this row do not close before the next separator"
DAMAGED = "The workbook is damaged and cannot be read"


def outcome(data, **choices):
    """What becomes of a file: the plan, also of one that could not be read at all."""
    try:
        wires = read_rows(read_table(data, name="wires.csv"))
    except WireListRefused as refused:
        return refused_plan(refused)
    return plan_import(wires, KnownWiring(), **{"create_missing": True, **choices})


def assert_refused_in_sentences(plan):
    assert plan.refused
    assert not plan.can_be_saved
    assert plan.changes_nothing
    assert plan.refused_count >= len(plan.refused)
    told = plan.as_json()
    assert (told["added"], told["changed"], told["unchanged"]) == (0, 0, 0)
    for refusal in plan.refused:
        assert re.match(r"[A-Z“].*[.]$", refusal.reason, re.DOTALL), refusal.reason
        assert len(refusal.value) <= 101
    assert plan.sentences()[0].startswith("Nothing is saved: ")


def foreign(start):
    return start + bytes(random.Random(1951).randbytes(300))


def cell(name, value):
    return text_list([*GOOD, value], headings=[*NEEDED, name])


def needed(place, value):
    return text_list([*GOOD[:place], value, *GOOD[place + 1 :]])


FILES = [
    (b"", EMPTY),
    (b"   \r\n\t\n", EMPTY),
    (b"\xef\xbb\xbf", EMPTY),
    (b"\xff\xfe", "The file has no filled row; a wire list starts with a row of headings."),
    (b",,,\n,,,\n", "The file has no filled row; a wire list starts with a row of headings."),
    (foreign(b"\x89PNG\r\n\x1a\n"), "The file is a picture;"),
    (foreign(b"\xff\xd8\xff\xe0"), "The file is a picture;"),
    (foreign(b"GIF89a"), "The file is a picture;"),
    (foreign(b"BM\x36\0\0\0"), NO_TEXT),
    (foreign(b"II*\0"), NO_TEXT),
    (foreign(b"RIFF"), "The file is a sound, film or picture;"),
    (foreign(b"%PDF-1.7"), "The file is a PDF document;"),
    (foreign(b"\xd0\xcf\x11\xe0"), "The file is an older workbook, or one locked with a password;"),
    (foreign(b"\x1f\x8b\x08"), "The file is a packed archive;"),
    (foreign(b"BZh9"), "The file is a packed archive;"),
    (foreign(b"7z\xbc\xaf\x27\x1c"), "The file is a packed archive;"),
    (foreign(b"Rar!\x1a\x07"), "The file is a packed archive;"),
    (foreign(b"\xfd7zXZ\0"), "The file is a packed archive;"),
    (foreign(b"\x7fELF"), "The file is a program;"),
    (foreign(b"MZ\x90\0"), "The file is a program;"),
    (foreign(b"SQLite format 3\0"), "The file is a database;"),
    (b"{\\rtf1 from_slot}", "The file is a text document;"),
    (b'{"from_slot": 1}', "The file is data in braces;"),
    (b"<!DOCTYPE html><html><body>Not found</body></html>", "The file is a web page or other marked-up text;"),
    (b"  <table><tr><td>from_slot</td></tr></table>", "The file is a web page or other marked-up text;"),
    (b"\xef\xbb\xbf<?xml version='1.0'?><a/>", "The file is a web page or other marked-up text;"),
    (foreign(b"PK\x03\x04"), DAMAGED),
    (b"PK\x05\x06" + b"\0" * 18, "The file is a packed archive without an .xlsx or .ods workbook in it;"),
    (foreign(b"\0\1\2\3"), NO_TEXT),
    (b"\0" * 4096, NO_TEXT),
    (bytes(range(256)) * 4, NO_TEXT),
    ("from_slot,x".encode("utf-16-le"), NO_TEXT),
    ("from_slot,x".encode("utf-32"), "The heading row has no column “from_slot”;"),
    (b"\xff\xfef", "The file is marked as UTF-16 text and breaks off at byte 3;"),
    (
        HEAD + b"\nA,1,B\x81,2",
        "The file holds the byte 0x81 at place 50, which is neither UTF-8 nor Windows-1252 text;",
    ),
    (b"from_slot", "The heading row has no column “from_terminal”;"),
    (b"hello", "The heading row has no column “from_slot”;"),
    (b"from_slot,from_terminal,to_slot", "The heading row has no column “to_terminal”;"),
    (b"from_slot from_terminal to_slot to_terminal\nA 1 B 2", "The heading row has no column “from_slot”;"),
    (b"from_slot|from_terminal|to_slot|to_terminal\nA|1|B|2", "The heading row has no column “from_slot”;"),
    (b"A,1,B,2\nC,1,D,2", "The heading row has no column “from_slot”;"),
    (HEAD + b",from slot\nA,1,B,2,C", "The heading row names the column “from_slot” more than once;"),
    (HEAD + b",Loom,LOOM,loom\n", "The heading row names the column “loom” more than once;"),
    (HEAD + b'\n"A,1,B,2', BAD_QUOTES),
    (HEAD + b'\nA,1,"B"x,2', BAD_QUOTES),
    (HEAD + b'\nA,1,"B" ,2', BAD_QUOTES),
    (HEAD + b'\nA,1,B,2\n"', BAD_QUOTES),
    (HEAD + b'\n"' + b"x" * 140_000 + b'",1,B,2', "A cell is longer than 131,072 characters;"),
    (xlsx([]), "The file has no filled row;"),
    (ods([]), "The file has no filled row;"),
    (xlsx([["a", "b"], ["1", "2"]]), "The heading row has no column “from_slot”;"),
    (ods([["a", "b"], ["1", "2"]]), "The heading row has no column “from_slot”;"),
    (xlsx([[*NEEDED, "From Slot"]]), "The heading row names the column “from_slot” more than once;"),
    (ods([[1, 2, 3]]), "The heading row has no column “from_slot”;"),
    (xlsx([NEEDED])[:-40], DAMAGED),
    (xlsx([NEEDED])[40:], NO_TEXT),
]

BLANK_START = "A wire needs the {} it starts from; this cell is blank."
BLANK_GOAL = "A wire needs the {} it goes to; this cell is blank."
NEGATIVE = "The length is negative; a wire is 0 m long or longer."
TOO_FAR = "The length is more than 10,000 m; length_m is in metres."
NUMBERS = ["long", "0.5 m", "1.2.3", "1,234.5", "1 000", "1_000", "nan", "inf", "-inf", "Infinity", "0x10", "½", "٣"]
NUMBERS += ["--1", "1e", ".", "'5", "=1", "5m", "yes"]
SIGNS = [(0, "\0"), (1, "\x07"), (2, "\x1b"), (3, "\x7f"), (0, "\x85"), (1, "\n"), (2, "\t"), (3, "\u2028")]
SIGNS += [(0, "\ufffe"), (1, "\x9b")]
NAMED_SIGNS = [("link", "\n"), ("signal", "\0"), ("from_rack", "\x01"), ("to_rack", "\x02"), ("wire", "\r")]
NAMED_SIGNS += [("colour", "\x0b"), ("loom", "\x1f"), ("remarks", "\0"), ("remarks", "\x0c")]


def control(sign):
    return f"The text holds the control character U+{ord(sign):04X}; only printed characters are taken."


def too_long(name, length, most):
    return f"The text has {length} characters; the column {name} takes at most {most}."


def torn(before):
    return f"The slot “A” is put in the rack “R2” here and in “R1” on line {before}; a slot stands in one rack."


BLANKS = [
    *((needed(0, blank), "from_slot", BLANK_START.format("slot")) for blank in ("", " ")),
    *((needed(1, blank), "from_terminal", BLANK_START.format("terminal")) for blank in ("", "\t")),
    *((needed(2, blank), "to_slot", BLANK_GOAL.format("slot")) for blank in ("", "\u3000")),
    *((needed(3, blank), "to_terminal", BLANK_GOAL.format("terminal")) for blank in ("", "\n")),
    (xlsx([NEEDED, ["A", None, "B", 2]]), "from_terminal", BLANK_START.format("terminal")),
    (ods([NEEDED, ["A", "1", "B", None]]), "to_terminal", BLANK_GOAL.format("terminal")),
]
TEXTS = [
    *((needed(place, f"A{sign}B"), NEEDED[place], control(sign)) for place, sign in SIGNS),
    *((cell(name, f"A{sign}B"), name, control(sign)) for name, sign in NAMED_SIGNS),
    *((needed(place, "x" * 61), name, too_long(name, 61, 60)) for place, name in enumerate(NEEDED)),
    *(
        (cell(name, "x" * 61), name, too_long(name, 61, 60))
        for name in ("signal", "from_rack", "to_rack", "wire", "colour", "loom")
    ),
    (cell("link", "x" * 301), "link", too_long("link", 301, 300)),
    (cell("remarks", "x" * 2001), "remarks", too_long("remarks", "2,001", "2,000")),
]
FIGURES = [
    *((cell("length_m", text), "length_m", NO_NUMBER) for text in NUMBERS),
    *((cell("length_m", text), "length_m", NEGATIVE) for text in ("-1", "-0,5", "-1e3", "-0.000001")),
    *((cell("length_m", text), "length_m", TOO_FAR) for text in ("10000.1", "1e9", "1e999", "12345678901234567890")),
    *((cell("critical", text), "critical", BAD_CRITICAL) for text in ("maybe", "2", "-", "yes!", "oui", "10", "on")),
    (xlsx([[*NEEDED, "length_m"], [*GOOD, "far"]]), "length_m", NO_NUMBER),
    (xlsx([[*NEEDED, "length_m"], [*GOOD, -3]]), "length_m", NEGATIVE),
    (ods([[*NEEDED, "length_m"], [*GOOD, 99999.5]]), "length_m", TOO_FAR),
    (xlsx([[*NEEDED, "critical"], [*GOOD, 3]]), "critical", BAD_CRITICAL),
]
TOGETHER = [
    (
        HEAD + b"\nC,1,D,1\nA,1,B,2,surplus",
        "",
        "The row has 5 cells under 4 headings; a cell that holds the separator is written in double quotes.",
    ),
    (
        text_list(["R1", "A", "1", "B", "2"], ["R2", "A", "2", "B", "3"], headings=["from_rack", *NEEDED]),
        "from_rack",
        torn(2),
    ),
    (
        text_list(["", "", *GOOD], ["R1", "R2", "A", "1", "A", "2"], headings=["from_rack", "to_rack", *NEEDED]),
        "to_rack",
        torn(3),
    ),
    (
        text_list(["K1", "A", "1", "B", "2"], ["K1", "A", "2", "B", "3"], headings=["link", *NEEDED]),
        "link",
        "The link code “K1” is already named on line 2; each link is named once, or once from each end in a list read "
        "from both ends.",
    ),
    (
        text_list(GOOD, [":" * 60, "(" * 60, ">" * 60, "2"]),
        "link",
        "The code formed from the ends has 366 characters; give the link a code of its own.",
    ),
]
CELLS = [
    *((data, 2, column, reason) for data, column, reason in (*BLANKS, *TEXTS, *FIGURES)),
    *((data, 3, column, reason) for data, column, reason in TOGETHER),
]


def test_there_are_enough_of_them():
    assert len(FILES) + len(CELLS) >= 120


@pytest.mark.parametrize(("data", "says"), FILES)
def test_a_file_that_is_no_wire_list(data, says):
    plan = outcome(data)
    assert_refused_in_sentences(plan)
    assert plan.refused[0].reason.startswith(says)


@pytest.mark.parametrize(("data", "line", "column", "reason"), CELLS)
def test_a_row_that_cannot_be_taken(data, line, column, reason):
    plan = outcome(data)
    assert_refused_in_sentences(plan)
    assert [(r.line, r.column, r.reason) for r in plan.refused] == [(line, column, reason)]


def test_all_bad_rows_are_told_not_only_the_first():
    rows = [["A", "1", "", "2", "x"], GOOD, ["", "", "B", "2", "no"], [*GOOD[:3], "9", "-1"]]
    plan = outcome(text_list(*rows, headings=[*NEEDED, "length_m"]))
    assert [(r.line, r.column) for r in plan.refused] == [
        (2, "to_slot"),
        (2, "length_m"),
        (4, "from_slot"),
        (4, "from_terminal"),
        (4, "length_m"),
        (5, "length_m"),
    ]


def test_the_kept_refusals_are_the_first_and_the_rest_are_counted():
    plan = outcome(text_list(*([f"A{n}", "", "", "2"] for n in range(2000))))
    assert (len(plan.refused), plan.refused_count) == (500, 4000)
    assert plan.refused[-1].line == 251
    assert plan.sentences()[-1] == "3,500 more are refused and not shown."


def test_good_rows_beside_a_bad_one_are_not_saved_either():
    plan = outcome(text_list(GOOD, ["X", "", "Y", "1"]))
    assert plan.row_count == 2
    assert plan.changes_nothing


@given(st.binary(max_size=400))
@settings(max_examples=150, deadline=None)
def test_any_bytes_are_refused_in_sentences(data):
    plan = outcome(data)
    if not plan.can_be_saved:
        assert_refused_in_sentences(plan)


@given(st.lists(st.lists(st.text(max_size=4) | st.sampled_from(["", "\0", "-1", "x" * 400]), max_size=7), max_size=6))
@settings(max_examples=150, deadline=None)
def test_any_rows_under_good_headings_are_taken_or_refused_in_sentences(rows):
    plan = outcome(text_list(*rows, headings=[*NEEDED, "length_m", "critical"]).replace(b"\r\n", b"\n"))
    if not plan.can_be_saved:
        assert_refused_in_sentences(plan)


@given(
    st.sampled_from([xlsx([NEEDED, GOOD]), ods([NEEDED, GOOD])]),
    st.integers(0, 10_000),
    st.binary(min_size=1, max_size=8),
)
@settings(max_examples=120, deadline=None)
def test_a_workbook_with_bytes_changed_is_taken_or_refused_in_sentences(workbook, place, put):
    place %= len(workbook)
    plan = outcome(workbook[:place] + put + workbook[place + len(put) :])
    if not plan.can_be_saved:
        assert_refused_in_sentences(plan)
