"""Wire lists for the tests: as text, as .xlsx, as .ods, and of any text that may be stored."""

import csv
import io
import zipfile

from hypothesis import strategies as st
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table as OdfTable
from odf.table import TableCell, TableRow
from odf.text import P
from openpyxl import Workbook

from restoration.engineering.wire_list.known import KnownWiring
from restoration.engineering.wire_list.outcome import ImportPlan
from restoration.engineering.wire_list.plan import plan_import
from restoration.engineering.wire_list.rows import WireRows, read_rows
from restoration.engineering.wire_list.tables import Table, read_table
from restoration.engineering.wire_list.wires import WireRow

NEEDED = ["from_slot", "from_terminal", "to_slot", "to_terminal"]


def text_list(*rows, headings=NEEDED, separator=",", encoding="utf-8", line_end="\r\n"):
    """A heading row and rows as separated text."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator, lineterminator=line_end).writerows([headings, *rows])
    return text.getvalue().encode(encoding)


def xlsx(*sheets):
    """A workbook with one sheet to each list of rows."""
    book = Workbook()
    book.remove(book.active)
    for number, rows in enumerate(sheets, 1):
        sheet = book.create_sheet(f"Sheet {number}")
        for row in rows:
            sheet.append(row)
    written = io.BytesIO()
    book.save(written)
    return written.getvalue()


def ods(*sheets):
    """An open document workbook with one sheet to each list of rows; numbers stay numbers."""
    book = OpenDocumentSpreadsheet()
    for number, rows in enumerate(sheets, 1):
        table = OdfTable(name=f"Sheet {number}")
        book.spreadsheet.addElement(table)
        for row in rows:
            line = TableRow()
            table.addElement(line)
            for value in row:
                line.addElement(_ods_cell(value))
    written = io.BytesIO()
    book.write(written)
    return written.getvalue()


def _ods_cell(value):
    if value is None:
        return TableCell()
    if isinstance(value, bool):
        cell = TableCell(valuetype="boolean", booleanvalue="true" if value else "false")
    elif isinstance(value, (int, float)):
        cell = TableCell(valuetype="float", value=str(value))
    else:
        cell = TableCell(valuetype="string")
    cell.addElement(P(text=str(value)))
    return cell


def with_part(workbook, name, content):
    """The same workbook with one part replaced or added."""
    written = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook)) as old, zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as new:
        for member in old.infolist():
            if member.filename != name:
                new.writestr(member, old.read(member))
        new.writestr(name, content)
    return written.getvalue()


def part_of(workbook, name):
    """The content of one part."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as archive:
        return archive.read(name)


def table_of(data, name="wires.csv") -> Table:
    return read_table(data, name=name)


def wires_of(data) -> WireRows:
    return read_rows(read_table(data, name="wires.csv"))


def planned(data, known=None, **choices) -> ImportPlan:
    choices.setdefault("create_missing", True)
    return plan_import(wires_of(data), known or KnownWiring(), **choices)


def known_after(plan, known=None) -> KnownWiring:
    """The records as they stand once a plan is saved."""
    known = known or KnownWiring()
    slots = dict(known.slots) | dict(plan.new_slots) | dict(plan.slot_racks)
    links = dict(known.links) | {link.code: link for link in plan.to_add}
    links |= {change.new.code: change.new for change in plan.to_change}
    return KnownWiring(
        racks=known.racks | set(plan.new_racks),
        slots=slots,
        terminals=known.terminals | set(plan.new_terminals),
        signals=known.signals | set(plan.new_signals),
        links=links,
    )


def exported(known) -> list[WireRow]:
    """The rows that an export of the records writes."""
    return [
        WireRow(
            line,
            link.code,
            link.signal,
            known.slots[link.from_slot],
            link.from_slot,
            link.from_terminal,
            known.slots[link.to_slot],
            link.to_slot,
            link.to_terminal,
            link.wire,
            link.colour,
            link.length_m,
            link.loom,
            link.critical,
            link.remarks,
        )
        for line, link in enumerate(known.links.values(), 2)
    ]


def wire(line=2, source=("B-05", "7"), load=("C-04", "2"), **said) -> WireRow:
    """One wire between two terminals; anything else by name."""
    blank = WireRow(line, "", "", "", *source, "", *load, "", "", None, "", None, "")
    return blank._replace(**said)


_UNFIT = "\u2028\u2029\ufffe\uffff"
_LETTERS = st.characters(exclude_categories=("Cs", "Cc"), exclude_characters=_UNFIT)
_AWKWARD = st.sampled_from([*"+-#~/=@'\";,\\:>(|_ x0041éЖ東ا", "_x0041_", "＝", "''=", " (2)", "sep=;"])


def texts(max_size=12, min_size=0):
    """Text that may be stored: any letters, no white space outside, no control characters."""
    plain = st.text(_LETTERS, min_size=min_size, max_size=max_size)
    awkward = st.lists(_AWKWARD, min_size=min_size, max_size=4).map("".join)
    return (plain | awkward).map(str.strip).filter(lambda text: min_size <= len(text) <= 60)


def remarks():
    """Remarks may also hold line ends and tabs."""
    parts = st.lists(texts() | st.sampled_from(["\n", "\t", "\n\n"]), max_size=5)
    return parts.map("".join).map(str.strip)


def lengths():
    """Lengths to the micrometre, or none."""
    return st.none() | st.integers(0, 10_000_000_000).map(lambda micrometres: micrometres / 1e6)


@st.composite
def wirings(draw):
    """Records of a small machine: slots with or without rack, and links of any text."""
    slots = draw(st.dictionaries(texts(min_size=1), texts(), min_size=1, max_size=4))
    ends = st.tuples(st.sampled_from(sorted(slots)), texts(min_size=1))
    said = st.fixed_dictionaries(
        {
            "signal": texts(),
            "wire": texts(),
            "colour": texts(),
            "loom": texts(),
            "remarks": remarks(),
            "length_m": lengths(),
            "critical": st.booleans(),
        }
    )
    codes = draw(st.lists(texts(min_size=1), min_size=1, max_size=5, unique=True))
    rows = []
    for line, code in enumerate(codes, 2):
        source, load = draw(ends), draw(ends)
        racks = {"from_rack": slots[source[0]], "to_rack": slots[load[0]]}
        rows.append(wire(line, source, load, link=code, **racks, **draw(said)))
    return rows
