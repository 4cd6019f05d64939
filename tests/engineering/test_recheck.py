"""The walk to test again: each doubtful gate once, safety first, every rack once in a phase."""

from dataclasses import replace
from itertools import groupby

from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.recheck import (
    DoubtfulGate,
    Phase,
    Place,
    in_one_sentence,
    plan_walk,
    racks_walked,
)

GATES = {
    "chassis": (("bench-tested", Phase.DEAD), ("HT on", Phase.POWER)),
    "interconnect": (("joined", Phase.DEAD), ("rung out", Phase.DEAD), ("signal-checked", Phase.LIVE)),
    "rack": (("HT proved", Phase.POWER),),
    "group": (("functional check", Phase.GROUP),),
}
KINDS = [(kind, gate, phase, order) for kind, row in GATES.items() for order, (gate, phase) in enumerate(row)]


@st.composite
def doubtful(draw):
    kind, gate, phase, order = draw(st.sampled_from(KINDS))
    code = str(draw(st.integers(1, 9)))
    rack = int(code) % 4  # an item stands in one place
    place = Place(3 - rack, "ABCD"[rack], int(code) % 3, f"{'ABCD'[rack]}-{code}")
    reason = draw(st.sampled_from(["Change 7.", "Change 9.", "A load was joined."]))
    apart = draw(st.sampled_from(["", "", "It is lifted."]))
    return DoubtfulGate(kind, code, gate, phase, order, place, (reason,), draw(st.booleans()), apart)


def link(code, gate="signal-checked", phase=Phase.LIVE, *, rack="C", position=3, slot_position=1, **more):
    order = {"joined": 0, "rung out": 1, "signal-checked": 2}[gate]
    place = Place(position, rack, slot_position, f"{rack}-0{slot_position}")
    return DoubtfulGate("interconnect", code, gate, phase, order, place, ("Change 7.",), **more)


@given(st.lists(doubtful(), max_size=40))
def test_every_doubt_is_answered_by_just_one_check_or_set_apart(doubts):
    walk = plan_walk(doubts)
    keys = [gate.key for gate in (*walk.checks, *walk.apart)]
    assert sorted(keys) == sorted({gate.key for gate in doubts})
    on_the_walk = {gate.key for gate in walk.checks}
    for gate in doubts:
        assert (gate.key in on_the_walk) == any(not same.apart for same in doubts if same.key == gate.key)


@given(st.lists(doubtful(), max_size=40))
def test_no_reason_is_lost(doubts):
    kept = {gate.key: set(gate.reasons) for walk in [plan_walk(doubts)] for gate in (*walk.checks, *walk.apart)}
    for gate in doubts:
        assert set(gate.reasons) <= kept[gate.key]


@given(st.lists(doubtful(), max_size=40))
def test_safety_comes_first_and_each_rack_once_in_a_phase(doubts):
    walk = plan_walk(doubts)
    phases = [gate.phase for gate in walk.checks]
    assert phases == sorted(phases)
    for phase in Phase:
        racks = [rack for rack, _ in groupby(gate.place.rack for gate in walk.checks if gate.phase is phase)]
        assert len(racks) == len(set(racks))
    assert [check for stop in walk.stops for check in stop.checks] == list(walk.checks)


@given(st.lists(doubtful(), max_size=25), st.randoms())
def test_the_walk_does_not_depend_on_the_order_of_the_doubts(doubts, random):
    shuffled = list(doubts)
    random.shuffle(shuffled)
    assert [gate.key for gate in plan_walk(doubts).checks] == [gate.key for gate in plan_walk(shuffled).checks]


def test_racks_come_as_they_stand_on_the_floor_and_slots_from_the_top():
    walk = plan_walk(
        [
            link("3", rack="A", position=2),
            link("2", rack="C", position=1, slot_position=2),
            link("1", rack="C", position=1, slot_position=1),
        ]
    )
    assert [gate.code for gate in walk.checks] == ["1", "2", "3"]
    assert racks_walked(walk) == ("C", "A")


def test_dead_work_of_the_last_rack_comes_before_live_work_of_the_first():
    walk = plan_walk([link("1", rack="A", position=1), link("9", "rung out", Phase.DEAD, rack="D", position=4)])
    assert [(gate.code, gate.gate) for gate in walk.checks] == [("9", "rung out"), ("1", "signal-checked")]


def test_critical_links_come_first_at_a_slot():
    walk = plan_walk([link("1"), link("2", is_critical=True)])
    assert [gate.code for gate in walk.checks] == ["2", "1"]


def test_what_is_apart_in_one_question_and_not_in_another_is_walked():
    gate = link("1")
    walk = plan_walk([replace(gate, apart="Only one in five is asked for."), gate])
    assert [check.code for check in walk.checks] == ["1"]
    assert not walk.apart


def test_it_says_how_much_there_is():
    walk = plan_walk([link("1"), link("1", "rung out", Phase.DEAD), link("2", apart="It is lifted.")])
    assert in_one_sentence(walk) == "2 checks to make again at rack C: 1 dead, 1 live. 1 doubt set apart, with why."


def test_it_says_when_nothing_can_be_done_now():
    walk = plan_walk([link("2", apart="It is lifted.")])
    assert in_one_sentence(walk) == "Nothing is to be tested again now. 1 doubt set apart, with why."
