"""A whole stands only where all its parts do, worked out by hand and held for any mixture of parts."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.standing import GOOD, Standing, State
from restoration.engineering.whole import gravest, standing_of_whole

PASSED, DOUBT, FAILED = State.PASSED, State.IN_DOUBT, State.FAILED


def link(*states):
    gates = ("joined", "rung out", "signal-checked")
    return tuple(Standing(gate, state) for gate, state in zip(gates, states, strict=True))


def whole(**parts):
    return standing_of_whole("links proved", parts, what="links are proved", without="It has no links yet.")


@pytest.mark.parametrize(
    ("parts", "state"),
    [
        ([(PASSED, PASSED, PASSED)], "passed"),
        ([(PASSED, PASSED, PASSED), (PASSED, PASSED, State.ON_CONCESSION)], "on concession"),
        ([(PASSED, PASSED, PASSED), (PASSED, DOUBT, DOUBT)], "in doubt"),
        ([(PASSED, DOUBT, DOUBT), (PASSED, PASSED, FAILED)], "failed"),
        ([(PASSED, PASSED, PASSED), (State.NOT_DONE,) * 3], "in hand"),
        ([(State.NOT_DONE,) * 3], "not done"),
        ([(State.WITHDRAWN, State.NOT_DONE, State.NOT_DONE)], "not done"),
        ([(State.WITHDRAWN, DOUBT, DOUBT)], "in doubt"),
    ],
)
def test_the_gravest_part_decides(parts, state):
    assert whole(**{f"link {n}": link(*states) for n, states in enumerate(parts)}).state == state


def test_nothing_is_never_proof():
    assert whole() == Standing("links proved", State.NOT_DONE, None, ("It has no links yet.",))


def test_it_counts_and_names_the_worst_first_and_says_how_many_more():
    parts = {f"link {n}": link(PASSED, DOUBT, DOUBT) for n in range(4)} | {"link 9": link(PASSED, PASSED, FAILED)}
    assert whole(**parts, good=link(PASSED, PASSED, PASSED)).reasons == (
        "1 of 6 links are proved.",
        "Link 9, signal-checked: failed.",
        "Link 0, rung out: in doubt.",
        "Link 1, rung out: in doubt.",
        "And 2 more.",
    )


def test_it_fell_when_the_last_part_fell_and_stands_since_the_last_was_proved():
    may = [datetime(2026, 5, day, tzinfo=UTC) for day in range(1, 6)]
    good = (Standing("rung out", PASSED, may[4]),)
    doubted = (Standing("rung out", DOUBT, may[2]),)
    assert whole(a=good, b=doubted).since == may[2]
    assert whole(a=good, b=(Standing("rung out", PASSED, may[1]),)).since == may[4]
    assert whole(a=(Standing("rung out", State.NOT_DONE),)).since is None


STATES = st.sampled_from(list(State))
PARTS = st.dictionaries(st.text(min_size=1, max_size=4), st.tuples(STATES, STATES, STATES), min_size=1, max_size=6)


@given(PARTS)
def test_it_stands_exactly_where_every_gate_of_every_part_stands(parts):
    stands = all(state in GOOD for states in parts.values() for state in states)
    assert whole(**{name: link(*states) for name, states in parts.items()}).is_good == stands


@given(PARTS, STATES)
def test_one_part_more_never_makes_it_stand(parts, state):
    fewer = {name: link(*states) for name, states in parts.items()}
    more = fewer | {"one more": link(PASSED, PASSED, state)}
    assert whole(**fewer).is_good or not whole(**more).is_good


def test_a_part_that_stands_has_nothing_grave():
    assert gravest(link(PASSED, State.ON_CONCESSION, PASSED)) is None
    assert gravest(link(PASSED, State.NOT_DONE, DOUBT)).gate == "signal-checked"
