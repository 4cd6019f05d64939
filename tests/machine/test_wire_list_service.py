"""A wire list comes in whole or not at all, and a second time adds nothing."""

import io
from types import SimpleNamespace
from typing import Any

import openpyxl
import pytest

from restoration.engineering.wire_list.writing import write_csv, write_xlsx
from restoration.logbook.models import Entry
from restoration.machine.events import facts_changed
from restoration.machine.models import Interconnect, Query, Rack, Signal, Slot, Terminal, WiringChange
from restoration.machine.services import import_wire_list
from restoration.machine.services.wire_list import known_wiring, wires_for_export
from restoration.people.models import Person
from tests.counting import queries_in
from tests.factories import make_slot
from tests.machine.wire_lists import AWKWARD, awkward_wires, row_counts, wire, wires

pytestmark = pytest.mark.django_db


def bring_in(data: bytes, **how: Any) -> Any:
    return import_wire_list(data=data, name="loft.csv", **{"by": None, "create_missing": True, **how})


def test_a_list_makes_all_that_it_names(drawings_keeper: Person) -> None:
    data = wires(
        wire(from_rack="B", to_rack="C", link="214", signal="digit pulse", wire="7/0.2", colour="green", length_m="4,6",
             loom="12", critical="yes", remarks="by the drum"),
        wire("B-05:7", "D-02:4", signal="digit pulse"),
    )  # fmt: skip
    outcome = bring_in(data, by=drawings_keeper)
    assert outcome.is_saved
    link = Interconnect.objects.with_ends().get(code="214")
    assert str(link.source) == "B-05:7"
    assert str(link.load) == "C-04:2"
    assert (link.source.slot.rack.code, link.load.slot.rack.code) == ("B", "C")
    assert (link.signal.name, link.wire, link.colour, link.length_m) == ("digit pulse", "7/0.2", "green", 4.6)
    assert (link.loom, link.is_critical, link.remarks, link.version) == ("12", True, "by the drum", 1)
    assert Interconnect.objects.filter(code="B-05:7 > D-02:4", length_m=None).exists()
    assert Slot.objects.get(code="D-02").rack is None
    assert Entry.objects.get().sentence == (
        "Owen Prys brought in the wire list “loft.csv” of 2 rows: 2 links added, 0 changed, 0 as before."
    )
    assert Entry.objects.get().details["new_terminals"] == 3


def test_new_racks_stand_after_those_that_are_there() -> None:
    Rack.objects.create(code="A", position=4)
    bring_in(wires(wire(from_rack="Q", to_rack="P")))
    assert [rack.code for rack in Rack.objects.in_order()] == ["A", "Q", "P"]


@pytest.mark.parametrize("write", [write_csv, write_xlsx])
def test_what_goes_out_comes_in_unchanged(write: Any) -> None:
    assert bring_in(awkward_wires()).is_saved
    before, first = known_wiring(), row_counts()
    outcome = bring_in(write(list(wires_for_export(Interconnect.objects.all()))))
    assert not outcome.is_refused
    assert outcome.changes_nothing
    assert outcome.plan.unchanged == len(AWKWARD)
    assert known_wiring() == before
    assert row_counts() == first


@pytest.mark.parametrize("write", [write_csv, write_xlsx])
def test_what_goes_out_fills_an_empty_machine_with_the_same(write: Any) -> None:
    bring_in(awkward_wires())
    before = known_wiring()
    written = write(list(wires_for_export(Interconnect.objects.all())))
    for model in (WiringChange, Interconnect, Terminal, Slot, Rack, Signal):
        model.objects.all().delete()
    assert bring_in(written).is_saved
    assert known_wiring() == before


def test_a_spreadsheet_finds_no_formula_in_what_goes_out() -> None:
    bring_in(awkward_wires())
    rows = list(wires_for_export(Interconnect.objects.all()))
    sheet = openpyxl.load_workbook(io.BytesIO(write_xlsx(rows))).active
    assert {cell.data_type for row in sheet.iter_rows() for cell in row} <= {"s", "n"}
    for line in write_csv(rows).decode("utf-8-sig").splitlines()[1:]:
        assert not line.startswith(("=", "+", "-", "@", '"=', '"+', '"-', '"@'))


def test_a_second_time_adds_nothing_not_even_a_line() -> None:
    data = wires(wire(), wire(), wire("B-05:7", "B-05:7"), wire("A-01:1", "C-04:2", signal="clock"),
                 wire("A-01:2", "C-04:2", signal="gate"))  # fmt: skip
    assert len(bring_in(data).questions) == 2
    before = row_counts()
    again = bring_in(data)
    assert not again.is_saved
    assert again.changes_nothing
    assert again.plan.unchanged == 5
    assert row_counts() == before


def test_odd_things_are_taken_in_and_asked_once(drawings_keeper: Person) -> None:
    bring_in(
        wires(wire("A-01:1", "C-04:2", link="1", signal="clock"), wire("A-01:2", "C-04:2", link="2", signal="gate")),
        by=drawings_keeper,
    )
    bring_in(wires(wire("D-01:1", "D-01:1", link="3")))
    two, itself = Query.objects.all()
    assert two.question == (
        "Terminal C-04:2 carries 2 signals: “clock”, “gate”. The links are 1, 2. Which of them is right?"
    )
    assert (two.subject_kind, two.subject_code, two.raised_by) == ("slot", "C-04", drawings_keeper)
    assert itself.question == "Link 3 runs from terminal D-01:1 to the same terminal. Where does it go?"
    third = bring_in(wires(wire("A-01:3", "C-04:2", link="4", signal="reset")))
    assert [question.text for question in third.questions] == [
        "Terminal C-04:2 carries 3 signals: “clock”, “gate”, “reset”. The links are 1, 2, 4. Which of them is right?"
    ]


