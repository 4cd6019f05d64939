"""A small workbook that would grow without measure is refused before it is laid out."""

import io
import zipfile

import pytest

from restoration.engineering.wire_list.bounds import BOUNDS
from restoration.engineering.wire_list.extent import column_number
from restoration.engineering.wire_list.refusals import WireListRefused
from restoration.engineering.wire_list.tables import read_table
from tests.engineering.wire_list.making import NEEDED, ods, part_of, table_of, with_part, xlsx

ROW = ["B-05", "7", "C-04", "2"]
SHEET = "xl/worksheets/sheet1.xml"
DAMAGED = "The workbook is damaged and cannot be read; open it in a spreadsheet, save it again and send that copy."


def excel(rows_xml):
    """A workbook whose only sheet holds the given rows as they stand."""
    sheet = part_of(xlsx([NEEDED, ROW]), SHEET).decode()
    head, tail = sheet.split("</sheetData>")
    return with_part(xlsx([NEEDED, ROW]), SHEET, f"{head}{rows_xml}</sheetData>{tail}")


def open_document(rows_xml):
    """An open document whose only sheet holds the given rows after the list."""
    content = part_of(ods([NEEDED, ROW]), "content.xml").decode()
    return with_part(ods([NEEDED, ROW]), "content.xml", content.replace("</table:table>", f"{rows_xml}</table:table>"))


FILLED = '<table:table-cell office:value-type="string"{}><text:p>x</text:p></table:table-cell>'
BLANK = "<table:table-cell{}/>"


def columns(number):
    return f' table:number-columns-repeated="{number}"'


def ods_row(cells, repeat=1):
    return f'<table:table-row table:number-rows-repeated="{repeat}">{cells}</table:table-row>'


@pytest.mark.parametrize(
    ("workbook", "row", "column"),
    [
        (excel('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'), "1,048,576", "16,384"),
        (excel('<row r="1048576"><c r="AZ1048576"><v>1</v></c></row>'), "1,048,576", "52"),
        (excel('<row r="9999999"><c><v>1</v></c></row>'), "9,999,999", "4"),
        (excel('<row><c r="XFD9"/></row><row r="900000"><c/></row>'), "900,000", "16,384"),
        (open_document(ods_row(BLANK.format(""), 1048570) + ods_row(FILLED.format(""))), "1,048,573", "4"),
        (open_document(ods_row(FILLED.format(columns(16384)), 1000)), "1,002", "16,384"),
        (open_document(ods_row(FILLED.format(""), 99999999999)), "100,000,000,001", "4"),
        (open_document(ods_row(BLANK.format(columns(99999999999)) + FILLED.format(""))), "3", "100,000,000,000"),
    ],
)
def test_a_far_cell_is_refused_with_its_place(workbook, row, column):
    assert len(workbook) < 20_000
    with pytest.raises(WireListRefused) as refused:
        table_of(workbook)
    assert f"reaches to row {row} and column {column} with only" in str(refused.value)
    assert str(refused.value).endswith("delete what stands far from the list and save it again.")


@pytest.mark.parametrize(
    "workbook",
    [
        excel('<row r="1048576" hidden="1"/>'),
        excel('<row r="40"><c r="Z40"><v>1</v></c></row>'),
        open_document(ods_row(BLANK.format(columns(16384)), 1048570)),
        open_document(ods_row(FILLED.format("") + BLANK.format(columns(16383)))),
    ],
)
def test_what_a_spreadsheet_leaves_beyond_the_list_does_no_harm(workbook):
    assert table_of(workbook).rows[0] == (2, (*ROW, *[""] * (len(table_of(workbook).headings) - 4)))


@pytest.mark.parametrize(
    "workbook",
    [
        excel('<row r="2"><c r="a1"/></row>'),
        excel('<row r="x"/>'),
        excel('<row r="2"><c r="A1" r="XFD1048576"/></row>'),
        excel('&nothing;<row r="1048576"><c r="XFD1048576"/></row>'),
        excel("</sheetData></worksheet><sheetData>"),
        with_part(
            xlsx([NEEDED]), SHEET, b"x<worksheet><sheetData><row><c r='XFD1048576'/></row></sheetData></worksheet>"
        ),
        with_part(xlsx([NEEDED]), SHEET, b"\x89PNG not a sheet at all, sheetData"),
        with_part(xlsx([NEEDED]), SHEET, b""),
        with_part(xlsx([NEEDED]), "xl/workbook.xml", b"<workbook"),
        open_document(ods_row(BLANK.format(columns("many")))),
        with_part(ods([NEEDED]), "content.xml", b"<office:document-content><table:table"),
    ],
)
def test_a_part_that_is_not_well_formed_is_damage(workbook):
    with pytest.raises(WireListRefused) as refused:
        table_of(workbook)
    assert str(refused.value) == DAMAGED or "no filled row" in str(refused.value)


def test_more_than_may_be_unpacked_is_refused_by_the_directory():
    workbook = with_part(xlsx([NEEDED, ROW]), "xl/media/a.png", b"\0" * 3_000_000)
    with pytest.raises(WireListRefused, match=r"^The workbook would unpack to 3,0.* bytes; at most 1,000,000 are unp"):
        read_table(workbook, name="w.xlsx", bounds=BOUNDS._replace(unpacked_bytes=1_000_000))


def test_a_directory_that_understates_a_part_is_damage():
    workbook = bytearray(with_part(xlsx([NEEDED, ROW]), "xl/media/a.png", b"\0" * 3_000_000))
    true_size = (3_000_000).to_bytes(4, "little")
    assert workbook.count(true_size) == 2
    with pytest.raises(WireListRefused) as refused:
        table_of(bytes(workbook.replace(true_size, (100).to_bytes(4, "little"))))
    assert str(refused.value) == DAMAGED


def test_pictures_and_other_parts_do_not_trouble_the_reading():
    assert len(table_of(with_part(xlsx([NEEDED, ROW]), "xl/media/a.png", b"\x89PNG<c r='XFD9'")).rows) == 1


@pytest.mark.parametrize("make", [xlsx, ods])
def test_a_workbook_cut_short_is_damage(make):
    workbook = make([NEEDED, ROW])
    for length in range(30, len(workbook) - 30, len(workbook) // 12):
        with pytest.raises(WireListRefused) as refused:
            table_of(workbook[:length])
        assert str(refused.value) == DAMAGED


def test_an_encrypted_part_is_told_as_a_password():
    workbook = bytearray(xlsx([NEEDED, ROW]))
    with zipfile.ZipFile(io.BytesIO(workbook)) as archive:
        directory = archive.start_dir
    workbook[directory + 8] |= 1
    workbook[6] |= 1
    with pytest.raises(WireListRefused, match=r"^The workbook is locked with a password; save it without one\.$"):
        table_of(bytes(workbook))


@pytest.mark.parametrize(("letters", "number"), [("A", 1), ("Z", 26), ("AA", 27), ("ZZ", 702), ("AAA", 703)])
def test_columns_are_numbered_as_a_spreadsheet_letters_them(letters, number):
    assert column_number(letters) == number


@pytest.mark.parametrize("letters", ["", "a", "AAAA", "É", "A1"])
def test_a_column_has_one_to_three_capital_letters(letters):
    with pytest.raises(ValueError, match=rf"^A column is named by one to three capital letters, not “{letters}”\.$"):
        column_number(letters)
