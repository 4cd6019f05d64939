"""Pages on which a chassis is received, checked cold and tested: by plain post, by htmx, and by who may."""

import re
import uuid

import pytest
from django.test import Client
from django.urls import reverse

from restoration.logbook.models import Entry
from restoration.machine.records import Result
from restoration.proving.models import BenchTest, ColdCheck, Instrument, ReceivingCheck
from restoration.workshop.models import Step, StepKind
from restoration.workshop.order import stage_of
from restoration.workshop.services import allot, take_step
from tests.counting import queries_of
from tests.factories import make_bench_point, make_chassis, make_design
from tests.reading import words

K = StepKind


@pytest.fixture
def design(db):
    design = make_design("KS-207")
    make_bench_point(design, "anode V2", "dc_level", least=140.0, most=160.0)
    make_bench_point(design, "output", "amplitude", least=15.0, most=20.0, load_resistance_ohm=10e3)
    make_bench_point(design, "output", "rise_time", least=None, most=300e-9, load_resistance_ohm=10e3)
    make_bench_point(design, "output", "overshoot", least=None, most=0.1, load_resistance_ohm=10e3)
    return design


@pytest.fixture
def chassis(design, site_lead, builder):
    row = make_chassis("SR-14", design=design)
    allot(chassis=row, builder=builder, by=site_lead)
    for kind in (K.IN_HAND, K.BUILT, K.HANDED_OVER):
        take_step(chassis=row, kind=kind, done_by=builder, entered_by=builder)
    row.refresh_from_db()
    return row


def page(name, *args):
    return reverse(f"proving:{name}", args=args)


@pytest.fixture
def received(tester):
    return {"label_read": "SR-14", "papers_complete": "on", "done_by": tester.pk}


@pytest.fixture
def cold(tester, second_tester):
    return {
        "agrees_with_drawing": "yes",
        "joints_good": "yes",
        "ht_to_chassis_ohm": "2M2",
        "heater_to_chassis_ohm": "OL",
        "place": "bench",
        "done_by": tester.pk,
        "second_person": second_tester.pk,
    }


@pytest.fixture
def bench(design, tester, second_tester):
    typed = dict(zip(design.bench_points.values_list("pk", flat=True), ["150", "17,5", "220", "6 %"], strict=True))
    people = {"done_by": tester.pk, "second_person": second_tester.pk}
    supplies = {"ht_v": "250", "ht_ma": "38.5", "heater_v": "6.3", "warm_up_min": "30"}
    return {**people, **supplies, **{f"figure_{pk}": text for pk, text in typed.items()}}


@pytest.fixture
def checked(chassis, tester, cold, as_person):
    assert as_person(tester).post(page("cold-check", "SR-14"), cold).status_code == 302
    return chassis


# --- receiving ---


def test_a_chassis_is_received_by_reading_its_label(chassis, tester, received, as_person):
    answer = as_person(tester).post(page("receive", "SR-14"), received, follow=True)
    assert answer.redirect_chain[0][0] == chassis.get_absolute_url()
    assert "Recorded: chassis SR-14 looked over at the door. Result: passed." in words(answer)
    assert stage_of(Step.objects.of(chassis)) == K.RECEIVED


def test_the_label_is_not_filled_in_for_one(chassis, tester, as_person):
    form = as_person(tester).get(page("receive", "SR-14")).content.decode()
    field = re.search(r'<input[^>]*name="label_read"[^>]*>', form)[0]
    assert "value" not in field


def test_another_label_is_refused_beside_its_field_and_nothing_is_stored(chassis, tester, received, as_person):
    answer = as_person(tester).post(page("receive", "SR-14"), {**received, "label_read": "SR-15"})
    assert answer.status_code == 422
    assert "The label reads SR-15, and this is the page of chassis SR-14." in words(answer)
    assert not ReceivingCheck.objects.exists()


def test_a_storekeeper_may_receive_and_a_builder_may_not(chassis, storekeeper, builder, received, as_person):
    assert as_person(builder).post(page("receive", "SR-14"), received).status_code == 403
    sent = {**received, "done_by": storekeeper.pk}
    assert as_person(storekeeper).post(page("receive", "SR-14"), sent).status_code == 302
    assert ReceivingCheck.objects.get().entered_by == storekeeper


def test_a_chassis_on_site_already_says_so_instead_of_a_form(chassis, tester, received, as_person):
    client = as_person(tester)
    client.post(page("receive", "SR-14"), received)
    answer = client.get(page("receive", "SR-14"))
    assert "Chassis SR-14 is recorded as received on site already." in words(answer)
    assert "label_read" not in answer.content.decode()


