"""An instrument found bad: what was measured with it in its bad days is doubted, whenever it was entered."""

import pytest

from restoration.commissioning.models import Standing
from restoration.commissioning.services import compare_standing, recompute_all, record_change, take_back
from restoration.engineering.doubt import Kind
from restoration.proving.models import Instrument
from tests.commissioning.records import check, may, standings

pytestmark = pytest.mark.django_db


@pytest.fixture
def found_bad(small, people):
    """The oscilloscope was found bad on 20 May, and was last known to be good on 1 May."""
    return record_change(kind=Kind.INSTRUMENT, at=may(20), **small.fields(Kind.INSTRUMENT), **people)


def signal(link):
    return standings(link)["signal-checked"]


def test_a_check_entered_late_is_doubted_like_those_that_were_there(small, found_bad):
    late = check(small.links["104"], 15, instrument=small.scope)
    state, reason = signal(small.links["104"])
    assert state == "in doubt"
    assert reason.endswith(f"instrument OSC-1 → signal check {late.pk} → link 104 (rule 33).")
    assert reason.startswith(f"Change {found_bad.pk}, instrument OSC-1 found out of limits")


def test_a_correction_made_with_the_same_instrument_clears_nothing(small, found_bad):
    again = check(small.links["102"], 8, instrument=small.scope, replaces=small.check, replaces_why="a typing error")
    history = standings(small.links["102"])
    assert history["signal-checked"][0] == "in doubt"
    recompute_all()
    reasons = Standing.objects.get(interconnect=small.links["102"], gate="signal-checked").reasons
    assert sum(f"instrument OSC-1 → signal check {again.pk}" in reason for reason in reasons) == 1
    assert compare_standing() == []


def test_no_doubt_is_told_twice(small, found_bad):
    recompute_all()
    reasons = Standing.objects.get(interconnect=small.links["102"], gate="signal-checked").reasons
    assert len([reason for reason in reasons if "instrument OSC-1" in reason]) == 1


@pytest.mark.parametrize("day", [1, 21])
def test_records_outside_its_bad_days_stand(small, found_bad, day):
    check(small.links["104"], day, instrument=small.scope)
    assert signal(small.links["104"])[0] == "passed"


def test_another_instrument_is_not_meant(small, found_bad):
    check(small.links["104"], 15, instrument=Instrument.objects.create(mark="OSC-9", kind="oscilloscope"))
    assert signal(small.links["104"])[0] == "passed"


def test_taking_the_change_back_clears_it(small, found_bad, tester):
    check(small.links["104"], 15, instrument=small.scope)
    take_back(change=found_bad, why="The calibrator was wrong.", done_by=tester, entered_by=tester)
    assert signal(small.links["104"])[0] == "passed"
