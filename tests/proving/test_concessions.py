"""Concessions: on what they may be given, by whom, and what they leave as it is."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from restoration.logbook.models import Entry
from restoration.machine.records import Result
from restoration.proving.models import BenchTest, Concession, RingOut, SignalCheck
from restoration.proving.services import give_concession
from tests.factories import make_chassis, make_link

WHY = "Feeds one load only, which needs 10 V."


def made(model, tester, second, **given):
    return model.objects.create(done_by=tester, second_person=second, entered_by=tester, **given)


@pytest.fixture
def bench_test(tester, second_tester):
    return made(BenchTest, tester, second_tester, chassis=make_chassis("SR-14"), result=Result.FAILED)


@pytest.fixture
def ring_out(tester, second_tester):
    return made(RingOut, tester, second_tester, interconnect=make_link(), result=Result.FAILED, both_labels_read=True)


@pytest.fixture
def signal_check(tester, second_tester):
    link = make_link("B-06:1", "C-05:1")
    return made(SignalCheck, tester, second_tester, interconnect=link, result=Result.TOO_CLOSE)


def refused(**given):
    with pytest.raises(ValidationError) as refusal:
        give_concession(**given)
    return " ".join(refusal.value.messages)


@pytest.mark.parametrize("kind", ["bench_test", "ring_out", "signal_check"])
def test_a_record_outside_its_limits_is_accepted_and_keeps_its_result(kind, request, drawings_keeper):
    record = request.getfixturevalue(kind)
    before = record.result
    concession = give_concession(record=record, reason=f" {WHY} ", by=drawings_keeper)
    record.refresh_from_db()
    assert record.concession == concession
    assert record.result == before
    assert (concession.reason, concession.given_by) == (WHY, drawings_keeper)
    line = Entry.objects.newest_first().first()
    assert line.sentence == f"Owen Prys accepted {record} on concession: {WHY}"
    assert line.subject_kind == ("chassis" if kind == "bench_test" else "link")


def test_a_concession_may_end_on_a_day(bench_test, drawings_keeper):
    day = timezone.localdate() + timedelta(days=90)
    assert give_concession(record=bench_test, reason=WHY, by=drawings_keeper, until=day).until == day
    assert f"on concession until {day:%d %b %Y}: " in Entry.objects.newest_first().first().sentence


def test_a_day_that_is_past_is_refused(bench_test, drawings_keeper):
    yesterday = timezone.localdate() - timedelta(days=1)
    said = refused(record=bench_test, reason=WHY, by=drawings_keeper, until=yesterday)
    assert said == f"{yesterday:%d %b %Y} is past already; give a day to come, or none."


def test_a_concession_says_why(bench_test, drawings_keeper):
    assert refused(record=bench_test, reason=" ", by=drawings_keeper) == (
        "A concession says why what differs can be accepted."
    )
    with pytest.raises(IntegrityError, match="concession_says_why"), transaction.atomic():
        Concession.objects.create(bench_test=bench_test, reason="", given_by=drawings_keeper)


@pytest.mark.parametrize(
    ("result", "sentence"),
    [
        (Result.PASSED, "passed, so it needs no concession."),
        (Result.CANNOT_TELL, "leaves something not measured. Measure it; what nobody knows cannot be accepted."),
    ],
)
def test_what_passed_or_was_not_measured_is_not_conceded(bench_test, drawings_keeper, result, sentence):
    BenchTest.objects.filter(pk=bench_test.pk).update(result=result)
    said = refused(record=bench_test, reason=WHY, by=drawings_keeper)
    assert said == f"Bench test {bench_test.pk} of chassis SR-14 {sentence}"


def test_a_record_is_conceded_once(bench_test, drawings_keeper, site_lead):
    give_concession(record=bench_test, reason=WHY, by=drawings_keeper)
    assert "has a concession already, given by Owen Prys." in refused(record=bench_test, reason=WHY, by=site_lead)
    assert Concession.objects.count() == 1


def test_a_corrected_record_is_not_conceded(bench_test, tester, second_tester, drawings_keeper):
    later = made(
        BenchTest,
        tester,
        second_tester,
        chassis=bench_test.chassis,
        result=Result.FAILED,
        replaces=bench_test,
        replaces_why="Wrong load.",
    )
    said = refused(record=bench_test, reason=WHY, by=drawings_keeper)
    assert said.endswith(f"was corrected by record {later.pk}; look at that one.")


def test_the_database_wants_one_record_a_concession(bench_test, ring_out, drawings_keeper):
    for given in ({}, {"bench_test": bench_test, "ring_out": ring_out}):
        with pytest.raises(IntegrityError, match="concession_on_one_record"), transaction.atomic():
            Concession.objects.create(reason=WHY, given_by=drawings_keeper, **given)


# --- the page ---


def page(kind, record):
    return reverse("proving:concession-add", args=[kind, record.pk])


def test_the_page_accepts_and_leads_back_to_the_certificate(bench_test, drawings_keeper, as_person):
    client = as_person(drawings_keeper)
    assert "is recorded as failed" in client.get(page("bench-test", bench_test)).content.decode()
    answer = client.post(page("bench-test", bench_test), {"reason": WHY})
    assert answer["Location"] == bench_test.get_absolute_url()
    assert WHY in client.get(answer["Location"]).content.decode()


def test_the_page_of_a_ring_out_leads_back_to_its_link(ring_out, drawings_keeper, as_person):
    answer = as_person(drawings_keeper).post(page("ring-out", ring_out), {"reason": WHY})
    assert answer["Location"] == ring_out.interconnect.get_absolute_url()


def test_without_a_reason_nothing_is_accepted(signal_check, drawings_keeper, as_person):
    answer = as_person(drawings_keeper).post(page("signal-check", signal_check), {"reason": ""})
    assert answer.status_code == 422
    assert "A concession says why what differs can be accepted." in answer.content.decode()
    assert not Concession.objects.exists()


def test_only_those_who_may_accept_do(bench_test, tester, builder, site_lead, as_person):
    for person in (tester, builder):
        assert as_person(person).post(page("bench-test", bench_test), {"reason": WHY}).status_code == 403
    assert as_person(site_lead).get(page("bench-test", bench_test)).status_code == 200
    assert not Concession.objects.exists()


def test_there_is_no_concession_on_anything_else(bench_test, site_lead, as_person):
    assert as_person(site_lead).get(page("cold-check", bench_test)).status_code == 404
    missing = reverse("proving:concession-add", args=["bench-test", 999_999])
    assert as_person(site_lead).get(missing).status_code == 404
