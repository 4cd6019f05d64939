"""The site lead signs in with a code from a letter, and reads why a rack is not ready and what would help first."""

import re
from collections.abc import Iterator
from datetime import timedelta

import pytest
from django.core import mail
from django.core.cache import cache
from django.utils import timezone
from playwright.sync_api import expect

from restoration.commissioning.services import recompute_all
from restoration.workshop.services import allot
from tests.commissioning.records import sign_all
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_slot

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def no_earlier_tries(transactional_db: None) -> Iterator[None]:
    """Tries are counted in the cache, whose table is not emptied with the others."""
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def rack(site_lead, builder, tester):
    """Rack C: one chassis is fitted, one is with its builder, and a wire runs between their slots."""
    design = make_design()
    slots = [make_slot(code, design=design) for code in ("C-04", "C-05")]
    make_fitting(make_chassis("SR-14"), slots[0], fitted_by=tester, at=timezone.now() - timedelta(days=2))
    allot(chassis=make_chassis("SR-15"), builder=builder, by=site_lead)
    make_link("C-04:1", "C-05:1", code="17")
    sign_all("rack", make_rack("C"), 1)
    recompute_all()


def sign_in(visit, person):
    visit.heading("Sign in")
    visit.fill("Your e-mail address", person.email)
    visit.press("Send me a code")
    visit.heading("The code from the letter")
    letter = mail.outbox[-1]
    assert letter.to == [person.email]
    visit.fill("The code from the letter", re.search(r"^ {4}(\S+)$", letter.body, re.MULTILINE)[1])
    visit.press("Sign in")


def test_the_site_lead_reads_what_holds_a_rack(enter, no_earlier_tries, site_lead, rack):
    lead = enter(None)
    lead.open("/")
    sign_in(lead, site_lead)
    lead.heading("'s sheet")
    racks = lead.page.locator("table", has=lead.page.get_by_role("link", name="Rack C"))
    expect(racks).to_contain_text("Not ready: ")

    lead.follow("Rack C", among=racks)
    lead.heading("Rack C")
    said = lead.lead()
    assert said.startswith("Not ready: ")
    nearest = re.search(r"Nearest: (chassis for slot|link) (\S+?):", said)
    assert nearest, said
    assert "waits for" in said
    holds = lead.page.locator("ol.next > li")
    expect(holds.first).to_contain_text(nearest[2])

    kind = {"link": "Link", "chassis for slot": "Slot"}[nearest[1]]
    lead.follow(f"{kind} {nearest[2]}", among=holds.first)
    lead.heading(f"{kind} {nearest[2]}")

    lead.page.go_back()
    lead.follow("things that hold rack C")
    lead.heading("Is rack C ready?")
    waiting = lead.page.locator("ol.next > li", has_text="Slot C-05:")
    expect(waiting).to_contain_text("Waits for Pilar Ortuno.")
