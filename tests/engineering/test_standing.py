"""The rules of standing are common practice of commissioning, no source; the cases are worked by hand."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.standing import (
    GOOD,
    Change,
    Evidence,
    Standing,
    State,
    all_standings,
    in_force,
    is_no_better,
    standing_of,
)

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


GATES = (GATE, "rung out")
STATES = [state for state in State if state is not State.IN_DOUBT]


def record(number: int, at: int, gate: str, state: State, replaces: int | None) -> Evidence:
    corrected = f"record {replaces}" if replaces is not None else ""
    return Evidence(gate, day(at), f"record {number}", state, f"Record {number}.", corrected, number)


@st.composite
def recorded(draw) -> list[Evidence]:
    """Records of two gates, in any order of time; some correct one entered before them, each of them once."""
    found: list[Evidence] = []
    corrected: set[int] = set()
    for number in range(draw(st.integers(0, 8))):
        gate = draw(st.sampled_from(GATES))
        open_to_it = [r.number for r in found if r.gate == gate and r.number not in corrected]
        replaces = draw(st.none() | st.sampled_from(open_to_it)) if open_to_it else None
        if replaces is not None:
            corrected.add(replaces)
        found.append(record(number, draw(st.integers(0, 9)), gate, draw(st.sampled_from(STATES)), replaces))
    return found


changed = st.lists(
    st.builds(
        Change,
        st.frozensets(st.sampled_from(GATES), min_size=1),
        st.integers(0, 10).map(day),
        st.sampled_from(["A load was joined.", "A chassis was swapped.", "Fault 7 was logged."]),
    ),
    max_size=6,
)


def with_what_it_replaced(taken: Evidence, evidence: list[Evidence]) -> set[str]:
    """A record and, if it is a correction, all those that it stands for."""
    by_name = {record.name: record for record in evidence}
    names, name = set(), taken.name
    while name in by_name and name not in names:
        names.add(name)
        name = by_name[name].replaces
    return names


def each_good_one_taken_away(evidence: list[Evidence]) -> list[tuple[Evidence, list[Evidence]]]:
    return [
        (good, [r for r in evidence if r.name not in with_what_it_replaced(good, evidence)])
        for good in evidence
        if good.state in GOOD
    ]


@given(recorded(), changed)
def test_taking_a_good_record_away_never_opens_a_gate(evidence, changes):
    before = all_standings(GATES, evidence, changes)
    for _, fewer in each_good_one_taken_away(evidence):
        for was, now in zip(before, all_standings(GATES, fewer, changes), strict=True):
            assert was.is_good or not now.is_good


@given(recorded(), changed)
def test_taking_a_passing_record_away_never_leaves_a_gate_better(evidence, changes):
    before = all_standings(GATES, evidence, changes)
    for taken, fewer in each_good_one_taken_away(evidence):
        if taken.state is State.PASSED:
            for was, now in zip(before, all_standings(GATES, fewer, changes), strict=True):
                assert is_no_better(now.state, was.state)


def test_why_the_law_is_of_good_records_only():
    """A failed check hides a pass before it; taking it away would make the standing better, and not truer."""
    evidence = [check(1, State.PASSED), check(2, State.FAILED)]
    assert standing_of(GATE, evidence).state is State.FAILED
    assert standing_of(GATE, evidence[:1]).state is State.PASSED


def test_why_a_correction_goes_with_what_it_replaced():
    """Said to be of day 5, corrected to day 3: without the correction alone, day 5 would answer the swap of day 4."""
    wrong, right = check(5), check(3, replaces="signal check 5")
    assert standing_of(GATE, [wrong, right], [swap(4)]).state is State.IN_DOUBT
    assert standing_of(GATE, [wrong], [swap(4)]).state is State.PASSED
    assert with_what_it_replaced(right, [wrong, right]) == {"signal check 5", "signal check 3"}


def test_why_a_concession_may_hide_a_better_one():
    evidence = [check(1, State.PASSED), check(2, State.ON_CONCESSION)]
    assert standing_of(GATE, evidence).state is State.ON_CONCESSION
    assert standing_of(GATE, evidence[:1]).state is State.PASSED


@given(recorded(), changed, st.randoms())
def test_the_order_of_arrival_does_not_matter(evidence, changes, random):
    shuffled, mixed = evidence[:], changes[:]
    random.shuffle(shuffled)
    random.shuffle(mixed)
    assert all_standings(GATES, evidence, changes) == all_standings(GATES, shuffled, mixed)


@given(recorded(), st.randoms())
def test_numbers_given_in_another_order_of_entry_matter_only_within_one_moment(evidence, random):
    """Records of different moments may be entered in any order: their numbers differ, how things stand does not."""
    apart = list({(r.gate, r.at): r for r in evidence if not r.replaces}.values())
    numbers = list(range(len(apart)))
    random.shuffle(numbers)
    renumbered = [replace(r, number=number) for r, number in zip(apart, numbers, strict=True)]
    assert all_standings(GATES, apart) == all_standings(GATES, renumbered)


@given(recorded(), changed, changed)
def test_more_changes_never_open_a_gate(evidence, changes, more):
    before = all_standings(GATES, evidence, changes)
    for was, now in zip(before, all_standings(GATES, evidence, [*changes, *more]), strict=True):
        assert was.is_good or not now.is_good
        assert is_no_better(now.state, was.state) or was.state is State.IN_HAND


@given(recorded(), changed, st.integers(0, 10))
def test_a_new_passing_record_clears_exactly_the_doubts_it_answers(evidence, changes, at):
    """Entered last, and no older than any other: what came up to it is answered, what came after it still doubts."""
    at = max([at, *((r.at - START).days for r in evidence)])
    new = record(99, at, GATE, State.PASSED, None)
    now = standing_of(GATE, [*evidence, new], changes)
    after = {change.what for change in changes if GATE in change.gates and change.at > day(at)}
    assert now.state is (State.IN_DOUBT if after else State.PASSED)
    assert set(now.reasons) == after | {"Record 99."}
    assert standing_of("rung out", [*evidence, new], changes) == standing_of("rung out", evidence, changes)


@given(recorded(), changed)
def test_every_gate_at_once_is_each_by_itself(evidence, changes):
    assert all_standings(GATES, evidence, changes) == tuple(standing_of(gate, evidence, changes) for gate in GATES)
