"""Doubts found in the database: the worked table once more, few reads, and rows that keep all that was found."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from restoration.commissioning.doubting import find_doubts, store_doubts
from restoration.commissioning.models import Change, Doubt
from restoration.commissioning.rules import save_rule
from restoration.engineering.doubt import DoubtFound, Item, Kind, Share, Subject
from restoration.machine.models import Interconnect, Slot
from restoration.people.models import Person
from restoration.proving.models import SignalCheck
from tests.commissioning.drawn_rows import DrawnRows
from tests.counting import queries_in
from tests.engineering.doubt.small_machine import SMALL_MACHINE
from tests.engineering.doubt.worked_table import WORKED_TABLE, Worked, as_lines
from tests.factories import make_chassis, make_fitting, make_link, make_slot

pytestmark = pytest.mark.django_db


@pytest.fixture
def rows() -> DrawnRows:
    """The small machine of the worked table."""
    return DrawnRows(SMALL_MACHINE)


def test_every_change_of_the_worked_table_comes_to_the_same_by_way_of_the_database(rows: DrawnRows) -> None:
    wrong = {worked.name: found for worked in WORKED_TABLE if (found := _differing(rows, worked))}
    assert wrong == {}


def _differing(rows: DrawnRows, worked: Worked) -> dict[str, list[str]]:
    found = as_lines(find_doubts(rows.subject(worked.kind, **worked.about)))
    parts = {
        "missing": [line for line in worked.lines if line not in found],
        "more": [line for line in found if line not in worked.lines],
    }
    return {word: lines for word, lines in parts.items() if lines}


@pytest.mark.parametrize(
    ("kind", "about"),
    [
        (Kind.SWAPPED, {"slot": "B-02"}),
        (Kind.LIKE_VALVE, {"slot": "B-01", "stage": "KS-201/diode gate"}),
        (Kind.OTHER_PART, {"slot": "B-02"}),
        (Kind.REMADE, {"link": "07"}),
        (Kind.LOAD, {"link": "05"}),
        (Kind.RAIL, {"rail": "HR-1"}),
        (Kind.EARTH, {"earth": "E-1"}),
        (Kind.DRAWING_FUNCTION, {"issue": "KS-207/E"}),
        (Kind.REST, {"racks": ("B", "C")}),
    ],
)
def test_a_change_asks_the_database_as_often_on_a_larger_machine(
    rows: DrawnRows, kind: Kind, about: dict[str, Any]
) -> None:
    subject = rows.subject(kind, **about)
    find_doubts(subject)  # the wiring is in memory from here on
    small = queries_in(lambda: find_doubts(subject))
    few = len(find_doubts(subject))
    for number in range(30):
        make_link(f"B-02:s{number}", f"C-01:more{number}", code=f"more {number}", loom="L3", is_critical=True)
        make_link("B-01:x", f"B-02:more{number}", code=f"load {number}")
        make_fitting(make_chassis(f"MORE-{number}"), make_slot(f"C-{number + 10}"))
        make_chassis(f"OLD-{number}", design=Slot.objects.get(code="C-01").design, issue=None)
    find_doubts(subject)
    assert queries_in(lambda: find_doubts(subject)) == small
    assert len(find_doubts(subject)) >= few
    assert small <= 14


def test_a_wire_that_nobody_called_critical_or_not_is_not_taken_for_critical(rows: DrawnRows) -> None:
    Interconnect.objects.filter(code="04").update(is_critical=None)
    found = find_doubts(rows.subject(Kind.REST, racks=("C",)))
    assert [doubt.item.code for doubt in found if doubt.item.kind == "interconnect"] == ["10"]


def test_records_that_a_correction_replaced_are_not_doubted_again(rows: DrawnRows) -> None:
    wrong = SignalCheck.objects.get(pk=1)
    SignalCheck.objects.create(
        pk=50,
        interconnect=wrong.interconnect,
        result="passed",
        done_at=wrong.done_at,
        done_by=rows.doer,
        second_person=rows.second,
        entered_by=rows.doer,
        replaces=wrong,
        replaces_why="It was another oscilloscope.",
    )
    given = {"instrument": "OSC-1", "since": wrong.done_at - timedelta(days=1)}
    assert {doubt.item.kind for doubt in find_doubts(rows.subject(Kind.INSTRUMENT, **given))} == {"chassis"}


def test_what_the_site_wrote_decides_and_the_doubt_names_its_version(rows: DrawnRows) -> None:
    save_rule(
        number=16,
        version_seen=0,
        gates=["rung out"],
        share=Share.ALL.value,
        one_in=5,
        reason="Two wires of loom L3 were found crossed.",
        why="We look at every neighbour now.",
        by=rows.doer,
    )
    found = find_doubts(rows.subject(Kind.REMADE, link="07"))
    loom = [(doubt.item.code, set(doubt.gates), doubt.version, doubt.is_asked) for doubt in found if doubt.rule == 16]
    assert loom == [("08", {"rung out"}, 1, True), ("09", {"rung out"}, 1, True)]


def test_a_subject_without_its_slot_is_refused_before_anything_is_read(site_lead: Person) -> None:
    with pytest.raises(ValueError, match=r"^A swap names the slot in which chassis are swapped; none was given\.$"):
        find_doubts(Subject(Kind.SWAPPED))


def _change(by: Person) -> Change:
    return Change.objects.create(
        kind=Kind.REMADE.value, why="Its sleeve was burnt.", what="link 07 re-made", done_by=by, entered_by=by
    )


def test_what_was_found_is_stored_word_for_word_and_what_is_passed_over_with_why(rows: DrawnRows) -> None:
    change, found = _change(rows.doer), find_doubts(rows.subject(Kind.REMADE, link="07"))
    stored = store_doubts(change, found)
    assert [(row.interconnect.code, row.gates, row.rule_number, row.path, row.is_asked) for row in stored] == [
        ("07", ["joined", "rung out", "signal-checked"], 14, "link 07", True),
        ("08", ["signal-checked"], 16, "link 07 → loom L3 → link 08", True),
        ("09", ["signal-checked"], 16, "link 07 → loom L3 → link 09", False),
    ]
    passed_over = change.doubts.get(is_asked=False)
    assert passed_over.why_not == "rule 16 asks for one in 5, and link 09 is not among them"


def test_doubts_of_every_kind_of_thing_are_stored_each_in_its_place(rows: DrawnRows) -> None:
    change = _change(rows.doer)
    store_doubts(change, find_doubts(rows.subject(Kind.REST, racks=("C",))))
    places = {
        kind: change.doubts.exclude(**{kind: None}).count() for kind in ("chassis", "interconnect", "rack", "group")
    }
    assert places == {"chassis": 2, "interconnect": 2, "rack": 1, "group": 2}


def test_a_doubt_of_one_record_keeps_its_name(rows: DrawnRows) -> None:
    given = {"instrument": "OSC-1", "since": timezone.now() - timedelta(days=3650)}
    store_doubts(_change(rows.doer), find_doubts(rows.subject(Kind.INSTRUMENT, **given)))
    assert set(Doubt.objects.values_list("record", flat=True)) == {"bench test 1", "bench test 2", "signal check 1"}


def test_the_longest_code_a_link_may_have_still_fits_where_it_is_passed_over(rows: DrawnRows) -> None:
    long = "9" * 320
    make_link("C-01:k", "C-02:z", code=long, loom="L3")
    found = [doubt for doubt in find_doubts(rows.subject(Kind.REMADE, link="07")) if not doubt.is_asked]
    assert max(len(doubt.why_not) for doubt in found) <= 200
    store_doubts(_change(rows.doer), found)
    assert Doubt.objects.filter(interconnect__code=long, is_asked=False).exists()


def test_nothing_found_stores_nothing(rows: DrawnRows) -> None:
    assert store_doubts(_change(rows.doer), ()) == []
    found = DoubtFound(Item("rack", Slot.objects.get(code="A-01").rack_id, "A"), frozenset({"bonded"}), 29, 0, "rack A")
    assert store_doubts(_change(rows.doer), [found])[0].rack.code == "A"
