"""What came of a prediction: which check answers it, and which figures lie inside."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from restoration.conditioning.outcomes import outcome_of, outcomes_of, parts_at, same_parts
from restoration.conditioning.services import keep_prediction
from restoration.engineering.in_place import Arrangement, Interval
from tests.conditioning.links import check

AMPLITUDE = ("load", "amplitude")


@pytest.fixture
def keep(link, tester):
    def keep(days=2.0, arrangement=None, **given):
        figures = {AMPLITUDE: Interval(17.0, 16.0, 18.0), ("load", "overshoot"): Interval(0.1, 0.06, 0.14)}
        at = timezone.now() - timedelta(days=days)
        fields = {"arrangement": arrangement or Arrangement(), "figures": figures, "by": tester, "at": at, **given}
        return keep_prediction(interconnect=link, **fields)

    return keep


def test_the_first_check_after_it_answers(link, keep, tester, second_tester):
    check(link, tester, second_tester, days=3, amplitude=25.0)
    prediction = keep()
    assert outcome_of(prediction) is None
    first = check(link, tester, second_tester, days=1, amplitude=17.5, overshoot=0.2)
    check(link, tester, second_tester, days=0.5, amplitude=12.0)
    outcome = outcome_of(prediction)
    assert (outcome.check, outcome.stage, outcome.held, len(outcome.figures)) == (first, "found", 1, 2)
    assert outcome.figure(*AMPLITUDE).is_inside
    assert outcome.figure(*AMPLITUDE).ratio == pytest.approx(17.5 / 17.0)
    assert not outcome.figure("load", "overshoot").is_inside
    assert outcome.figure("source", "amplitude") is None


def test_a_figure_on_the_end_of_its_interval_lies_inside(link, keep, tester, second_tester):
    prediction = keep()
    check(link, tester, second_tester, days=1, amplitude=18.0)
    assert outcome_of(prediction).figure(*AMPLITUDE).is_inside


def test_a_check_with_other_parts_does_not_answer(link, keep, tester, second_tester, write_note):
    bare = keep()
    fitted = keep(arrangement=Arrangement(series_ohm=330.0))
    write_note(at=timezone.now() - timedelta(days=1))
    after = check(link, tester, second_tester, days=0.5, stage="left", amplitude=17.0)
    assert outcome_of(bare) is None
    outcome = outcome_of(fitted)
    assert (outcome.check, outcome.stage) == (after, "left")


def test_a_corrected_check_does_not_answer(link, keep, tester, second_tester):
    prediction = keep()
    wrong = check(link, tester, second_tester, days=1, amplitude=30.0)
    wrong.replaces_why = "typed"
    right = check(link, tester, second_tester, days=0.9, amplitude=17.0)
    type(right).objects.filter(pk=right.pk).update(replaces=wrong, replaces_why="It was typed wrongly.")
    assert outcome_of(prediction).check == right


def test_many_outcomes_take_as_many_reads_as_one(link, keep, tester, second_tester):
    predictions = [keep(days=days) for days in (6, 5, 4)]
    for days in (3, 2, 1):
        check(link, tester, second_tester, days=days)
    counts = []
    for some in (predictions[:1], predictions):
        with CaptureQueriesContext(connection) as seen:
            assert len(outcomes_of(some)) == len(some)
        counts.append(len(seen))
    assert counts == [4, 4]


def test_parts_at_a_moment_are_those_of_the_newest_note_before_it():
    now = timezone.now()
    over_time = [(now - timedelta(days=3), {"series_ohm": 1.0}), (now - timedelta(days=1), {"series_ohm": 2.0})]
    assert parts_at(over_time, now) == {"series_ohm": 2.0}
    assert parts_at(over_time, now - timedelta(days=2)) == {"series_ohm": 1.0}
    assert parts_at(over_time, now - timedelta(days=9)) == {}


def test_a_part_of_no_value_is_no_part():
    assert same_parts({"series_ohm": 0.0}, {})
    assert not same_parts({"series_ohm": 330.0}, {"series_ohm": 470.0})