def test_a_changed_wire_keeps_what_it_was(piece: SimpleNamespace, drawings_keeper: Person) -> None:
    told: list[frozenset[int]] = []

    def listen(interconnects: frozenset[int], **kwargs: Any) -> None:
        told.append(interconnects)

    facts_changed.connect(listen)
    try:
        bring_in(
            wires(
                wire("B-05:7", "C-04:3", link="214", signal="digit pulse", colour="white", length_m="4.6", loom="12"),
                wire("B-05:7", "C-06:2", link="215", signal="digit pulse", colour="white", length_m="4.6", loom="12"),
                wire("A-09:1", "A-09:2", link="900"),
            ),
            by=drawings_keeper,
        )
    finally:
        facts_changed.disconnect(listen)
    moved, painted = WiringChange.objects.order_by("interconnect__code")
    assert moved.fields == {"load": ["C-04:2", "C-04:3"], "colour": ["green", "white"]}
    assert moved.touches_wire
    assert moved.changed_by == drawings_keeper
    assert painted.fields == {"colour": ["green", "white"]}
    assert not painted.touches_wire
    assert Interconnect.objects.get(code="214").version == 2
    assert told == [frozenset(link.pk for link in piece.links)]


@pytest.mark.parametrize(
    ("said", "fields", "touches"),
    [
        ({"signal": "clock"}, {"signal": ["digit pulse", "clock"]}, False),
        ({"wire": "7/0.2"}, {"wire": ["", "7/0.2"]}, False),
        ({"length_m": ""}, {"length_m": [4.6, None]}, False),
        ({"length_m": "5"}, {"length_m": [4.6, 5.0]}, True),
    ],
)
def test_a_list_doubts_a_wire_only_where_the_wire_is_another(
    piece: SimpleNamespace, said: dict[str, str], fields: dict[str, list[Any]], touches: bool
) -> None:
    as_it_stands = {"signal": "digit pulse", "colour": "green", "length_m": "4.6", "loom": "12"}
    bring_in(wires(wire("B-05:7", "C-04:2", link="214", **(as_it_stands | said))))
    change = WiringChange.objects.get()
    assert (change.fields, change.touches_wire) == (fields, touches)


def test_a_column_that_the_list_lacks_leaves_the_record_alone(piece: SimpleNamespace) -> None:
    Interconnect.objects.filter(code="214").update(is_critical=None, remarks="by the drum")
    data = b"link,from_slot,from_terminal,to_slot,to_terminal,colour\r\n214,B-05,7,C-04,2,red\r\n"
    assert len(bring_in(data).plan.to_change) == 1
    link = Interconnect.objects.get(code="214")
    assert (link.colour, link.loom, link.remarks, link.is_critical, link.signal) == (
        "red", "12", "by the drum", None, piece.signal,
    )  # fmt: skip


def test_both_ends_make_one_wire_and_tell_what_disagrees() -> None:
    outcome = bring_in(
        wires(
            wire("A-01:1", "B-01:1", length_m="1.0"),
            wire("B-01:1", "A-01:1", length_m="1.5"),
            wire("A-01:2", "B-01:2"),
        ),
        both_ends=True,
    )
    assert [link.code for link in Interconnect.objects.all()] == ["A-01:1 > B-01:1", "A-01:2 > B-01:2"]
    told = outcome.plan.as_json()
    assert [link["link"] for link in told["one_ended"]] == ["A-01:2 > B-01:2"]
    assert [(each["length_m"], each["other_length_m"]) for each in told["length_disagrees"]] == [(1.0, 1.5)]


def test_unknown_places_are_refused_unless_they_may_be_made() -> None:
    make_slot("B-05")
    before = row_counts()
    outcome = bring_in(wires(wire()), create_missing=False)
    assert outcome.is_refused
    assert not outcome.is_saved
    assert "No slot “C-04” is known" in outcome.plan.refused[-1].reason
    assert row_counts() == before


def test_a_known_slot_without_a_rack_takes_the_one_the_list_gives() -> None:
    make_slot("B-05", rack=None)
    bring_in(wires(wire(from_rack="B")))
    assert Slot.objects.get(code="B-05").rack.code == "B"


def test_a_trial_changes_nothing() -> None:
    before = row_counts()
    outcome = bring_in(wires(wire(), wire("D-01:1", "D-01:1")), dry_run=True)
    assert (len(outcome.plan.to_add), len(outcome.questions), outcome.is_saved) == (2, 1, False)
    assert row_counts() == before


def test_an_import_that_fails_half_way_leaves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    before = row_counts()

    def broken(**kwargs: Any) -> None:
        raise RuntimeError("the disk is full")

    monkeypatch.setattr("restoration.machine.services.wire_list.bringing_in.write_line", broken)
    with pytest.raises(RuntimeError):
        bring_in(wires(wire()))
    assert row_counts() == before


def test_the_number_of_questions_to_the_database_does_not_grow_with_the_list() -> None:
    def asked(first: int, last: int) -> int:
        rows = [wire(f"A-{n:03}:1", f"B-{n:03}:1", signal=f"signal {n}", from_rack=f"R{n}") for n in range(first, last)]
        return queries_in(lambda: bring_in(wires(*rows)))

    bring_in(wires(wire()))
    assert asked(0, 3) == asked(3, 300)