def test_a_record_is_corrected_by_another(chassis, tester, received, as_person):
    client = as_person(tester)
    client.post(page("receive", "SR-14"), {**received, "damage": "Bent flange"})
    wrong = ReceivingCheck.objects.get()
    address = f"{page('receive', 'SR-14')}?replaces={wrong.pk}"
    form = client.get(address)
    assert "Bent flange" in form.content.decode()
    assert "What was wrong with the earlier record" in words(form)
    assert client.post(address, received).status_code == 422
    assert client.post(address, {**received, "replaces_why": "The crate was bent."}).status_code == 302
    assert ReceivingCheck.objects.get(replaces=wrong).result == Result.PASSED
    said = words(client.get(chassis.get_absolute_url()))
    assert "replaced: The crate was bent." in said


@pytest.mark.parametrize("number", ["99999", "x", "1" * 30, "-1"])
def test_a_record_that_is_not_there_is_not_corrected(chassis, tester, as_person, number):
    assert as_person(tester).get(f"{page('receive', 'SR-14')}?replaces={number}").status_code == 404


# --- cold check ---


def test_a_cold_check_takes_resistances_as_they_are_marked_on_a_part(chassis, tester, cold, as_person):
    client = as_person(tester)
    assert client.post(page("cold-check", "SR-14"), cold).status_code == 302
    record = ColdCheck.objects.get()
    assert (record.ht_to_chassis_ohm, record.heater_to_chassis_ohm) == (2.2e6, float("inf"))
    assert (record.result, record.place) == (Result.PASSED, "bench")
    said = words(client.get(chassis.get_absolute_url()))
    assert "HT to chassis 2.2 MΩ, heaters to chassis open" in said


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"agrees_with_drawing": ""}, "Say whether it agrees with its drawing: yes or no."),
        ({"joints_good": ""}, "Say whether all joints are good: yes or no."),
        ({"second_person": ""}, "A cold check is seen by a second person; say who."),
        ({"ht_to_chassis_ohm": "plenty"}, "“plenty” was given, and this is a resistance"),
        ({"ht_to_chassis_ohm": "-5"}, "“-5” is below zero, and this cannot be."),
    ],
)
def test_a_sheet_filled_in_badly_stores_nothing(chassis, tester, cold, as_person, wrong, sentence):
    answer = as_person(tester).post(page("cold-check", "SR-14"), {**cold, **wrong}, HTTP_HX_REQUEST="true")
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not ColdCheck.objects.exists()


def test_the_pages_carry_their_cautions(chassis, tester, cold, as_person):
    client = as_person(tester)
    said = words(client.get(page("cold-check", "SR-14")))
    assert "Old parts may harm you." in said
    assert "HT and mains kill." in said
    client.post(page("cold-check", "SR-14"), cold)
    assert "HT and mains kill." in words(client.get(page("bench-test", "SR-14")))


def test_hazards_are_shown_on_the_page_of_the_chassis(chassis, tester, cold, as_person):
    client = as_person(tester)
    client.post(page("cold-check", "SR-14"), {**cold, "hazards": "Sleeving may hold asbestos"})
    assert "beware: Sleeving may hold asbestos" in words(client.get(chassis.get_absolute_url()))


def test_who_may_check_cold(chassis, builder, storekeeper, cold, as_person):
    assert as_person(storekeeper).get(page("cold-check", "SR-14")).status_code == 403
    assert as_person(builder).get(page("cold-check", "SR-14")).status_code == 200


# --- bench test ---


def test_figures_are_typed_in_the_units_of_the_bench(checked, tester, bench, as_person):
    answer = as_person(tester).post(page("bench-test", "SR-14"), bench)
    test = BenchTest.objects.get()
    assert answer["Location"] == test.get_absolute_url()
    assert [row.value for row in test.readings.all()] == [150.0, 17.5, pytest.approx(220e-9), 0.06]
    assert (test.ht_v, test.ht_ma, test.heater_v, test.warm_up_min) == (250.0, 38.5, 6.3, 30.0)
    assert test.result == Result.PASSED


def test_the_sheet_shows_limit_and_load_of_each_figure(checked, tester, as_person):
    said = words(as_person(tester).get(page("bench-test", "SR-14")))
    assert "Limit: 15 to 20 V. Read with: 10 kΩ." in said
    assert "Limit: at most 300 ns. Read with: 10 kΩ." in said
    assert "Limit: 140 to 160 V. Read with: no load." in said
    assert "output, rise, ns" in said


def test_the_certificate_shows_conditions_figures_and_people(checked, tester, bench, as_person):
    client = as_person(tester)
    Instrument.objects.create(mark="OSC-2", kind="oscilloscope", check_due_on="2020-01-01")
    sent = {**bench, "instrument": Instrument.objects.get().pk}
    answer = client.post(page("bench-test", "SR-14"), sent, follow=True)
    said = words(answer)
    for part in (
        "17.5 V",
        "15 to 20 V",
        "10 kΩ",
        "within",
        "Tomasz Wilk",
        "Marek Hale",
        "KS-207 issue D",
        "250 V",
        "38.5 mA",
    ):
        assert part in said, part
    assert "Its check was due on 1 Jan 2020 ." in said
    assert "HT and mains kill." in said


