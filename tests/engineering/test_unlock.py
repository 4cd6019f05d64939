import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.unlock import Held, Thing, Together, unlocks, weight_of

C, D, E = Thing("slot", "C-04"), Thing("slot", "D-02"), Thing("slot", "E-01")
WIRE, RACK = Thing("link", "215"), Thing("rack", "D")


def held(links, *needs, critical=0):
    return Held(frozenset(needs), links, links + 2 * critical)


def told(rows):
    return [(row.thing.code, row.links, row.weight) for row in rows]


def test_a_thing_frees_the_links_that_need_it_alone():
    assert told(unlocks([held(2, C), held(3, D), held(9, C, D)])) == [("D-02", 3, 3), ("C-04", 2, 2)]


def test_a_critical_link_counts_three_times():
    assert told(unlocks([held(2, C), held(1, D, critical=1)])) == [("D-02", 1, 3), ("C-04", 2, 2)]
    assert (weight_of(True), weight_of(False), weight_of(None)) == (3, 1, 1)


def test_bunches_of_the_same_need_add_up():
    assert told(unlocks([held(2, C), held(1, C, critical=1)])) == [("C-04", 3, 5)]


def test_what_two_things_free_together_is_told_at_both():
    rows = unlocks([held(4, C, D), held(1, C), held(2, C, E)])
    assert told(rows) == [("C-04", 1, 1), ("D-02", 0, 0), ("E-01", 0, 0)]
    assert rows[0].together == (Together(D, 4, 4), Together(E, 2, 2))
    assert rows[1].together == (Together(C, 4, 4),)


def test_links_that_need_three_things_or_none_name_nothing():
    assert unlocks([held(7, C, D, RACK), held(5)]) == ()


def test_equal_things_are_told_by_their_best_second_thing_then_by_kind_and_code():
    assert told(unlocks([held(1, E), held(1, D), held(1, WIRE), held(1, RACK)])) == [
        ("215", 1, 1),
        ("D", 1, 1),
        ("D-02", 1, 1),
        ("E-01", 1, 1),
    ]
    assert told(unlocks([held(1, C), held(1, E), held(3, E, D)]))[0] == ("E-01", 1, 1)


def test_no_more_than_three_second_things_are_named():
    others = [Thing("slot", f"F-{number}") for number in range(6)]
    first = next(row for row in unlocks([held(1, C, other) for other in others]) if row.thing == C)
    assert [row.thing.code for row in first.together] == ["F-0", "F-1", "F-2"]


def test_a_bunch_of_no_links_is_refused():
    with pytest.raises(ValueError, match=r"^Links that are held must be 1 or more; 0 was given\.$"):
        unlocks([Held(frozenset({C}), 0, 0)])


things = st.builds(Thing, st.sampled_from(["slot", "rack", "link"]), st.sampled_from("ABC"))
bunches = st.builds(
    lambda needs, links, critical: held(links, *needs, critical=min(critical, links)),
    st.frozensets(things, max_size=4),
    st.integers(1, 9),
    st.integers(0, 9),
)


def free(rows, done=frozenset()):
    """How many links can be checked once these things are done, and their weight."""
    ready = [row for row in rows if not row.needs - done]
    return sum(row.links for row in ready), sum(row.weight for row in ready)


@given(st.lists(bunches, max_size=30))
def test_doing_the_first_thing_frees_what_it_says_and_nothing_frees_more(rows):
    before, ranked = free(rows), unlocks(rows)
    gain = {thing: free(rows, {thing})[1] - before[1] for row in rows for thing in row.needs}
    for row in ranked:
        after = free(rows, {row.thing})
        assert (after[0] - before[0], after[1] - before[1]) == (row.links, row.weight)
        for other in row.together:
            both = free(rows, {row.thing, other.thing})[0]
            assert both - after[0] - (free(rows, {other.thing})[0] - before[0]) == other.links
    assert (ranked[0].weight if ranked else 0) == max(gain.values(), default=0)


@given(st.lists(bunches, max_size=20), st.randoms())
def test_the_order_of_the_bunches_does_not_matter(rows, random):
    shuffled = list(rows)
    random.shuffle(shuffled)
    assert unlocks(shuffled) == unlocks(rows)
