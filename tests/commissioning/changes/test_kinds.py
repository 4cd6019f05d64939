"""Every kind of change on the small machine: its phrase, its doubts to the last one, its line in the log book."""

import pytest

from restoration.commissioning.models import Change
from restoration.commissioning.services import issue_drawing, record_change, swap_chassis
from restoration.engineering.doubt import RECORDED, Kind
from restoration.machine.models import DesignIssue, Fitting
from restoration.proving.models import Joining
from tests.commissioning.changes.small import DOUBTS, PASSED_OVER, PHRASES, asked_of, passed_over_by
from tests.commissioning.records import may
from tests.reading import last_line

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("kind", PHRASES)
def test_a_change_is_stored_with_exactly_its_doubts(kind, small, people):
    change = record_change(kind=kind, **small.fields(kind), **people)
    assert change.what == PHRASES[kind]
    assert asked_of(change) == DOUBTS[kind]
    assert passed_over_by(change) == PASSED_OVER.get(kind, set())
    assert Change.objects.get().kind == kind.value


def test_the_table_knows_every_kind():
    assert set(DOUBTS) == set(RECORDED)


@pytest.mark.parametrize("kind", [Kind.DRAWING_AS_BUILT, Kind.DRAWING_FUNCTION])
def test_a_drawing_is_issued_with_its_change(kind, small, people):
    change = issue_drawing(kind=kind, design=small.adder, letter="E", issued_on=may(20).date(), **people)
    assert asked_of(change) == DOUBTS[kind]
    assert change.what.startswith("drawing KS-207 issue E ")
    assert small.adder.issues.get(is_current=True).letter == "E"
    assert DesignIssue.objects.get(letter="E").reason == "It was dark."


def test_an_issue_on_the_list_is_meant_by_its_letter(small, people):
    issue = small.adder.issues.get()
    change = issue_drawing(
        kind=Kind.DRAWING_FUNCTION, design=small.adder, letter="D", issued_on=may(20).date(), **people
    )
    assert change.issue == issue
    assert small.adder.issues.count() == 1
    assert asked_of(change) == set()


def test_a_swap_withdraws_and_fits_and_says_what_is_in_doubt(small, people):
    change = swap_chassis(
        slot=small.slot, chassis=small.spare, slot_label_read="C-07", chassis_label_read="CG-12", **people
    )
    assert change.what == "chassis CG-07 swapped for CG-12 in slot C-07"
    assert asked_of(change) == DOUBTS[Kind.SWAPPED]
    out, into = Fitting.objects.order_by("pk")
    assert (change.taken_out, change.put_in) == (out, into)
    assert (out.removed_at, into.fitted_at) == (change.done_at, change.done_at)
    assert (out.removed_why, into.second_person) == ("It was dark.", people["second_person"])


def test_a_wire_made_again_is_joined_again_in_the_book(small, people):
    change = record_change(kind=Kind.REMADE, **small.fields(Kind.REMADE), **people)
    joining = Joining.objects.latest("pk")
    assert (change.joining, joining.kind, joining.done_at) == (joining, "re-made", change.done_at)


def test_a_wire_led_another_way_says_how(small, people):
    change = record_change(kind=Kind.REMADE, interconnect=small.links["101"], now="over the top of rack C", **people)
    assert change.what == "link 101 led by another way: over the top of rack C"


def test_the_log_book_says_what_why_and_how_much(small, people):
    change = record_change(kind=Kind.LIKE_VALVE, **small.fields(Kind.LIKE_VALVE), **people)
    line = last_line()
    assert line.sentence == (
        f"Tomasz Wilk recorded change {change.pk}: valve V3 of stage carry in slot C-07 replaced by one like it. "
        "Why: It was dark. It puts in doubt: 2 links, 1 chassis and 1 group."
    )
    assert (line.subject_kind, line.subject_code) == ("slot", "C-07")
    assert line.details == {"change": change.pk, "kind": Kind.LIKE_VALVE.value}


def test_a_change_that_doubts_nothing_says_so(small, people):
    change = record_change(kind=Kind.LIKE_VALVE, chassis=small.spare, part="V3", **people)
    assert change.what == "valve V3 in chassis CG-12 replaced by one like it"
    assert {code for _, code, _ in asked_of(change)} == {"CG-12"}


def test_all_racks_rested_where_none_is_named(small, people):
    change = record_change(kind=Kind.REST, since=may(1), **people)
    assert change.what == "racks B, C and D at rest since 01 May 2026"
    assert change.racks.count() == 3


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ("", "680 Ω", "terminator of 680 Ω fitted on link 102"),
        ("1 kΩ", "", "terminator taken off link 102"),
    ],
)
def test_a_terminator_comes_and_goes(was, now, says, small, people):
    fields = {**small.fields(Kind.CONDITIONED), "was": was, "now": now}
    assert record_change(kind=Kind.CONDITIONED, **fields, **people).what == says
