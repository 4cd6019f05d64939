from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.common.versions import EditedMeanwhile
from restoration.faults import services
from restoration.faults.models import Fault
from restoration.logbook.models import Entry
from restoration.machine.records import Result
from restoration.proving.models import SignalCheck
from tests.factories import make_link

pytestmark = pytest.mark.django_db


@pytest.fixture
def link():
    return make_link(code="188")


@pytest.fixture
def fault(link, tester):
    return log(link, tester, at=days_ago(9))


def days_ago(number):
    return timezone.now() - timedelta(days=number)


def log(link, person, **changes):
    words = {"symptom": "Counts double about once a minute.", "how_often": "once a minute", "conditions": "rack E on"}
    return services.open_fault(interconnect=link, seen_by=person, entered_by=person, **{**words, **changes})


def check(link, tester, second, days, result=Result.PASSED):
    return SignalCheck.objects.create(
        interconnect=link,
        done_at=days_ago(days),
        done_by=tester,
        second_person=second,
        entered_by=tester,
        result=result,
    )


def cure(fault, tester, proof, **changes):
    words = {"cause": "Ringing crosses the threshold twice.", "cure": "330 Ω at the source.", "outcome": "cured"}
    return services.close_fault(fault=fault, by=tester, proof=proof, **{**words, **changes})


def test_a_fault_is_logged_in_words(fault, tester):
    assert Fault.objects.open().get() == fault
    assert Entry.objects.get().sentence == (
        f"Tomasz Wilk logged fault {fault.pk} on link 188: Counts double about once a minute."
    )


def test_told_by_one_and_entered_by_another(link, never_signs_in, tester):
    services.open_fault(interconnect=link, symptom="No pulse.", seen_by=never_signs_in, entered_by=tester)
    line = Entry.objects.get()
    assert (line.by_name, line.told_by) == ("Tomasz Wilk", "Wilf Sandle")


def test_a_fault_without_a_symptom_is_refused(link, tester):
    with pytest.raises(ValidationError, match="Say what was seen, in a few words."):
        log(link, tester, symptom="   ")
    assert not Entry.objects.exists()


def test_a_check_of_another_link_opens_no_fault_here(link, tester, second_tester):
    elsewhere = check(make_link("A-01:1", "B-05:9", code="9"), tester, second_tester, 1, Result.FAILED)
    with pytest.raises(ValidationError, match="was made on another link than 188"):
        log(link, tester, from_check=elsewhere)


def test_what_was_tried_is_kept_in_order_with_its_time(fault, tester):
    for text, minutes in (("Swapped V3.", 20), ("Tapped the plug.", 5)):
        services.log_attempt(
            fault=fault, tried=text, read="No change.", minutes=minutes, done_by=tester, entered_by=tester
        )
    assert [attempt.tried for attempt in fault.attempts.all()] == ["Swapped V3.", "Tapped the plug."]
    assert Entry.objects.newest_first().first().sentence == (
        f"Tomasz Wilk tried at fault {fault.pk}: Tapped the plug. Read: No change."
    )
    with pytest.raises(ValidationError, match="Say what was tried."):
        services.log_attempt(fault=fault, tried="", done_by=tester, entered_by=tester)


def test_a_cure_needs_cause_cure_and_proof(fault, tester):
    with pytest.raises(ValidationError) as caught:
        cure(fault, tester, None, cause="", cure="")
    said = caught.value.message_dict
    assert said["cause"] == ["A cured fault says what the cause was."]
    assert said["cure"] == ["A cured fault says what the cure was."]
    assert said["proof"][0].startswith("A cure is proved by a signal check of this link that passed")
    fault.refresh_from_db()
    assert fault.closed_at is None


@pytest.mark.parametrize(("days", "result"), [(10, Result.PASSED), (1, Result.FAILED)])
def test_an_old_or_a_failed_check_is_no_proof(fault, link, tester, second_tester, days, result):
    proof = check(link, tester, second_tester, days, result)
    with pytest.raises(ValidationError, match=f"Signal check {proof.pk} is no proof"):
        cure(fault, tester, proof)


def test_a_cured_fault_is_closed_with_its_proof(fault, link, tester, second_tester):
    proof = check(link, tester, second_tester, 1)
    cure(fault, tester, proof)
    fault.refresh_from_db()
    assert (fault.outcome, fault.proof, fault.closed_by) == ("cured", proof, tester)
    assert Entry.objects.newest_first().first().sentence == (
        f"Tomasz Wilk closed fault {fault.pk} as cured. Cause: Ringing crosses the threshold twice. "
        f"Cure: 330 Ω at the source. Proof: signal check {proof.pk}."
    )
    with pytest.raises(ValidationError, match="is closed already"):
        cure(fault, tester, proof)


def test_no_fault_found_is_a_result(fault, tester):
    services.close_fault(fault=fault, outcome="no fault found", by=tester)
    fault.refresh_from_db()
    assert fault.outcome == "no fault found"
    assert Entry.objects.newest_first().first().sentence == f"Tomasz Wilk closed fault {fault.pk}: no fault found."


def test_it_comes_back_and_the_former_closing_is_kept(fault, link, tester, second_tester):
    proof = check(link, tester, second_tester, 5)
    cure(fault, tester, proof, at=days_ago(4))
    services.reopen_fault(
        fault=fault, what_was_seen="Doubles again.", seen_by=tester, entered_by=tester, at=days_ago(1)
    )
    fault.refresh_from_db()
    back = fault.reopenings.get()
    assert (fault.closed_at, fault.outcome, fault.cause, fault.proof) == (None, "", "", None)
    assert (back.earlier_outcome, back.earlier_cause) == ("cured", "Ringing crosses the threshold twice.")
    with pytest.raises(ValidationError, match="is no proof"):
        cure(fault, tester, proof)


def test_an_open_fault_cannot_come_back(fault, tester):
    with pytest.raises(ValidationError, match="is open; add what was seen to it"):
        services.reopen_fault(fault=fault, what_was_seen="again", seen_by=tester, entered_by=tester)


def test_it_cannot_have_ended_before_it_began_nor_come_back_before_it_ended(fault, tester):
    with pytest.raises(ValidationError, match="it cannot be closed before that"):
        services.close_fault(fault=fault, outcome="no fault found", by=tester, at=days_ago(20))
    services.close_fault(fault=fault, outcome="no fault found", by=tester, at=days_ago(3))
    with pytest.raises(ValidationError, match="it cannot have come back before"):
        services.reopen_fault(fault=fault, what_was_seen="x", seen_by=tester, entered_by=tester, at=days_ago(5))


def test_two_people_reword_one_fault_and_neither_loses_a_word(fault, tester, second_tester):
    seen = fault.version
    services.edit_fault(fault=fault, version=seen, symptom="Counts double.", how_often="", conditions="", by=tester)
    with pytest.raises(EditedMeanwhile) as news:
        services.edit_fault(
            fault=fault, version=seen, symptom="Counts twice.", how_often="", conditions="", by=second_tester
        )
    assert news.value.current.symptom == "Counts double."
    assert Entry.objects.filter(act="reword fault").count() == 1
