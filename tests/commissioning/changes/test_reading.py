"""The list of changes, one change with what became of its doubts, and the panels on the machine's pages."""

import pytest
from django.urls import reverse

from restoration.commissioning.services import record_change, swap_chassis
from restoration.engineering.doubt import Kind
from restoration.proving.services import ring_out
from tests.commissioning.changes.small import PHRASES
from tests.commissioning.records import may
from tests.counting import queries_of
from tests.reading import words

pytestmark = pytest.mark.django_db
LIST = reverse("commissioning:change-list")


@pytest.fixture
def changes(small, people):
    made = {kind: record_change(kind=kind, at=may(10), **small.fields(kind), **people) for kind in PHRASES}
    labels = {"slot_label_read": "C-07", "chassis_label_read": "CG-12"}
    made[Kind.SWAPPED] = swap_chassis(slot=small.slot, chassis=small.spare, at=may(20), **labels, **people)
    return made


@pytest.mark.parametrize(
    ("asked", "kinds"),
    [
        ({"kind": "knock"}, {Kind.KNOCK}),
        ({"link": "102"}, {Kind.REMADE, Kind.LOAD, Kind.CONDITIONED}),
        ({"slot": "C-07", "since": "2026-05-15"}, {Kind.SWAPPED}),
        ({"rail": "HT-2"}, {Kind.RAIL}),
        ({"earth": "E-1"}, {Kind.EARTH}),
        ({"instrument": "OSC-1"}, {Kind.INSTRUMENT}),
        ({"rack": "C"}, {Kind.REST}),
        ({"chassis": "CG-12"}, {Kind.SWAPPED}),
        ({"slot": "C-99"}, set()),
        ({"until": "2026-05-09"}, set()),
    ],
)
def test_the_list_is_narrowed_by_its_address(asked, kinds, changes, tester, as_person):
    page = as_person(tester).get(LIST, asked).context["page"]
    assert {change.kind for change in page} == {kind.value for kind in kinds}


def test_the_list_is_narrowed_by_person(changes, tester, second_tester, site_lead, as_person):
    browser = as_person(tester)
    for person, count in ((tester, 12), (second_tester, 12), (site_lead, 0)):
        assert browser.get(LIST, {"person": person.pk}).context["total"] == count


def test_the_list_answers_htmx_with_its_rows(changes, tester, as_person):
    browser = as_person(tester)
    whole, rows = browser.get(LIST), browser.get(LIST, headers={"HX-Request": "true"})
    assert "12 changes are on record, the newest first." in words(whole)
    assert "<html" not in rows.content.decode()
    assert "Slot C-07 knocked" in words(rows)


def test_a_longer_list_asks_the_database_no_more(small, people, tester, as_person):
    browser = as_person(tester)
    record_change(kind=Kind.KNOCK, **small.fields(Kind.KNOCK), **people)
    few = queries_of(browser, LIST)
    for _ in range(8):
        record_change(kind=Kind.KNOCK, **small.fields(Kind.KNOCK), **people)
    assert queries_of(browser, LIST) == few


def test_one_change_says_what_is_open_and_what_was_answered(small, people, tester, second_tester, as_person):
    labels = {"slot_label_read": "C-07", "chassis_label_read": "CG-12"}
    change = swap_chassis(slot=small.slot, chassis=small.spare, **labels, **people)
    browser = as_person(tester)
    page = words(browser.get(change.get_absolute_url()))
    assert "It put evidence in doubt in 6 places; in 3 it stands in doubt still." in page
    assert "Rung out: in doubt still" in page
    assert f"change={change.pk}" in browser.get(change.get_absolute_url()).content.decode()
    figures = {"resistance_ohm": 0.3, "to_chassis_ohm": 20e6, "both_labels_read": True}
    ring = ring_out(
        interconnect=small.links["101"], done_by=tester, second_person=second_tester, entered_by=tester, **figures
    )
    page = words(browser.get(change.get_absolute_url()))
    assert "Rung out: answered." in page
    assert str(ring.pk) in page


def test_a_change_with_more_doubts_asks_the_database_no_more(small, people, tester, as_person):
    knock = record_change(kind=Kind.KNOCK, **small.fields(Kind.KNOCK), **people)
    rest = record_change(kind=Kind.REST, since=may(1), **people)
    browser = as_person(tester)
    assert rest.doubts.count() > knock.doubts.count()
    assert queries_of(browser, rest.get_absolute_url()) <= queries_of(browser, knock.get_absolute_url()) + 1


@pytest.mark.parametrize(
    ("name", "code", "says"),
    [
        ("machine:slot-detail", "C-07", "slot C-07 knocked"),
        ("machine:chassis-detail", "CG-07", "chassis CG-07 swapped for CG-12"),
        ("machine:interconnect-detail", "102", "terminator on link 102 changed"),
        ("machine:rack-detail", "C", "rack C at rest since"),
        ("machine:rail-detail", "HT-2", "setting of rail HT-2 changed"),
        ("machine:earth-detail", "E-1", "earth E-1 changed"),
        ("machine:design-detail", "KS-207", "No change is on record here."),
    ],
)
def test_the_machines_pages_show_their_changes(name, code, says, changes, tester, builder, as_person):
    address = reverse(name, args=[code])
    page = words(as_person(tester).get(address))
    assert says in page
    assert "Record a change here" in page
    assert "Record a change here" not in words(as_person(builder).get(address))


def test_the_list_of_instruments_leads_to_the_form(small, tester, as_person):
    page = as_person(tester).get(reverse("proving:instrument-list")).content.decode()
    assert 'href="/changes/new/instrument/?instrument=OSC-1"' in page
