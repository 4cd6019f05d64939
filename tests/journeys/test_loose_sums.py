"""Somebody at the rack works a loose sum on a phone and sends it on; and a coil's card goes to its maker on paper."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from restoration.sums.catalogue import sums
from restoration.workshop.services import RecipeGiven, add_recipe
from tests.browser import DESK, PHONE, Sight, arrive
from tests.factories import make_design

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

SHEET_OF_A4_PX = 718  # 190 mm between the margins, at 96 px an inch
ADVICE = "Advice: verify by measurement"


@pytest.fixture(params=[True, False], ids=["scripts on", "scripts off"])
def phone(request, browser, live_server, transactional_db, tester):
    visit = arrive(browser, live_server.url, Sight(PHONE, request.param), tester)
    yield visit
    assert visit.complaints == []


def answer(visit):
    return visit.page.locator("#answer")


def result(visit, label):
    """What the answer says under this label."""
    row = answer(visit).locator("dl > div", has=visit.page.get_by_text(label, exact=True))
    return row.locator("b").first.inner_text().replace("\xa0", " ")


def test_a_pulse_is_halved_refused_mended_and_sent_on(phone, browser, live_server, second_tester):
    phone.open("/sums/")
    phone.follow("Halving a pulse by two equal resistors")
    phone.heading("Halving a pulse by two equal resistors")
    phone.sees("HT and mains kill.")

    halve_from_a_stiff_source(phone)
    say_nonsense(phone)
    halve_from_one_that_is_not(phone)
    address = send_it_on(phone)

    other = arrive(browser, live_server.url, Sight(DESK), second_tester)
    other.page.goto(address)
    assert result(other, "Level at the load") == result(phone, "Level at the load")
    assert other.page.get_by_label("Each of the two resistors").input_value() == "4k7"
    assert other.complaints == []


def halve_from_a_stiff_source(phone):
    phone.fill("Each of the two resistors", "4k7")
    phone.fill("Resistance of the source", "0")
    phone.fill("Resistance of the load", "")
    phone.fill("Pulse of the source with nothing on it", "30")
    phone.press("Work it out")
    expect(answer(phone)).to_contain_text("two equal resistors of 4.70 kΩ halve the pulse. 15 V arrive.")
    assert result(phone, "Part of the open pulse") == "50 %"


def say_nonsense(phone):
    phone.fill("Resistance of the source", "-3k")
    phone.press("Work it out")
    phone.sees("Nothing was worked out.")
    expect(answer(phone)).to_contain_text("-3k")
    assert phone.page.get_by_label("Each of the two resistors").input_value() == "4k7", "the rest is kept"


def halve_from_one_that_is_not(phone):
    """30 V behind 4.7 kilohms, twice 4.7 kilohms, 4.7 kilohms of load: 30 times 2.35 in 11.75, a fifth."""
    phone.fill("Resistance of the source", "4k7")
    phone.fill("Resistance of the load", "4k7")
    phone.press("Work it out")
    expect(answer(phone)).to_contain_text("6 V arrive.")
    assert result(phone, "Part of the open pulse") == "20 %"
    expect(answer(phone)).to_contain_text("the source is not stiff, its own 4.70 kΩ takes 33.3 %")
    expect(answer(phone)).to_contain_text("the load is not light, its 4.70 kΩ takes 26.7 %")
    phone.refuse_sideways()


def send_it_on(phone):
    copied = phone.page.get_by_label("To copy").input_value()
    assert "6 V arrive." in copied
    assert ADVICE in copied
    return copied.rpartition("Address: ")[2].strip()


def test_every_sum_fits_a_phone(browser, live_server, transactional_db, tester):
    visit = arrive(browser, live_server.url, Sight(PHONE), tester)
    for slug, one in sums().items():
        visit.open(reverse("sums:sum", args=[slug]))
        visit.refuse_sideways()
        said = visit.page.locator("main").inner_text()
        assert ADVICE in said, slug
        assert one.source in said, slug
        assert ("HT and mains kill." in said) == one.leads_to_ht, slug
    assert visit.complaints == []


@pytest.fixture
def coil(transactional_db, drawings_keeper):
    """A peaking inductor, wound on a resistor and damped by it."""
    given = RecipeGiven(
        title="peaking inductor of the pulse former",
        former_m=6.3e-3,
        bare_m=0.122e-3,
        covered_m=0.15e-3,
        turns=110,
        wire="40 SWG",
        wanted_h=50e-6,
        tolerance=0.05,
        body_ohm=10e3,
        body_tolerance=0.1,
        body_w=1.0,
        stray_f=12e-12,
        finish="Two coats of shellac.",
    )
    return add_recipe(code="L-17", given=given, by=drawings_keeper, designs=[make_design()])


def test_the_card_of_a_coil_is_printed_with_blanks_for_its_maker(browser, live_server, coil, builder):
    visit = arrive(browser, live_server.url, Sight(DESK), builder)
    visit.open(coil.get_absolute_url())
    visit.heading("Coil L-17, peaking inductor of the pulse former")
    blanks = visit.page.locator("table.coil-figures .only-print")
    expect(blanks.first).to_be_hidden()
    visit.page.emulate_media(media="print")
    visit.page.set_viewport_size({"width": SHEET_OF_A4_PX, "height": 1000})
    for name in ("first", "second", "third", "Made by, date"):
        expect(visit.page.locator("table.coil-figures").get_by_text(name, exact=True)).to_be_visible()
    rows = visit.page.locator("table.coil-figures tbody tr")
    assert rows.count() >= 4
    for row in rows.all():
        assert [cell.inner_text().strip() for cell in row.locator("td").all()[-3:]] == ["", "", ""]
    box = rows.first.locator("td").last.bounding_box()
    assert box["width"] >= 40, "wide enough to write a figure in"
    visit.sees("110 turns of 40 SWG", "Old parts may harm you.", ADVICE, "10.0 kΩ")
    for pressed in visit.page.locator("button, a.do, form").all():
        expect(pressed).to_be_hidden()
    visit.refuse_sideways()
    assert visit.complaints == []
