"""The site receives a chassis, looks it over, tests it and fits it; and a wrong one is refused."""

import pytest

from restoration.commissioning.models import Standing
from restoration.logbook.models import Entry
from restoration.machine.models import Fitting
from restoration.proving.models import BenchTest, ColdCheck, ReceivingCheck
from restoration.workshop.services import allot, hand_over, take_step
from tests.factories import make_bench_point, make_chassis, make_design, make_slot

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def chassis(builder, site_lead):
    """One chassis handed over, and a slot that wants it."""
    design = make_design()
    make_slot("C-04", design=design, function="summing register, digits 1 to 4")
    make_bench_point(design, "V3 anode", "dc_level", least=95.0, nominal=100.0, most=105.0)
    make_bench_point(design, "terminal 7", "amplitude", load_resistance_ohm=4700.0, load_capacitance_f=60e-12)
    chassis = make_chassis("SR-14", design=design)
    allot(chassis=chassis, builder=builder, by=site_lead)
    for kind in ("in hand", "built"):
        take_step(chassis=chassis, kind=kind, done_by=builder, entered_by=builder)
    hand_over(chassis=chassis, done_by=builder, entered_by=builder)
    return chassis


def test_a_chassis_is_received_checked_tested_and_fitted(enter, tester, second_tester, chassis):
    site = enter(tester)
    site.open("/machine/chassis/of/SR-14/")
    receive(site)
    check_cold(site)
    try_on_bench(site)
    refuse_the_wrong_one(site)
    fit(site)
    states = dict(Standing.objects.filter(chassis=chassis).values_list("gate", "state"))
    assert states == dict.fromkeys(
        ["allotted", "built", "received", "cold-checked", "bench-tested", "fitted"], "passed"
    )


def receive(site):
    site.follow("Receive it")
    site.heading("Receive SR-14")
    site.fill("Serial on its label", "SR-41")
    site.tick("Its papers came with it and are complete")
    site.press("Receive it")
    site.sees("The label reads SR-41, and this is the page of chassis SR-14. Nothing was received;")
    assert not ReceivingCheck.objects.exists()
    site.fill("Serial on its label", "SR-14")
    site.press("Receive it")
    site.heading("Chassis SR-14")
    assert ReceivingCheck.objects.get().result == "passed"


def check_cold(site):
    site.follow("Check it cold")
    site.sees("Old parts may harm you.", "HT and mains kill.")
    site.tick("yes", within=site.part("Does it agree with its drawing?"))
    site.tick("yes", within=site.part("Are all joints good?"))
    site.fill("HT to chassis", "2M2")
    site.fill("Heaters to chassis", "10M")
    site.choose("Seen by", "Marek Hale")
    site.press("Record the cold check")
    site.heading("Chassis SR-14")
    check = ColdCheck.objects.get()
    assert (check.result, check.ht_to_chassis_ohm, str(check.second_person)) == ("passed", 2.2e6, "Marek Hale")


def try_on_bench(site):
    site.follow("Test it on the bench")
    site.sees("HT and mains kill.", "Read with: 4.7 kΩ ∥ 60 pF.")
    site.fill("HT, V", "250")
    site.fill("V3 anode", "101")
    site.fill("terminal 7", "17,4 V")
    site.choose("Second person", "Marek Hale")
    site.press("Record the bench test")
    site.heading("Bench test of SR-14")
    site.sees("17.4 V", "101 V")
    test = BenchTest.objects.get()
    assert (test.result, test.ht_v) == ("passed", 250.0)
    assert {(row.place, row.value, row.verdict) for row in test.readings.all()} == {
        ("V3 anode", 101.0, "within"),
        ("terminal 7", 17.4, "within"),
    }


def refuse_the_wrong_one(site):
    make_chassis("SR-15")
    site.open("/machine/slots/of/C-04/")
    site.follow("Fit a chassis here")
    lines = Entry.objects.count()
    for chosen, read, said in (
        ("SR-14", "GT-02", "The label on the chassis reads “GT-02”, but chassis SR-14 was meant."),
        ("SR-15", "SR-15", "Chassis SR-15 is not ready to be fitted: the gate “received” is not done."),
    ):
        choose_chassis(site, chosen)
        site.fill("Label on the slot", "C-04")
        site.fill("Label on the chassis", read)
        site.choose("Second person", "Marek Hale")
        site.press("It is fitted")
        site.sees("Nothing was stored yet.", said)
        assert site.page.get_by_label("Label on the chassis").input_value() == read, "one's own words stay"
    assert not Fitting.objects.exists()
    assert Entry.objects.count() == lines


def choose_chassis(site, serial):
    site.page.get_by_label("Chassis", exact=True).select_option(label=f"chassis {serial}")


def fit(site):
    choose_chassis(site, "SR-14")
    site.fill("Label on the slot", "C-04")
    site.fill("Label on the chassis", "SR-14")
    site.press("It is fitted")
    site.heading("Slot C-04")
    site.sees("SR-14")
    fitting = Fitting.objects.get()
    assert (fitting.slot_label_read, fitting.chassis_label_read) == ("C-04", "SR-14")
    assert Entry.objects.order_by("number").last().sentence == (
        "Tomasz Wilk fitted chassis SR-14 in slot C-04, seen by Marek Hale."
    )
