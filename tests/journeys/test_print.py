"""What is printed: no strip, no buttons, and every caution whole, on the pages that go to the rack on paper."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from restoration.people.roles import Role
from tests.browser import DESK, PHONE, Sight, arrive
from tests.conftest import make_person
from tests.journeys.furnished_machine import FurnishedMachine

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

SHEET_OF_A4_PX = 718  # 190 mm between the margins, at 96 px an inch
CAUTION = (
    "HT and mains kill.",
    "prove dead at the point of work",
    "Heaters only is not off",
    "Never float an earthed oscilloscope",
    "The paper permit is the master.",
    "come before anything on this sheet.",
)


@pytest.fixture
def machine(transactional_db):
    return FurnishedMachine(make_person("Ama Boateng", Role.SITE_LEAD))


@pytest.fixture
def paths(machine):
    return {
        "rack": reverse("machine:rack-detail", args=[machine.rack.code]),
        "interconnect": machine.proved.get_absolute_url(),
        "signal check": machine.judged.get_absolute_url(),
        "bench test": machine.bench.get_absolute_url(),
        "readiness": reverse("commissioning:rack-readiness", args=[machine.rack.code]),
        "test again": machine.sheet.get_absolute_url(),
        "loops": reverse("machine:loops"),
        "on this link": reverse("conditioning:link", args=[machine.too_large.code]) + "?choose=shunt_ohm:330.0",
        "modification note": machine.conditioned.get_absolute_url(),
        "card of a note": reverse("conditioning:note-card", args=[machine.conditioned.pk]),
        "bench and place": reverse("conditioning:bench-slot", args=[machine.slot.code]) + "?page=4",
        "loose sum": reverse("sums:sum", args=["termination"]),
    }


def test_on_paper_the_caution_is_whole_and_what_is_pressed_is_gone(browser, live_server, machine, paths):
    visit = arrive(browser, live_server.url, Sight(DESK), machine.walker)
    visit.page.emulate_media(media="print")
    visit.page.set_viewport_size({"width": SHEET_OF_A4_PX, "height": 1000})
    for sheet, path in paths.items():
        visit.open(path)
        look_at_paper(visit, sheet)
    assert visit.complaints == []


def look_at_paper(visit, sheet):
    expect(visit.page.locator(".strip")).to_be_hidden()
    pressed = visit.page.locator("button, a.do, summary")
    assert [each.inner_text() for each in pressed.all() if each.is_visible()] == [], sheet
    caution = visit.page.get_by_label("Caution, HT and mains")
    assert caution.count() == 1, f"{sheet}: once is enough"
    for words in CAUTION:
        expect(caution.get_by_text(words)).to_be_visible()
        assert caution.get_by_text(words).bounding_box()["height"] > 0, sheet
    visit.refuse_sideways()
    expect(visit.page.get_by_label("Title block")).to_contain_text("log book head")


def test_a_waveform_that_was_zoomed_is_printed_as_drawn(browser, live_server, machine, paths):
    visit = arrive(browser, live_server.url, Sight(PHONE), machine.walker)
    visit.open(paths["signal check"])
    visit.page.wait_for_selector("figure.is-live")
    visit.page.emulate_media(media="print")
    expect(visit.page.locator(".trace-live").first).to_be_hidden()
    for drawing in visit.page.locator("figure.trace > svg").all():
        expect(drawing).to_be_visible()