def test_a_failed_test_offers_no_more_than_a_concession_to_those_who_may_give_one(
    checked, design, tester, drawings_keeper, bench, as_person
):
    output = design.bench_points.get(quantity="amplitude")
    answer = as_person(tester).post(page("bench-test", "SR-14"), {**bench, f"figure_{output.pk}": "12"})
    said = words(as_person(tester).get(answer["Location"]))
    assert "Recorded as failed by Tomasz Wilk and Marek Hale" in said
    assert "Accept it on concession" not in said
    assert "Accept it on concession" in words(as_person(drawings_keeper).get(answer["Location"]))


def test_what_is_left_empty_is_not_measured(checked, design, tester, bench, as_person):
    output = design.bench_points.get(quantity="amplitude")
    answer = as_person(tester).post(page("bench-test", "SR-14"), {**bench, f"figure_{output.pk}": ""}, follow=True)
    assert "Recorded as cannot tell" in words(answer)
    assert "not measured" in words(answer)
    assert BenchTest.objects.get().result == Result.CANNOT_TELL


def test_a_figure_that_is_none_is_refused_and_the_others_stay_as_typed(checked, design, tester, bench, as_person):
    output = design.bench_points.get(quantity="rise_time")
    answer = as_person(tester).post(page("bench-test", "SR-14"), {**bench, f"figure_{output.pk}": "quick"})
    assert answer.status_code == 422
    assert "“quick” was given, and this is a time" in words(answer)
    assert 'value="17,5"' in answer.content.decode()
    assert not BenchTest.objects.exists()


def test_without_a_cold_check_there_is_no_form_and_no_test(chassis, tester, bench, as_person):
    client, sentence = as_person(tester), "Chassis SR-14 has not been checked cold, so no power may go on it."
    form = client.get(page("bench-test", "SR-14"))
    assert sentence in words(form)
    assert "figure_" not in form.content.decode()
    answer = client.post(page("bench-test", "SR-14"), bench)
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not BenchTest.objects.exists()


def test_a_correction_begins_with_what_was_read(checked, design, tester, bench, as_person):
    client = as_person(tester)
    client.post(page("bench-test", "SR-14"), bench)
    first = BenchTest.objects.get()
    address = f"{page('bench-test', 'SR-14')}?replaces={first.pk}"
    form = client.get(address).content.decode()
    for typed in ("17.5 V", "220 ns", "6 %", "150 V"):
        assert f'value="{typed}"' in form
    output = design.bench_points.get(quantity="amplitude")
    sent = {**bench, f"figure_{output.pk}": "17.1 V", "replaces_why": "Read with the wrong load."}
    client.post(address, sent)
    second = BenchTest.objects.get(replaces=first)
    assert second.readings.get(quantity="amplitude").value == 17.1
    assert f"Replaced by bench test {second.pk}" in words(client.get(first.get_absolute_url()))


def test_the_same_sheet_sent_twice_is_stored_once(checked, tester, bench, as_person):
    client, sent = as_person(tester), {**bench, "form_token": uuid.uuid4()}
    places = {client.post(page("bench-test", "SR-14"), sent)["Location"] for _ in range(2)}
    assert len(places) == 1
    assert BenchTest.objects.count() == 1
    assert Entry.objects.filter(act="bench test").count() == 1


def test_who_may_test_on_the_bench(checked, builder, storekeeper, power_person, bench, as_person):
    for person in (builder, storekeeper):
        assert as_person(person).post(page("bench-test", "SR-14"), bench).status_code == 403
    assert as_person(power_person).get(page("bench-test", "SR-14")).status_code == 200


def test_a_test_or_chassis_that_is_not_there_is_not_found(tester, as_person):
    for address in (page("bench-test-detail", 99), page("receive", "SR-99"), page("cold-check", "SR-99")):
        assert as_person(tester).get(address).status_code == 404


def test_a_visitor_is_sent_to_sign_in(checked):
    for address in (page("receive", "SR-14"), page("cold-check", "SR-14"), page("bench-test", "SR-14")):
        assert Client().get(address)["Location"].startswith(reverse("account_login"))


# --- on the machine's page of the chassis ---


def test_what_one_may_do_next_follows_from_the_records(chassis, tester, builder, cold, as_person):
    client = as_person(tester)
    said = words(client.get(chassis.get_absolute_url()))
    assert "Receive it" in said
    assert "Check it cold" in said
    assert "Test it on the bench" not in said
    client.post(page("cold-check", "SR-14"), cold)
    assert "Test it on the bench" in words(client.get(chassis.get_absolute_url()))
    assert "Receive it" not in words(as_person(builder).get(chassis.get_absolute_url()))


def test_the_panel_needs_the_same_number_of_queries_for_few_and_many_records(
    checked, tester, second_tester, bench, as_person
):
    client, address = as_person(tester), checked.get_absolute_url()
    client.post(page("bench-test", "SR-14"), bench)
    few = queries_of(client, address)
    for _ in range(4):
        client.post(page("bench-test", "SR-14"), bench)
    assert queries_of(client, address) == few
