from datetime import timedelta

import pytest
from django.test import RequestFactory
from django.urls import reverse
from django.utils import timezone

from restoration.proving.panels_links import SlotCounts, acts_of, shown_records, slot_counts
from restoration.proving.services import (
    EndFigures,
    give_concession,
    join_wire,
    lift_wire,
    record_signal_check,
    ring_out,
)
from tests.counting import queries_in
from tests.factories import make_fitted_ends, make_link, make_signal
from tests.proving.scope import capture
from tests.proving.test_signal_checks import GOOD, LIMITS


@pytest.fixture
def link(db):
    return make_fitted_ends(make_link(signal=make_signal(**LIMITS)))


@pytest.fixture
def pair(tester, second_tester):
    return {"done_by": tester, "second_person": second_tester, "entered_by": tester}


def ago(days):
    return timezone.now() - timedelta(days=days)


def joined(link, pair, days=30, **more):
    return join_wire(interconnect=link, at=ago(days), **pair, **more)


def rung(link, pair, days=20, ohms=0.4, **more):
    given = {"resistance_ohm": ohms, "to_chassis_ohm": 22e6, "both_labels_read": True}
    return ring_out(interconnect=link, at=ago(days), **given, **pair, **more)


def checked(link, pair, days=10, **more):
    ends = [more.pop("end", EndFigures("load", "found", GOOD | more.pop("figures", {})))]
    return record_signal_check(interconnect=link, ends=ends, at=ago(days), loads_joined=True, **pair, **more)


def words(link):
    return [act.words for act in acts_of(link)]


def test_the_next_thing_stands_first(link, pair):
    assert words(link) == ["Join it", "Record a signal check"]
    joined(link, pair)
    assert words(link) == ["Ring it out", "Record a signal check", "Make a joint again", "Lift it"]
    rung(link, pair, ohms=40.0)
    assert words(link)[0] == "Ring it out"
    rung(link, pair, days=19)
    assert words(link) == ["Record a signal check", "Ring it out", "Make a joint again", "Lift it"]
    joined(link, pair, days=5, kind="re-made")
    assert words(link)[0] == "Ring it out"
    lift_wire(interconnect=link, remarks="short in D-02", at=ago(1), **pair)
    assert words(link) == ["Join it", "Record a signal check"]


def test_the_page_of_a_link_offers_what_one_may_do(link, as_person, tester, builder):
    page = link.get_absolute_url()
    join = f'<a class="do" href="{reverse("proving:join", args=[link.code])}">Join it</a>'
    assert join in as_person(tester).get(page).content.decode()
    assert "Join it" not in as_person(builder).get(page).content.decode()


def test_records_are_listed_newest_first_and_corrected_ones_struck_through(link, pair, as_person, tester, site_lead):
    joined(link, pair)
    wrong = rung(link, pair, ohms=40.0)
    rung(link, pair, days=19, replaces=wrong, replaces_why="A point was left out.")
    failed = checked(link, pair, figures={"amplitude": 31.0})
    give_concession(record=failed, reason="The register takes it.", by=site_lead)
    lift_wire(interconnect=link, remarks="Short in D-02.", at=ago(1), **pair)
    names = [(shown.name, shown.mark) for shown in shown_records(link)]
    assert names == [
        ("Lifted", "withdrawn"),
        ("Signal check", "on concession"),
        ("Rung out", "passed"),
        ("Rung out", "void"),
        ("Joined", "passed"),
    ]
    page = as_person(tester).get(link.get_absolute_url()).content.decode()
    assert "<s>failed, 40 Ω end to end, 22 MΩ to the chassis</s>, replaced: A point was left out." in page
    assert "Corrects an earlier record: A point was left out." in page
    assert "Short in D-02." in page
    ring = reverse("proving:ring-out", args=[link.code])
    assert f"{ring}?replaces={wrong.pk}" not in page
    assert f"{ring}?replaces={wrong.pk + 1}" in page


def test_the_newest_check_in_force_is_drawn_on_the_page_of_the_link(link, pair, as_person, builder):
    client = as_person(builder)
    assert "It has not been joined, rung out or checked yet." in client.get(link.get_absolute_url()).content.decode()
    joined(link, pair)
    checked(link, pair, end=EndFigures("load", "found", capture=capture(), name="trace.csv"))
    wrong = checked(link, pair, days=5, figures={"amplitude": 31.0})
    page = client.get(link.get_absolute_url()).content.decode()
    assert "The amplitude, 31 ± 0.93 V, is outside its limit of 15 to 20 V." in page
    checked(
        link,
        pair,
        days=5,
        end=EndFigures("load", "found", capture=capture(), name="trace.csv"),
        replaces=wrong,
        replaces_why="It was read at ×10.",
    )
    page = client.get(link.get_absolute_url()).content.decode()
    assert "Within its limits at the load end as found, with every load joined." in page
    assert '<polyline class="line earlier"' in page
    assert '<polyline class="line found"' in page


def test_links_of_a_slot_are_counted_by_their_newest_records(link, pair, as_person, builder):
    other = make_link("B-05:8", "C-04:3", signal=make_signal())
    make_link("C-04:9", "D-02:4")
    make_link("B-05:8", "D-02:9")
    assert slot_counts(link.load.slot) == SlotCounts(3, 0, 0, 0, ())
    for each in (link, other):
        joined(each, pair)
        rung(each, pair)
    checked(link, pair)
    checked(other, pair, figures={"amplitude": 31.0})
    lift_wire(interconnect=link, remarks="moved", at=ago(1), **pair)
    assert slot_counts(link.load.slot) == SlotCounts(3, 1, 2, 1, (other.code,))
    page = as_person(builder).get(link.load.slot.get_absolute_url()).content.decode()
    assert "<b>1</b> of 3 joined, <b>2</b> rung out, <b>1</b> within their limits" in page
    assert "failed" in page
    checked(other, pair, days=2)
    assert slot_counts(link.load.slot).failed == ()


def test_a_slot_without_links_has_no_panel(as_person, builder, link):
    from tests.factories import make_slot

    page = as_person(builder).get(make_slot("D-09").get_absolute_url()).content.decode()
    assert "Links of this slot" not in page


def queries(panel, subject, person):
    request = RequestFactory().get("/")
    request.user = person
    return queries_in(lambda: panel(request, subject))


def test_panels_ask_a_constant_number_of_queries(link, pair, tester):
    from restoration.proving import panels_links

    def visit(days):
        joined(link, pair, days=days, kind="joined" if days == 200 else "re-made")
        rung(link, pair, days=days - 1)
        checked(link, pair, days=days - 2, end=EndFigures("load", "found", capture=capture(), name="a.csv"))

    def counts():
        panels = ("signal_panel", "records_panel", "acts_panel")
        found = [queries(getattr(panels_links, panel), link, tester) for panel in panels]
        return [*found, queries(panels_links.slot_panel, link.load.slot, tester)]

    assert tester.roles  # read once for each loaded person
    visit(200)
    visit(190)
    few = counts()
    for days in range(180, 100, -10):
        visit(days)
        make_link(f"B-05:{days}", f"C-04:{days}")
    assert counts() == few
    assert few[3] == 1
