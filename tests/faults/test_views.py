import uuid

import pytest
from django.urls import reverse

from restoration.faults.models import Fault
from restoration.machine.records import Result
from restoration.proving.models import SignalReading
from tests.counting import queries_of
from tests.factories import make_link
from tests.faults.test_services import check, cure, days_ago, log

pytestmark = pytest.mark.django_db


@pytest.fixture
def link():
    return make_link(code="C07-B / D02-4")


@pytest.fixture
def fault(link, tester):
    return log(link, tester, at=days_ago(9))


def words(person, **changes):
    return {"form_token": str(uuid.uuid4()), "done_by": person.pk, "done_at": "", **changes}


def test_a_fault_is_logged_from_the_page_of_its_link(link, builder, as_person):
    client = as_person(builder)
    address = reverse("faults:fault-add", args=[link.code])
    assert b"Say what was seen" in client.get(address).content
    sent = words(builder, symptom="No pulse.", how_often="always", conditions="")
    answer = client.post(address, sent)
    fault = Fault.objects.get()
    assert answer.url == fault.get_absolute_url()
    assert client.post(address, sent).url == answer.url
    assert Fault.objects.count() == 1


def test_an_empty_symptom_comes_back_with_a_sentence(link, builder, as_person):
    answer = as_person(builder).post(reverse("faults:fault-add", args=[link.code]), words(builder, symptom=""))
    assert answer.status_code == 422
    assert b"Say what was seen, in a few words." in answer.content
    assert not Fault.objects.exists()


def test_a_failed_check_fills_the_form_in(link, tester, second_tester, as_person):
    failed = check(link, tester, second_tester, 1, Result.FAILED)
    SignalReading.objects.create(
        check_made=failed, end="load", stage="found", quantity="amplitude", value=31.0, most=20.0, verdict="outside"
    )
    page = as_person(tester).get(reverse("faults:fault-add", args=[link.code]), {"check": failed.pk})
    assert f"Signal check {failed.pk}: outside its limits: amplitude at the load end, found." in page.content.decode()


def test_a_check_that_is_not_of_this_link_is_not_found(link, tester, as_person):
    assert as_person(tester).get(reverse("faults:fault-add", args=[link.code]), {"check": 999}).status_code == 404


def test_the_story_is_told_oldest_first_with_the_time_lost(fault, link, tester, second_tester, as_person):
    client = as_person(tester)
    address = reverse("faults:attempt-add", args=[fault.pk])
    client.post(address, words(tester, tried="Swapped V3.", read="No change.", minutes="95"))
    page = client.get(fault.get_absolute_url()).content.decode()
    assert page.index("Counts double") < page.index("Swapped V3.")
    assert "1 h 35 min" in page


def test_closing_offers_only_checks_that_prove_it(fault, link, tester, second_tester, as_person):
    old, good = check(link, tester, second_tester, 12), check(link, tester, second_tester, 2)
    client = as_person(tester)
    address = reverse("faults:fault-close", args=[fault.pk])
    page = client.get(address).content.decode()
    assert f'value="{good.pk}" selected' in page
    assert f'<option value="{old.pk}"' not in page
    sent = words(tester, outcome="cured", cause="Ringing.", cure="330 Ω.", proof=good.pk, version=fault.version)
    assert client.post(address, sent).url == fault.get_absolute_url()
    fault.refresh_from_db()
    assert fault.outcome == "cured"


def test_a_cure_without_proof_comes_back_with_the_reason(fault, tester, as_person):
    sent = words(tester, outcome="cured", cause="Ringing.", cure="330 Ω.", proof="", version=fault.version)
    answer = as_person(tester).post(reverse("faults:fault-close", args=[fault.pk]), sent)
    assert answer.status_code == 422
    assert "A cure is proved by a signal check of this link" in answer.content.decode()


def test_a_builder_may_log_but_not_close(fault, builder, as_person):
    client = as_person(builder)
    assert client.get(reverse("faults:attempt-add", args=[fault.pk])).status_code == 200
    answer = client.get(reverse("faults:fault-close", args=[fault.pk]))
    assert answer.status_code == 403
    assert "Close it" not in client.get(fault.get_absolute_url()).content.decode()


def test_a_fault_that_came_back_is_open_again(fault, link, tester, second_tester, as_person):
    cure(fault, tester, check(link, tester, second_tester, 5), at=days_ago(4))
    client = as_person(tester)
    assert "It came back" in client.get(fault.get_absolute_url()).content.decode()
    sent = words(tester, what_was_seen="Doubles again.")
    assert client.post(reverse("faults:fault-reopen", args=[fault.pk]), sent).status_code == 302
    page = client.get(fault.get_absolute_url()).content.decode()
    assert "Came back, seen by" in page
    assert "Ringing crosses the threshold twice." in page


def test_the_second_writer_is_shown_the_first_and_loses_nothing(fault, tester, second_tester, as_person):
    first, second = as_person(tester), as_person(second_tester)
    address = reverse("faults:fault-edit", args=[fault.pk])
    mine = {"how_often": "", "conditions": "", "version": fault.version}
    first.post(address, words(tester, symptom="Counts double, hot only.", **mine))
    sent = words(second_tester, symptom="Counts twice after noon.", **mine)
    answer = second.post(address, sent)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Counts double, hot only." in page
    assert "Counts twice after noon." in page
    assert "Tomasz Wilk stored it" in page
    fault.refresh_from_db()
    assert f'name="version" value="{fault.version}"' in page
    assert fault.symptom == "Counts double, hot only."
    both = words(second_tester, symptom="Counts double, hot only, after noon.", **{**mine, "version": fault.version})
    assert second.post(address, both).status_code == 302
    fault.refresh_from_db()
    assert fault.symptom == "Counts double, hot only, after noon."


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ({}, {"open", "closed"}),
        ({"state": "open"}, {"open"}),
        ({"state": "closed"}, {"closed"}),
        ({"state": "came back"}, set()),
        ({"text": "dry joint"}, {"closed"}),
        ({"rack": "D"}, {"closed"}),
        ({"link": "C07"}, {"open"}),
    ],
)
def test_the_list_is_narrowed_by_its_address(link, tester, as_person, query, expected):
    names = {log(link, tester, symptom="No pulse."): "open"}
    other = log(make_link("A-01:1", "D-02:4", code="12"), tester, symptom="Dry joint at D-02.", at=days_ago(2))
    other.closed_at, other.closed_by, other.outcome = days_ago(1), tester, "no fault found"
    other.save()
    names[other] = "closed"
    page = as_person(tester).get(reverse("faults:fault-list"), query).context["page"]
    assert {names[fault] for fault in page} == expected


def test_the_list_answers_htmx_with_its_rows_only(fault, tester, as_person):
    client = as_person(tester)
    whole = client.get(reverse("faults:fault-list"))
    rows = client.get(reverse("faults:fault-list"), headers={"HX-Request": "true"})
    back = client.get(
        reverse("faults:fault-list"), headers={"HX-Request": "true", "HX-History-Restore-Request": "true"}
    )
    assert b"<html" in whole.content
    assert b"<html" not in rows.content
    assert b"<html" in back.content
    assert "HX-Request" in rows.headers["Vary"]


def test_the_list_costs_the_same_number_of_queries_at_any_size(link, tester, as_person):
    client = as_person(tester)
    address = reverse("faults:fault-list")

    log(link, tester)
    few = queries_of(client, address)
    for _ in range(30):
        log(link, tester)
    assert queries_of(client, address) == few
