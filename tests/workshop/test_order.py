"""The order of steps, as a table and as sentences."""

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.workshop.models import StepKind
from restoration.workshop.order import MAY_FOLLOW, is_stuck, may_follow, stage_of, track, why_not

K = StepKind
WAY = [K.ALLOTTED, K.IN_HAND, K.BUILT, K.HANDED_OVER, K.RECEIVED]


@dataclass(frozen=True)
class Did:
    kind: str


def did(*kinds):
    return [Did(kind) for kind in kinds]


def test_every_kind_is_a_stage_or_tells_something():
    assert set(K) == set(MAY_FOLLOW) - {""} | {K.NOTE, K.STUCK, K.GOING_ON}


@pytest.mark.parametrize("steps", range(len(WAY) + 1))
def test_the_stage_is_the_last_step_that_moved_it(steps):
    assert stage_of(did(*WAY[:steps])) == ("" if steps == 0 else WAY[steps - 1])


def test_notes_and_being_stuck_move_nothing():
    assert stage_of(did(K.ALLOTTED, K.IN_HAND, K.NOTE, K.STUCK, K.GOING_ON, K.NOTE)) == K.IN_HAND


@pytest.mark.parametrize(
    ("so_far", "next_step", "sentence"),
    [
        ([], K.IN_HAND, "Chassis SR-14 is not yet allotted to anyone, so it cannot be taken in hand."),
        ([K.ALLOTTED], K.BUILT, "Chassis SR-14 is allotted but not yet in hand, so it cannot be called built."),
        (WAY[:2], K.HANDED_OVER, "Chassis SR-14 is in hand but not yet built, so it cannot be handed over."),
        (WAY[:2], K.IN_HAND, "Chassis SR-14 is recorded as in hand already."),
        (WAY[:3], K.ALLOTTED, "Chassis SR-14 is built but not yet handed over, so it cannot be allotted."),
        (WAY[:3], K.RECEIVED, "Chassis SR-14 is built but not yet handed over, so it cannot be received."),
        (WAY[:4], K.BUILT, "Chassis SR-14 is handed over already, so it cannot be called built."),
        (WAY[:4], K.STUCK, "Chassis SR-14 is handed over already, so it cannot be stuck."),
        (WAY, K.RECEIVED, "Chassis SR-14 is recorded as received on site already."),
        (WAY, K.HANDED_OVER, "Chassis SR-14 is on site already, so it cannot be handed over."),
        (
            [*WAY, K.SENT_BACK],
            K.BUILT,
            "Chassis SR-14 was sent back for rework and is not yet in hand again, so it cannot be called built.",
        ),
        (
            WAY[:2],
            K.GOING_ON,
            "Nobody is recorded as stuck with chassis SR-14, so there is nothing to get on with again.",
        ),
        (WAY[:2], K.SENT_BACK, "Chassis SR-14 is in hand but not yet built, so it cannot be sent back."),
    ],
)
def test_a_step_out_of_order_is_refused_in_a_sentence(so_far, next_step, sentence):
    assert why_not("SR-14", did(*so_far), next_step) == sentence


@pytest.mark.parametrize("place", range(1, len(WAY)))
def test_the_whole_way_may_be_gone(place):
    assert may_follow(did(*WAY[:place]), WAY[place])


def test_a_chassis_from_elsewhere_may_be_received_without_a_builder():
    assert may_follow([], K.RECEIVED)


def test_a_builder_may_take_a_built_chassis_in_hand_again():
    assert may_follow(did(*WAY[:3]), K.IN_HAND)


def test_stuck_until_something_moves():
    stuck = did(*WAY[:2], K.STUCK)
    assert is_stuck(stuck)
    assert is_stuck([*stuck, Did(K.NOTE)])
    assert not is_stuck([*stuck, Did(K.GOING_ON)])
    assert not is_stuck([*stuck, Did(K.BUILT)])
    assert may_follow(stuck, K.GOING_ON)


def test_the_track_shows_what_is_done_and_where_it_stands():
    points = track(did(*WAY[:2]))
    assert [point.standing for point in points] == ["passed", "in hand", "not done", "not done", "not done"]
    assert [point.is_here for point in points] == [False, True, False, False, False]
    assert {point.standing for point in track(did(*WAY))} == {"passed"}
    assert {point.standing for point in track([])} == {"not done"}


def test_the_track_of_one_sent_back_begins_again():
    points = track(did(*WAY, K.SENT_BACK))
    assert [point.standing for point in points] == ["passed", *["not done"] * 4]


@given(st.lists(st.sampled_from(list(K)), max_size=12))
def test_whatever_may_follow_keeps_it_on_its_way(wished):
    """Law: taking only the steps that may follow, one is never refused a note, and each refusal is a sentence."""
    taken = []
    for kind in wished:
        refused = why_not("SR-14", taken, kind)
        assert bool(refused) != may_follow(taken, kind)
        assert not refused or (refused.endswith(".") and "SR-14" in refused)
        if not refused:
            taken.append(Did(kind))
    assert stage_of(taken) in MAY_FOLLOW
    assert may_follow(taken, K.NOTE)
