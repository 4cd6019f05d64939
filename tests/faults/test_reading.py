import pytest

from restoration.faults.models import Fault
from restoration.faults.reading import as_hours, minutes_lost, story, with_story
from restoration.faults.services import close_fault, log_attempt, reopen_fault
from tests.factories import make_link
from tests.faults.test_services import days_ago, log


@pytest.mark.django_db
def test_a_story_keeps_every_closing_and_every_return(tester):
    fault = log(make_link(code="188"), tester, at=days_ago(9))
    log_attempt(fault=fault, tried="Tapped it.", minutes=10, done_by=tester, entered_by=tester, at=days_ago(8))
    close_fault(fault=fault, outcome="no fault found", by=tester, at=days_ago(7))
    reopen_fault(fault=fault, what_was_seen="Again.", seen_by=tester, entered_by=tester, at=days_ago(6))
    close_fault(fault=fault, outcome="no fault found", by=tester, at=days_ago(5))
    told = with_story(Fault.objects.all()).get()
    assert [event.what for event in story(told)] == ["seen", "tried", "closed", "came back", "closed"]
    assert minutes_lost([told]) == 10


@pytest.mark.parametrize(("minutes", "said"), [(0, "no time noted"), (5, "5 min"), (60, "1 h"), (301, "5 h 1 min")])
def test_time_lost_is_said_in_hours(minutes, said):
    assert as_hours(minutes) == said
