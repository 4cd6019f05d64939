"""The site lead looks before a swap, records it, sees the rack fall back, prints the sheet; a pair proves it again."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from restoration.commissioning.models import AgainSheet, Change
from restoration.commissioning.services import recompute_all
from restoration.proving.models import RingOut, SignalCheck
from tests.commissioning.records import make_fit, may, power_up, prove, sign_all
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_signal, make_slot

SHEET_OF_A4_PX = 718  # 190 mm between the margins, at 96 px an inch
READY = "Ready: the rack's own gates stand, every chassis passed its gates, and every signal is proved."
pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def rack(tester):
    """Rack C, ready: two chassis fitted and powered, two wires between them proved; and a spare on the shelf."""
    rack, design = make_rack("C"), make_design()
    signal = make_signal("digit pulse", amplitude=(15, None, 20), pulse_duration=(2e-6, None, 3e-6))
    for code, serial in (("C-04", "SR-14"), ("C-05", "SR-15")):
        chassis = make_chassis(serial, design=design)
        make_fit(chassis)
        make_fitting(chassis, make_slot(code, design=design), fitted_by=tester, at=may(5))
        power_up(chassis, 6)
    make_fit(make_chassis("SR-16", design=design))
    for code, ends in (("17", ("C-04:1", "C-05:1")), ("18", ("C-05:2", "C-04:2"))):
        prove(make_link(*ends, code=code, signal=signal), 7)
    sign_all("rack", rack, 1)
    recompute_all()
    return rack


def readiness(visit):
    visit.open("/readiness/C/")
    return visit.lead()


def test_a_swap_is_looked_at_recorded_printed_and_proved_again(
    enter, rack, site_lead, tester, second_tester, power_person
):
    lead = enter(site_lead)
    assert readiness(lead) == READY
    look_before(lead)
    swap(lead)
    fell_back(lead)
    print_the_sheet(lead)
    sheet = AgainSheet.objects.get()
    bring_power_up(enter(power_person), sheet)
    prove_again(enter(tester), sheet)
    assert readiness(lead) == READY


def look_before(lead):
    lead.open("/machine/slots/of/C-04/")
    lead.follow("Record a change here")
    lead.follow("Swap a chassis")
    lead.follow("Before you do this")
    lead.heading("Before you do this: swap a chassis")
    assert lead.lead().startswith("This will put 2 links")
    lead.sees("Rule 2: slot C-04 → link 17 → load at C-05", "Rule 2: slot C-04 → link 18 → source at C-05")
    assert not Change.objects.exists()
    lead.follow("Go on to the form")


def swap(lead):
    lead.heading("Swap a chassis")
    lead.sees("HT and mains kill.")
    lead.fill("Chassis that goes in, by its serial", "SR-16")
    lead.fill("Label on the slot", "C-04")
    lead.fill("Label on the chassis", "SR-16")
    lead.fill("Why", "V3 went dark after an hour.")
    lead.choose("Second person", "Tomasz Wilk")
    lead.press("It is swapped")
    change = Change.objects.get()
    assert (change.kind, change.what) == ("chassis swapped", "chassis SR-14 swapped for SR-16 in slot C-04")
    lead.heading(f"Change {change.pk}")


def fell_back(lead):
    said = readiness(lead)
    assert said.startswith("Not ready: ")
    change = Change.objects.get()
    lead.sees(f"Change {change.pk}, chassis SR-14 swapped for SR-16 in slot C-04")
    lead.sees("(rule 2)")


def print_the_sheet(lead):
    change = Change.objects.get()
    lead.open(change.get_absolute_url())
    lead.follow("What to test again")
    lead.heading("Test again")
    assert lead.lead().startswith("6 checks to make again")
    lead.follow("Make a sheet to print")
    lead.press("Make the sheet")
    sheet = AgainSheet.objects.get()
    lead.heading(f"Sheet {sheet.pk}: test again")
    screen = lead.page.viewport_size
    lead.page.emulate_media(media="print")
    lead.page.set_viewport_size({"width": SHEET_OF_A4_PX, "height": 1000})
    expect(lead.page.locator("td .square-code")).to_have_count(6)
    for code in lead.page.locator("td .square-code").all():
        expect(code).to_be_visible()
    expect(lead.page.get_by_role("link", name="Enter the results")).to_be_hidden()
    lead.refuse_sideways()
    lead.page.emulate_media(media="screen")
    lead.page.set_viewport_size(screen)


def row(visit, words):
    return visit.page.locator(".again-row", has_text=words)


def bring_power_up(power, sheet):
    power.open(sheet.get_absolute_url())
    power.follow("Enter the results")
    power.choose("Second person", "Marek Hale")
    for words, seen in (("bring its heaters up", "6.3 V at the far pins"), ("bring its HT up", "250 V, 41 mA")):
        within = row(power, words)
        within.get_by_label("Result").select_option("passed")
        power.fill("What was seen or measured", seen, within=within)
    power.press("Record the results")
    power.sees("Recorded: 2 results: 2 passed.")


def prove_again(pair, sheet):
    pair.open(f"{sheet.get_absolute_url()}enter/")
    pair.choose("Second person", "Marek Hale")
    for code in ("17", "18"):
        ringing = row(pair, f"link {code}").filter(has_text="ring it out")
        pair.tick("Labels read at both ends", within=ringing)
        pair.fill("End to end", "0.4", within=ringing)
        pair.fill("To the chassis", "OL", within=ringing)
        seen = row(pair, f"link {code}").filter(has_text="check its signal")
        pair.fill("Amplitude", "17.2", within=seen)
        pair.fill("Pulse duration", "2.5", within=seen)
    pair.refuse_sideways()
    pair.press("Record the results")
    pair.sees("Recorded: 4 results: 4 passed.")
    since = timezone.now() - timedelta(minutes=10)
    assert RingOut.objects.filter(done_at__gte=since).count() == 2
    assert set(SignalCheck.objects.filter(done_at__gte=since).values_list("result", flat=True)) == {"passed"}
