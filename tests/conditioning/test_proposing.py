"""What is on offer for a link, and what is asked of the core."""

from dataclasses import replace

import pytest

from restoration.conditioning.known import case_of
from restoration.conditioning.page import added_words, choice_of, in_place
from restoration.conditioning.proposing import limits_of, offers, proposals_for, series_for, stores_key
from restoration.engineering.in_place import OtherWire
from restoration.engineering.limits import Limit
from restoration.workshop.models import StoresLine
from tests.conditioning.links import bench_test


@pytest.fixture
def known(link, tester):
    bench_test(link, tester, rise_time=4e-8, fall_time=6e-8)
    return case_of(link)


def test_the_stores_come_with_their_ratings_and_number(drawer):
    first = offers("E24")[0]
    assert (first.kind, first.value, first.tolerance, first.rating_w) == ("resistor", 330.0, 0.05, 0.5)
    assert (first.quantity, first.where, first.key) == (3, "stores", stores_key(drawer))


def test_what_is_used_up_is_not_on_offer(drawer):
    StoresLine.objects.update(quantity=0)
    assert {offer.where for offer in offers("E24")} == {"E24"}


def test_every_offer_has_a_key_of_its_own(drawer):
    keys = [offer.key for offer in offers("E24")]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize(("count", "series"), [(0, "E24"), (4, "E24"), (5, "E12"), (10, "E12"), (11, "E6")])
def test_a_source_with_many_loads_is_looked_at_with_fewer_values(known, count, series):
    other = OtherWire("D", 2.0, known.case.wire, known.case.load)
    assert series_for(replace(known.case, others=(other,) * count)) == series


def test_limits_of_a_pulse_are_asked_and_a_nominal_outside_its_limits_is_not(known):
    known.link.signal.limits.create(quantity="dc_level", least=1.0)
    known.link.signal.limits.filter(quantity="amplitude").update(nominal=30.0)
    asked = limits_of(case_of(known.link))
    assert "dc_level" not in asked
    assert asked["amplitude"] == Limit(least=15, most=20)
    assert asked["pulse_duration"].nominal == 2.4e-6


def test_an_edge_without_a_limit_is_not_slowed_much_all_the_same(link, tester, drawer):
    """Two large equal resistors would halve a pulse too tall and round it; with no limit on its edges too."""
    link.signal.limits.filter(quantity__in=["rise_time", "fall_time", "overshoot"]).delete()
    bench_test(link, tester, amplitude=34.0, rise_time=8e-8, fall_time=8e-8)
    known = case_of(link)
    found = proposals_for(known, known.case)
    assert found.proposals
    most_s = 0.1 * known.case.source.duration_s
    assert all(each.after.load.rise_time_s <= most_s for each in found.proposals)
    assert "No limit is stated for the rise time, so that what slows it past" in " ".join(found.words)


def test_the_same_question_is_worked_out_once(known, drawer):
    first = proposals_for(known, known.case)
    assert proposals_for(case_of(known.link), known.case).as_it_is is first.as_it_is
    StoresLine.objects.update(quantity=1)
    assert proposals_for(known, known.case).as_it_is is not first.as_it_is


def test_a_proposal_is_a_choice_and_words(known, drawer):
    StoresLine.objects.update(value=220.0)
    page = in_place(known)
    best = page.best
    assert best is not None
    choice = choice_of(best)
    assert choice.arrangement == best.arrangement
    assert set(choice.keys) == {use.role for use in best.parts}
    assert added_words(best) == best.arrangement.words
