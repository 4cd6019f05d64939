"""A pair at the rack joins a link, rings it out, finds its signal too high, cures that and proves it."""

from datetime import timedelta

import pytest
from django.utils import timezone

from restoration.commissioning.models import Standing
from restoration.faults.models import Attempt, Fault
from restoration.proving.models import Joining, RingOut, SignalCheck
from tests.factories import make_chassis, make_fitting, make_link, make_signal, make_slot
from tests.journeys.things import capture_found, capture_left

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def link(tester):
    """A link between two chassis that are fitted, with limits on its signal."""
    make_signal("digit pulse", amplitude=(15, None, 20), pulse_duration=(2e-6, None, 3e-6))
    for slot, serial in (("B-05", "PF-03"), ("C-04", "SR-14")):
        make_fitting(make_chassis(serial), make_slot(slot), fitted_by=tester, at=timezone.now() - timedelta(days=2))
    return make_link("B-05:7", "C-04:2", code="17", signal="digit pulse", colour="green", length_m=4.6)


def test_a_link_is_joined_found_wanting_cured_and_proved(enter, tester, second_tester, link):
    rack = enter(tester)
    rack.open(link.get_absolute_url())
    join(rack)
    ring_out(rack)
    check_and_fail(rack)
    fault = open_fault(rack)
    try_something(rack, fault)
    check_and_pass(rack, link)
    close_as_cured(rack, fault)
    rack.open(link.get_absolute_url())
    rack.heading("Link 17, digit pulse")
    log = rack.page.locator("section", has=rack.page.get_by_role("heading", name="Fault log of this link")).last
    assert "cured" in log.inner_text()
    assert "Time lost in all: 25 min." in log.inner_text()
    states = dict(Standing.objects.filter(interconnect=link).values_list("gate", "state"))
    assert states == {"joined": "passed", "rung out": "passed", "signal-checked": "passed"}
    assert rack.lead().startswith("Passed")


def join(rack):
    rack.follow("Join it")
    rack.sees("HT and mains kill.", "This is dead work.")
    rack.choose("Both joints viewed by", "Marek Hale")
    rack.press("Record it as joined")
    rack.sees("Recorded: link 17 joined, viewed by Marek Hale.")
    assert Joining.objects.get().kind == "joined"


def ring_out(rack):
    rack.follow("Ring it out")
    rack.tick("I read the labels at both ends")
    rack.fill("End to end", "0.4")
    rack.fill("To the chassis", "OL")
    rack.press("Record the ring-out")
    rack.sees("Recorded: link 17 rung out")
    assert RingOut.objects.get().result == "passed"


def check_and_fail(rack):
    rack.follow("Record a signal check")
    rack.sees("HT and mains kill.", "15 to 20 V")
    found = rack.part("Load end C-04:2, as found")
    rack.send("Capture from the oscilloscope", "F0001CH1.CSV", capture_found(), kind="text/csv", within=found)
    rack.tick("all joined")
    rack.unfold("instrument not named")
    rack.tick("×10")
    rack.press("Record the signal check")
    rack.heading("Signal check of link 17")
    assert rack.lead().startswith("Failed")
    check = SignalCheck.objects.get()
    assert check.result == "failed"
    assert check.readings.get(quantity="amplitude", stage="found").value == pytest.approx(29.1, rel=0.02)
    assert str(check.second_person) == "Marek Hale", "whom one worked with last is filled in"
    assert rack.page.locator("figure.trace").count() == 1


def open_fault(rack):
    rack.follow("Open a fault, filled in")
    told = rack.page.get_by_label("What was seen").input_value()
    assert told == f"Signal check {SignalCheck.objects.get().pk}: outside its limits: amplitude at the load end, found."
    rack.fill("How often", "every pulse")
    rack.press("Log the fault")
    rack.sees("The fault is in the log.")
    fault = Fault.objects.get()
    assert (fault.symptom, fault.from_check, fault.how_often) == (told, SignalCheck.objects.get(), "every pulse")
    return fault


def try_something(rack, fault):
    rack.follow("Write down what was tried")
    rack.fill("What was tried", "Lifted the second load.")
    rack.fill("What was read or seen then", "29 V all the same.")
    rack.fill("Time it took, in minutes", "25")
    rack.press("Write it down")
    rack.sees("What was tried is written down.", "25 min")
    assert Attempt.objects.get(fault=fault).minutes == 25


def check_and_pass(rack, link):
    rack.open(link.get_absolute_url())
    rack.follow("Record a signal check")
    found = rack.part("Load end C-04:2, as found")
    rack.send("Capture from the oscilloscope", "F0002CH1.CSV", capture_found(), kind="text/csv", within=found)
    left = rack.unfold("Load end, as left")
    rack.fill("Parts changed", "1k2 in series at B-05:7, 3k3 across C-04:2", within=left)
    rack.send("Capture from the oscilloscope", "F0003CH1.CSV", capture_left(), kind="text/csv", within=left)
    rack.press("Record the signal check")
    rack.heading("Signal check of link 17")
    assert rack.lead().startswith("Passed")
    check = SignalCheck.objects.latest("pk")
    amplitudes = {row.stage: (row.value, row.verdict) for row in check.readings.filter(quantity="amplitude")}
    assert amplitudes["found"][0] == pytest.approx(29.1, rel=0.02)
    assert amplitudes["left"] == (pytest.approx(17.7, rel=0.02), "within")
    figure = rack.page.locator("figure.trace")
    assert figure.locator("polyline.found").count() == figure.locator("polyline.left").count() == 1
    assert figure.locator("polyline.earlier").count() == 1, "the check before lies behind"


def close_as_cured(rack, fault):
    rack.open(fault.get_absolute_url())
    rack.follow("Close it")
    rack.tick("cured")
    rack.fill("Cause", "The source drives 150 Ω; the drawing supposes 1k5.")
    rack.fill("Cure", "Attenuator of 1k2 and 3k3.")
    rack.press("Close it")
    rack.sees(f"Fault {fault.pk} is closed.", "cured")
    fault.refresh_from_db()
    assert (fault.outcome, fault.proof) == ("cured", SignalCheck.objects.latest("pk"))
