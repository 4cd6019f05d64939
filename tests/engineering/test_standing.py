"""The rules of standing are common practice of commissioning, no source; the cases are worked by hand."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.standing import Change, Evidence, Standing, State, all_standings, in_force, standing_of

START = datetime(2026, 5, 1, tzinfo=UTC)
GATE = "signal-checked"
CHECKS = frozenset({GATE})


def day(number: int) -> datetime:
    return START + timedelta(days=number)


def check(number: int, state: State = State.PASSED, **fields) -> Evidence:
    said = f"Signal check {number}: {state.value}."
    return Evidence(GATE, day(number), f"signal check {number}", state, said, number=number, **fields)


def swap(number: int, what: str = "Chassis SR-11 was withdrawn.") -> Change:
    return Change(CHECKS, day(number), what)


def test_without_a_record_nothing_is_done_and_nothing_can_be_doubted():
    assert standing_of(GATE, [], [swap(3)]) == Standing(GATE, State.NOT_DONE)


@pytest.mark.parametrize("state", [state for state in State if state is not State.IN_DOUBT])
def test_the_newest_record_decides(state):
    standing = standing_of(GATE, [check(1, State.FAILED), check(4, state)])
    assert (standing.state, standing.since, standing.reasons) == (state, day(4), (f"Signal check 4: {state.value}.",))


@pytest.mark.parametrize("state", [State.PASSED, State.ON_CONCESSION, State.IN_HAND])
def test_a_later_change_puts_it_in_doubt_and_says_why(state):
    standing = standing_of(GATE, [check(1, state)], [swap(3), swap(5, "Link 215 was joined.")])
    assert standing.state is State.IN_DOUBT
    assert standing.since == day(3)
    assert standing.reasons == (
        "Link 215 was joined.",
        "Chassis SR-11 was withdrawn.",
        f"Signal check 1: {state.value}.",
    )


@pytest.mark.parametrize("state", [State.FAILED, State.WITHDRAWN])
def test_what_failed_or_was_withdrawn_stays_so_whatever_was_changed(state):
    assert standing_of(GATE, [check(1, state)], [swap(3)]).state is state


def test_a_change_of_the_same_moment_is_part_of_the_record():
    assert standing_of(GATE, [check(3)], [swap(3)]).state is State.PASSED


def test_a_change_before_the_record_is_answered_by_it():
    assert standing_of(GATE, [check(4)], [swap(3)]).state is State.PASSED


def test_a_change_of_another_gate_does_not_touch_this_one():
    elsewhere = Change(frozenset({"joined"}), day(5), "The wire was lifted.")
    assert standing_of(GATE, [check(1)], [elsewhere]).state is State.PASSED


def test_a_correction_takes_the_place_of_the_record_it_replaces():
    wrong, right = check(4, State.FAILED), check(2, State.PASSED, replaces="signal check 4")
    assert in_force([wrong, right]) == [right]
    assert standing_of(GATE, [wrong, right]).state is State.PASSED


def test_of_two_records_of_one_moment_the_one_entered_later_decides():
    first = Evidence(GATE, day(1), "signal check 9", State.PASSED, number=9)
    second = Evidence(GATE, day(1), "signal check 10", State.FAILED, number=10)
    assert standing_of(GATE, [second, first]).state is State.FAILED


def test_every_gate_of_an_item_is_worked_out_in_order():
    joined = Evidence("joined", day(1), "joining 1", State.PASSED)
    standings = all_standings(["joined", "rung out", GATE], [joined, check(2)])
    assert [(standing.gate, standing.state.value) for standing in standings] == [
        ("joined", "passed"),
        ("rung out", "not done"),
        ("signal-checked", "passed"),
    ]
    assert [standing.is_good for standing in standings] == [True, False, True]


records = st.builds(check, st.integers(0, 20), st.sampled_from([s for s in State if s is not State.IN_DOUBT]))
changes = st.builds(swap, st.integers(0, 20), st.sampled_from(["A load was joined.", "A chassis was swapped."]))


@given(st.lists(records, unique_by=lambda r: r.number), st.lists(changes), st.randoms())
def test_the_order_of_arrival_does_not_matter(evidence, changed, random):
    shuffled, mixed = evidence[:], changed[:]
    random.shuffle(shuffled)
    random.shuffle(mixed)
    assert standing_of(GATE, evidence, changed) == standing_of(GATE, shuffled, mixed)


@given(st.lists(records, unique_by=lambda r: r.number), st.lists(changes), changes)
def test_one_more_change_never_makes_it_good(evidence, changed, one_more):
    before = standing_of(GATE, evidence, changed)
    assert before.is_good or not standing_of(GATE, evidence, [*changed, one_more]).is_good


@given(st.lists(records, unique_by=lambda r: r.number), st.lists(changes))
def test_a_new_passing_record_after_every_change_clears_every_doubt(evidence, changed):
    assert standing_of(GATE, [*evidence, check(21)], changed).state is State.PASSED


@given(st.lists(records, unique_by=lambda r: r.number, min_size=1), st.lists(changes))
def test_taking_away_passing_records_never_leaves_it_better(evidence, changed):
    passing = [record for record in evidence if record.state is State.PASSED]
    without = [record for record in evidence if record.state is not State.PASSED]
    good_without = standing_of(GATE, without, changed).state is State.PASSED
    assert not good_without
    assert passing or standing_of(GATE, evidence, changed).state is not State.PASSED
