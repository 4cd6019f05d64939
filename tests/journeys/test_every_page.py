"""Every page of the site, looked at on a phone and on a desk: it fits, it is titled, and anyone can use it."""

from collections import defaultdict
from typing import Any
from urllib.parse import urlencode

import pytest
from django.urls import reverse
from playwright.sync_api import Response

from restoration.people.models import Person
from restoration.people.roles import Role
from tests.architecture.addresses import ADDRESSES, Address
from tests.browser import AXE, DESK, PHONE, STICKS_OUT, Sight, Visit, arrive
from tests.conftest import make_person
from tests.journeys.furnished_machine import FurnishedMachine

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

# What is no page: pictures, files, samples, and what answers only a post.
NO_PAGES = {
    "workshop:photo-image",
    "workshop:photo-small",
    "commissioning:change-photo",
    "proving:capture-original",
    "proving:capture-trace",
    "conditioning:link-trace",
    "conditioning:keep-prediction",
    "conditioning:constants-use",
    "machine:wire-list-export",
    "mfa_login_webauthn",
    "kestrel:capture",
    "kestrel:play",
}
FOR_VISITORS = {
    "account_login",
    "account_request_login_code",
    "account_confirm_login_code",
    "account_signup",
    "account_inactive",
    "people:invitation",
    "kestrel:cast",
}

USABLE = """async () => {
  const found = await axe.run(document, {resultTypes: ["violations"], iframes: false});
  return found.violations.filter(fault => ["serious", "critical"].includes(fault.impact))
    .map(fault => `${fault.id}: ${fault.nodes.map(node => node.html).join(" ").slice(0, 300)}`);
}"""
TITLED = """() => {
  const wrong = [], titles = document.querySelectorAll("h1");
  if (titles.length !== 1 || !titles[0].textContent.trim()) wrong.push(`${titles.length} headings of the page`);
  if (!document.title.split("·")[0].trim()) wrong.push("no title");
  if (!document.querySelector("dl.block dd").textContent.trim()) wrong.push("no sheet in the title block");
  if (!document.querySelector("p.lead").textContent.trim()) wrong.push("no sentence that opens the page");
  return [...wrong, ...window.brokenPolicy];
}"""


def part_of(address: Address) -> str:
    """The part of the site that an address belongs to."""
    app = address.name.partition(":")
    return app[0] if app[1] else "sign-in"


PARTS: dict[str, list[Address]] = defaultdict(list)
for each in ADDRESSES:
    if each.name not in NO_PAGES:
        PARTS[part_of(each)].append(each)


def paths(machine: FurnishedMachine, addresses: list[Address]) -> list[str]:
    """The paths to look at: every address with the first thing that it can name, and some with others."""
    found = {reverse(one.name, kwargs=machine.arguments(one.name, set(one.wanted))): None for one in addresses}
    names = {one.name for one in addresses}
    for address, instead in machine.variants():
        if address.name in names:
            found[reverse(address.name, kwargs=instead)] = None
    found |= {path: None for name, path in machine.asked() if name in names}
    if any(name.endswith("-list") for name in names):
        found |= {
            reverse(name) + "?" + urlencode({"page": 2}): None for name in sorted(names) if name.endswith("-list")
        }
    return list(found)


def look_at(visit: Visit, path: str) -> list[str]:
    """Say what is wrong with one page, at both widths."""
    visit.page.set_viewport_size({"width": PHONE, "height": 844})
    answer: Response | None = visit.page.goto(visit.site + path, wait_until="load")
    wrong = [] if answer and answer.status == 200 else [f"it answers {answer and answer.status}"]
    visit.page.evaluate(AXE)
    wrong += visit.page.evaluate(TITLED)
    for width in (PHONE, DESK):
        visit.page.set_viewport_size({"width": width, "height": 900})
        wrong += [f"at {width} px sticks out: {what}" for what in visit.page.evaluate(STICKS_OUT)]
        wrong += [f"at {width} px: {fault}" for fault in visit.page.evaluate(USABLE)]
    return [f"{path} {fault}" for fault in wrong]


@pytest.fixture
def machine(transactional_db: None, settings: Any) -> FurnishedMachine:
    settings.DEMO = True
    return FurnishedMachine(make_person("Ama Boateng", Role.SITE_LEAD, Role.POWER))


def walk(browser: Any, site: str, person: Person | None, found: list[str]) -> list[str]:
    visit = arrive(browser, site, Sight(PHONE), person)
    wrong = [fault for path in found for fault in look_at(visit, path)]
    return wrong + visit.complaints


@pytest.mark.parametrize("part", sorted(PARTS))
def test_pages_fit_are_titled_and_usable(browser, live_server, machine, part):
    found = paths(machine, PARTS[part])
    assert found
    wrong = walk(browser, live_server.url, machine.walker, found)
    assert wrong == [], "\n".join(wrong)


def test_pages_of_a_visitor_fit_are_titled_and_usable(browser, live_server, machine):
    addresses = [address for address in ADDRESSES if address.name in FOR_VISITORS]
    assert len(addresses) == len(FOR_VISITORS)
    wrong = walk(browser, live_server.url, None, [*paths(machine, addresses), "/"])
    assert wrong == [], "\n".join(wrong)


def test_a_refusal_is_a_page_too(browser, live_server, machine):
    visit = arrive(browser, live_server.url, Sight(PHONE), machine.second)
    for path, status in (("/", 403), ("/no-such-sheet/", 404)):
        wrong = look_at(visit, path)
        assert [fault for fault in wrong if f"it answers {status}" not in fault] == []
