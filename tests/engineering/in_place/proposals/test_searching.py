"""The search against brute force that reckons every candidate in time."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.in_place.proposals import searching
from restoration.engineering.in_place.proposals.pool import meets_everything
from restoration.engineering.in_place.proposals.searching import search
from restoration.engineering.limits import Limit, Quantity
from tests.engineering.in_place.proposals.making import (
    LIMITS,
    by_brute_force,
    capacitor,
    judge_of,
    link,
    lucks,
    resistor,
    some_limits,
    some_link,
    some_offers,
)


@pytest.fixture(autouse=True, scope="module")
def small_lots():
    """A few candidates at a time, so that small shelves too are searched lot by lot."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(searching, "FIRST_LOT", 4)
        patch.setattr(searching, "MOST_LOT", 9)
        yield


def found_scores(judge, count):
    return [found.score for found in search(judge, count).best]


class TestEqualsBruteForce:
    @settings(max_examples=20, deadline=None)
    @given(lucks)
    def test_on_links_of_all_sorts(self, luck):
        judge = judge_of(some_link(luck), some_limits(luck), some_offers(luck, 9, 4))
        assert found_scores(judge, 8) == by_brute_force(judge, 8)

    @pytest.mark.parametrize("count", [1, 2, 8, 30])
    def test_however_many_are_asked_for(self, count):
        luck = random.Random(count)
        judge = judge_of(link(33.0), LIMITS, some_offers(luck, 14, 5))
        found = found_scores(judge, count)
        assert found == by_brute_force(judge, count)
        assert 1 <= len(found) <= count

    def test_where_only_two_parts_together_do(self):
        """Too tall and ringing: the damper alone leaves it tall, the shunt alone leaves it ringing."""
        offers = [resistor(ohm) for ohm in (100, 150, 220, 330, 470, 680, 1000, 1500, 2200, 3300)]
        judge = judge_of(link(33.0, others=2, drive_most_a=0.15), LIMITS, offers)
        found = search(judge, 8)
        assert [one.score for one in found.best] == by_brute_force(judge, 8)
        assert meets_everything(found.best[0].score)
        assert {one.kind for one in found.best} == {"series damper with shunt"}

    def test_where_nothing_meets_the_limits(self):
        judge = judge_of(link(12.0), LIMITS, some_offers(random.Random(5), 12, 4))
        found = found_scores(judge, 8)
        assert found == by_brute_force(judge, 8)
        assert not any(meets_everything(score) for score in found)

    @settings(max_examples=20, deadline=None)
    @given(lucks, st.integers(1, 12))
    def test_where_no_part_can_meet_them_all(self, luck, count):
        """Every candidate misses something by its first steps, so that the order changes as they become known."""
        limits = {**some_limits(luck), Quantity.RISE_TIME: Limit(most=luck.choice((1e-9, 30e-9, 60e-9)))}
        limits[Quantity.OVERSHOOT] = Limit(most=luck.choice((0.001, 0.02, 0.1)))
        judge = judge_of(some_link(luck), limits, some_offers(luck, 9, 4))
        assert found_scores(judge, count) == by_brute_force(judge, count)

    def test_few_are_reckoned_in_time(self):
        luck = random.Random(11)
        judge = judge_of(link(), LIMITS, some_offers(luck, 40, 20))
        found = search(judge, 8)
        assert found.best
        assert found.simulated < found.looked_at / 5


class TestLaws:
    @settings(max_examples=12, deadline=None)
    @given(lucks)
    def test_one_more_offer_never_makes_the_best_worse(self, luck):
        case, limits, offers = some_link(luck), some_limits(luck), some_offers(luck, 8, 3)
        before = search(judge_of(case, limits, offers[1:]), 1).best
        after = search(judge_of(case, limits, offers), 1).best
        if before:
            # the last columns number the offers, which one more renumbers
            assert after[0].score[:13] <= before[0].score[:13]

    @settings(max_examples=8, deadline=None)
    @given(lucks)
    def test_the_order_of_the_offers_does_not_matter(self, luck):
        case, limits, offers = some_link(luck), some_limits(luck), some_offers(luck, 7, 3)
        mixed = list(offers)
        luck.shuffle(mixed)
        assert found_scores(judge_of(case, limits, offers), 8) == found_scores(judge_of(case, limits, mixed), 8)

    def test_a_part_that_adds_nothing_is_not_listed(self):
        offers = [resistor(220), resistor(1e6), capacitor(1e-12)]
        best = search(judge_of(link(), LIMITS, offers), 8).best
        assert [one.kind for one in best] == ["series damper"]

    def test_two_that_are_one_for_people_are_listed_once(self):
        offers = [resistor(220), resistor(221), resistor(330)]
        best = search(judge_of(link(), LIMITS, offers), 8).best
        assert [one.candidate.fitted.series_ohm[0] for one in best] == [220.0, 330.0]
