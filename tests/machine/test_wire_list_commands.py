"""The wire list at the command line: for people, for programs, and refused in a sentence."""

import json
from pathlib import Path
from typing import Any

import pytest

from restoration.machine.models import Interconnect, Query
from restoration.machine.services.wire_list import known_wiring
from tests.engineering.wire_list.test_malformed import CELLS, FILES
from tests.machine.wire_lists import AWKWARD, awkward_wires, row_counts, wire, wires

pytestmark = pytest.mark.django_db
ASKED_KEYS = {
    "rows", "added", "changed", "unchanged", "racks", "slots", "terminals", "interconnects", "one_ended",
    "length_disagrees", "two_signals", "refused",
}  # fmt: skip


@pytest.fixture
def put(tmp_path: Path) -> Any:
    def write(data: bytes, name: str = "wires.csv") -> str:
        (tmp_path / name).write_bytes(data)
        return str(tmp_path / name)

    return write


def test_a_list_is_brought_in_and_told(put: Any, run_command: Any) -> None:
    status, out, err = run_command("import_wire_list", put(wires(wire(), wire("D-01:1", "D-01:1"))), "--create-missing")
    assert (status, err) == (0, "")
    assert out.splitlines() == [
        "The list names 2 interconnects on 2 rows: 2 to add, 0 to change, 0 as they stand.",
        "New with it: 3 slots, 3 terminals.",
        "1 wire runs from a terminal to itself: a query is raised.",
        "Query: Link D-01:1 > D-01:1 runs from terminal D-01:1 to the same terminal. Where does it go?",
        "It is in.",
    ]
    assert Interconnect.objects.count() == 2
    assert Query.objects.get().raised_by is None


def test_a_program_gets_json_alone(put: Any, run_command: Any) -> None:
    status, out, err = run_command("import_wire_list", put(wires(wire())), "--create-missing", "--json")
    told = json.loads(out)
    assert (status, err) == (0, "")
    assert told.keys() >= ASKED_KEYS
    assert (told["rows"], told["added"], told["slots"], told["saved"]) == (1, 1, 2, True)
    told = json.loads(run_command("import_wire_list", put(wires(wire())), "--json")[1])
    assert (told["added"], told["unchanged"]) == (0, 1)


def test_what_changes_is_told_cell_by_cell(put: Any, run_command: Any) -> None:
    known = wire(link="214", signal="digit pulse", wire="7/0.2", length_m="4.6")
    run_command("import_wire_list", put(wires(known)), "--create-missing")
    emptied = wires(wire(link="214", signal="clock", wire="7/0.2", critical="yes"))
    told = json.loads(run_command("import_wire_list", put(emptied), "--dry-run", "--json")[1])
    assert told["changes"] == [
        {"link": "214", "column": "signal", "old": "digit pulse", "new": "clock"},
        {"link": "214", "column": "length_m", "old": 4.6, "new": None},
        {"link": "214", "column": "critical", "old": False, "new": True},
    ]
    status, out, _ = run_command("import_wire_list", put(emptied))
    assert (status, out.splitlines()) == (
        0,
        [
            "The list names 1 interconnect on 1 row: 0 to add, 1 to change, 0 as they stand.",
            "1 known value is emptied by a blank cell of the list; a column that is left out leaves the records alone.",
            "New with it: 1 signal.",
            "Link 214: signal: digit pulse → clock; length_m: 4.6 → blank; critical: no → yes.",
            "It is in.",
        ],
    )
    told = json.loads(run_command("import_wire_list", put(emptied), "--json")[1])
    assert (told["saved"], told["changed"], told["changes"]) == (False, 0, [])


def test_a_list_of_headings_only_is_refused(put: Any, run_command: Any) -> None:
    status, _, err = run_command("import_wire_list", put(wires()))
    assert status == 2
    assert "There is no wire in this list." in err


def test_a_trial_says_so(put: Any, run_command: Any) -> None:
    before = row_counts()
    status, out, _ = run_command("import_wire_list", put(wires(wire())), "--create-missing", "--dry-run")
    assert status == 0
    assert out.endswith("Nothing was saved: this was a trial.\n")
    assert row_counts() == before


