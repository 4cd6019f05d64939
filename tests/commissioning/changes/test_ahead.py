"""Before you do this: what is shown is what is then stored, and looking stores nothing."""

import pytest
from django.urls import reverse

from restoration.commissioning.changing.ahead import look_ahead
from restoration.commissioning.changing.touched import Touched
from restoration.commissioning.models import Change, Doubt
from restoration.commissioning.services import issue_drawing, recompute_all, record_change, swap_chassis
from restoration.engineering.doubt import Kind
from restoration.machine.models import DesignIssue
from tests.commissioning.changes.small import DOUBTS, PHRASES
from tests.commissioning.records import may
from tests.counting import queries_of
from tests.factories import make_link
from tests.reading import words

pytestmark = pytest.mark.django_db


def seen(ahead):
    return {(d.rule, d.item.kind, d.item.pk, d.gates, d.path, d.record, d.is_asked, d.why_not) for d in ahead.found}


def kept(change):
    kinds = ("chassis", "interconnect", "rack", "group")
    return {
        (
            doubt.rule_number,
            *next((kind, getattr(doubt, f"{kind}_id")) for kind in kinds if getattr(doubt, f"{kind}_id")),
            frozenset(doubt.gates),
            doubt.path,
            doubt.record,
            doubt.is_asked,
            doubt.why_not,
        )
        for doubt in change.doubts.all()
    }


@pytest.mark.parametrize("kind", PHRASES)
def test_what_is_seen_before_is_what_is_stored(kind, small, people):
    fields = small.fields(kind)
    before = seen(look_ahead(kind, Touched(**fields)))
    assert not Doubt.objects.exists()
    assert before == kept(record_change(kind=kind, **fields, **people))


def test_so_it_is_of_a_swap(small, people):
    before = seen(look_ahead(Kind.SWAPPED, Touched(slot=small.slot, chassis=small.spare)))
    labels = {"slot_label_read": "C-07", "chassis_label_read": "CG-12"}
    assert before == kept(swap_chassis(slot=small.slot, chassis=small.spare, **labels, **people))


def test_so_it_is_of_a_drawing_that_is_not_issued_yet(small, people):
    ahead = look_ahead(Kind.DRAWING_FUNCTION, Touched(), design=small.adder, letter="E")
    assert not DesignIssue.objects.filter(letter="E").exists()
    change = issue_drawing(
        kind=Kind.DRAWING_FUNCTION, design=small.adder, letter="E", issued_on=may(20).date(), **people
    )
    assert seen(ahead) == kept(change)
    assert len(ahead.rows) == len(DOUBTS[Kind.DRAWING_FUNCTION])


def test_the_page_counts_first_and_says_what_stands(small, tester, as_person):
    recompute_all()
    address = reverse("commissioning:change-before", args=["swapped"])
    page = words(as_person(tester).get(address, {"slot": "C-07"}))
    assert "This will put 3 links, 1 chassis and 1 group in doubt; 4 of them have evidence that stands now." in page
    assert "Ring it out: 3 links." in page
    assert "Check its signal: 3 links." in page
    assert "Rule 2: slot C-07 → link 102 → load at D-11" in page
    assert "HT and mains kill." in page
    assert not Change.objects.exists()


def test_the_page_says_what_is_passed_over_and_why(small, tester, as_person):
    page = words(as_person(tester).get(reverse("commissioning:change-before", args=["rail"]), {"rail": "HT-2"}))
    assert "rule 25 asks for one in 5 of the rest, and link 103 is not among them" in page


def test_an_instrument_is_asked_for_its_last_good_day_first(small, tester, as_person):
    browser, address = as_person(tester), reverse("commissioning:change-before", args=["instrument"])
    assert "Last known to be good on" in words(browser.get(address, {"instrument": "OSC-1"}))
    page = words(browser.get(address, {"instrument": "OSC-1", "since": "2026-05-01"}))
    assert f"signal check {small.check.pk} alone" in page
    assert "no records" not in page


def test_nothing_in_doubt_is_said(small, drawings_keeper, as_person):
    address = reverse("commissioning:change-before", args=["drawing-as-built"])
    assert "This will put nothing in doubt." in words(as_person(drawings_keeper).get(address, {"design": "KS-207"}))


def test_anybody_with_a_role_may_look_but_only_some_go_on(small, builder, tester, as_person):
    address = reverse("commissioning:change-before", args=["knock"]) + "?slot=C-07"
    assert "Go on to the form" not in words(as_person(builder).get(address))
    assert "Go on to the form" in words(as_person(tester).get(address))


def test_a_wider_reach_asks_the_database_no_more(small, tester, as_person):
    browser, address = as_person(tester), reverse("commissioning:change-before", args=["swapped"]) + "?slot=C-07"
    few = queries_of(browser, address)
    for number in range(30):
        make_link("C-07:7", f"D-12:{number + 20}", code=f"9{number}")
    assert queries_of(browser, address) == few
