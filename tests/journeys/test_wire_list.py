"""The drawings keeper brings in a wire list: sees what would change, says yes; and a bad one changes nothing."""

import pytest
from playwright.sync_api import expect

from restoration.logbook.models import Entry
from restoration.machine.models import Interconnect, Slot
from tests.factories import make_link

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

HEADINGS = "from_slot,from_terminal,to_slot,to_terminal,link,signal,colour,length_m"
GOOD = f"{HEADINGS}\nB-05,7,C-04,2,17,digit pulse,red,4.6\nB-05,7,D-02,4,18,digit pulse,green,5.1\n"
BAD = f"{HEADINGS}\nB-05,7,C-04,2,17,digit pulse,red,long\nB-05,7,,4,18,digit pulse,green,5.1\n"


@pytest.fixture
def link(db):
    return make_link("B-05:7", "C-04:2", code="17", signal="digit pulse", colour="green", length_m=4.6)


def choose(keeper, text):
    keeper.open("/machine/wire-list/")
    keeper.follow("Bring in a wire list")
    keeper.send("Wire list", "looms.csv", text.encode(), kind="text/csv")
    keeper.tick("Add racks, slots and terminals that are not known yet")
    keeper.press("See what would change")


def test_a_wire_list_is_seen_before_it_is_brought_in(enter, drawings_keeper, link):
    keeper = enter(drawings_keeper)
    choose(keeper, GOOD)
    keeper.heading("What “looms.csv” would change")
    changed = keeper.page.locator("table", has=keeper.page.get_by_text("what changes"))
    expect(keeper.page.get_by_role("heading", name="Links that change")).to_be_visible()
    expect(keeper.page.locator("main")).to_contain_text("colour: green → red")
    assert changed.count() == 1
    expect(keeper.page.get_by_role("heading", name="Links that are new")).to_be_visible()
    link.refresh_from_db()
    assert (link.colour, Interconnect.objects.count()) == ("green", 1), "nothing is stored before one says yes"

    keeper.press("Bring it in")
    keeper.sees("The wire list is in.")
    link.refresh_from_db()
    assert (link.colour, Interconnect.objects.count()) == ("red", 2)
    assert Interconnect.objects.get(code="18").load.slot == Slot.objects.get(code="D-02")
    assert "looms.csv" in Entry.objects.order_by("number").last().sentence


def test_a_bad_wire_list_says_where_and_changes_nothing(enter, drawings_keeper, link):
    keeper = enter(drawings_keeper)
    choose(keeper, BAD)
    keeper.sees("What cannot be taken")
    refused = keeper.page.locator("tbody tr")
    expect(refused.nth(0)).to_contain_text("line 2")
    expect(refused.nth(0)).to_contain_text("length_m")
    expect(refused.nth(0)).to_contain_text("long")
    expect(refused.nth(1)).to_contain_text("line 3")
    expect(refused.nth(1)).to_contain_text("to_slot")
    for row in refused.all():
        assert row.locator("td[data-label=reason]").inner_text().strip().endswith(".")
    link.refresh_from_db()
    assert (link.colour, Interconnect.objects.count(), Slot.objects.count()) == ("green", 1, 2)
    assert not Entry.objects.exists()