def test_unknown_places_are_refused(put: Any, run_command: Any) -> None:
    status, out, err = run_command("import_wire_list", put(wires(wire())), "--json")
    assert status == 2
    assert json.loads(out)["refused"][0] == {
        "line": 2,
        "column": "from_slot",
        "value": "B-05",
        "reason": "No slot “B-05” is known; correct it, or let the import create what is missing.",
    }
    assert err.startswith("Nothing is saved: 2 cells or rows are refused.")


def test_a_file_that_is_not_there_is_said(tmp_path: Path, run_command: Any) -> None:
    for place, why in ((tmp_path / "none.csv", "No such file or directory"), (tmp_path, "Is a directory")):
        status, _, err = run_command("import_wire_list", str(place))
        assert status == 2
        assert f"The file “{place}” cannot be read: {why}." in err
    status, _, err = run_command("import_wire_list", "a\0b")
    assert status == 2
    assert "cannot be read" in err


@pytest.mark.parametrize("data", [case[0] for case in (*FILES, *CELLS)])
def test_a_malformed_list_changes_no_table(data: bytes, put: Any, run_command: Any) -> None:
    before = row_counts()
    status, out, err = run_command("import_wire_list", put(data), "--create-missing", "--json")
    assert status == 2
    assert json.loads(out)["refused"]
    assert err.startswith("Nothing is saved: ")
    assert row_counts() == before


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_what_is_written_is_read_unchanged(kind: str, tmp_path: Path, put: Any, run_command: Any) -> None:
    run_command("import_wire_list", put(awkward_wires()), "--create-missing")
    before, file = known_wiring(), str(tmp_path / f"out.{kind}")
    status, out, _ = run_command("export_wire_list", file)
    assert (status, out) == (0, f"{len(AWKWARD)} links written to {file}.\n")
    told = json.loads(run_command("import_wire_list", file, "--json")[1])
    assert (told["added"], told["changed"], told["unchanged"]) == (0, 0, len(AWKWARD))
    assert known_wiring() == before


def test_a_list_is_printed_or_narrowed_to_a_rack(put: Any, run_command: Any) -> None:
    rows = (wire(from_rack="B", to_rack="C", link="1"), wire("D-01:1", "D-01:2", from_rack="D", to_rack="D", link="2"))
    run_command("import_wire_list", put(wires(*rows)), "--create-missing")
    status, out, _ = run_command("export_wire_list", "--rack", "D")
    assert status == 0
    assert out.splitlines() == [
        "link,signal,from_rack,from_slot,from_terminal,to_rack,to_slot,to_terminal,wire,colour,length_m,loom,critical,"
        "remarks",
        "2,,D,D-01,1,D,D-01,2,,,,,no,",
    ]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--rack", "Z"], "There is no rack “Z”."),
        (["list.ods"], "A wire list is written as .csv or .xlsx, and the name “list.ods” ends in “.ods”."),
        (["/nowhere/at/all.csv"], "The file “/nowhere/at/all.csv” cannot be written: No such file or directory."),
    ],
)
def test_what_cannot_be_written_is_said(words: list[str], says: str, run_command: Any) -> None:
    status, out, err = run_command("export_wire_list", *words)
    assert (status, out, err) == (2, "", f"{says}\n")


def test_a_database_without_tables_is_said(put: Any, run_command: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Interconnect._meta, "db_table", "not_made_yet")
    for words in (["import_wire_list", put(wires(wire()))], ["export_wire_list"]):
        status, _, err = run_command(*words)
        assert status == 2
        assert "The database cannot be worked with: " in err
        assert err.endswith("If it is new, make its tables first with “manage.py migrate”.\n")


def test_a_program_is_told_what_was_written(tmp_path: Path, put: Any, run_command: Any) -> None:
    run_command("import_wire_list", put(wires(wire())), "--create-missing")
    file = str(tmp_path / "out.csv")
    status, out, err = run_command("export_wire_list", file, "--json")
    assert (status, json.loads(out), err) == (0, {"links": 1, "file": file}, "")
    assert Path(file).read_bytes().startswith(b"\xef\xbb\xbflink,")
    status, out, err = run_command("export_wire_list", "--json")
    sentence = "With --json the list goes into a file, and no file was named."
    assert (status, json.loads(out), err) == (2, {"refused": [sentence]}, f"{sentence}\n")
