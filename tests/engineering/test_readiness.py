"""A rack small enough to work out by hand; the order of work is common practice, no source."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.readiness import GateCount, LinkFacts, SlotFacts, count_gates, rack_readiness
from restoration.engineering.standing import Standing, State

CHASSIS = ("built", "received", "fitted")
LINK = ("joined", "rung out", "signal-checked")
NOW = datetime(2026, 5, 3, tzinfo=UTC)


def stand(gates, *states):
    return tuple(Standing(gate, state, NOW) for gate, state in zip(gates, states, strict=True))


def slot(code, *states, chassis="SR-11", with_whom="the site team"):
    return SlotFacts(code, "summing register", chassis, stand(CHASSIS, *states), with_whom)


def link(code, source, load, *states, faults=()):
    return LinkFacts(code, source, load, stand(LINK, *states), faults)


def judge(slots, links, elsewhere=()):
    return rack_readiness("C", slots, links, chassis_gates=CHASSIS, link_gates=LINK, slots_elsewhere=elsewhere)


P, N, D, F, H, C = (
    State.PASSED,
    State.NOT_DONE,
    State.IN_DOUBT,
    State.FAILED,
    State.IN_HAND,
    State.ON_CONCESSION,
)


def test_a_rack_is_ready_when_all_its_gates_stand():
    answer = judge([slot("C-01", P, P, P)], [link("214", "C-01", "C-01", P, C, P)])
    assert answer.is_ready
    assert answer.missing == ()


def test_an_empty_rack_is_not_ready():
    assert not judge([], []).is_ready


def test_the_nearest_thing_comes_first_and_then_what_frees_most():
    slots = [slot("C-01", P, P, P), slot("C-07", P, N, N, chassis="SR-14", with_whom="Pilar")]
    links = [
        link("7", "C-01", "C-01", P, P, N),
        link("8", "C-01", "C-07", P, P, N),
        link("9", "C-07", "C-01", N, N, N),
    ]
    answer = judge(slots, links)
    assert [(item.code, item.distance) for item in answer.missing] == [("7", 1), ("C-07", 2), ("8", 3), ("9", 5)]
    chassis = answer.missing[1]
    assert (chassis.acts, chassis.waits_for, chassis.frees) == (("received", "fitted"), "Pilar", 2)
    assert answer.missing[2].waits_for == "the chassis of slot C-07"
    assert answer.missing[0].waits_for == "a pair at the rack"


def test_a_wire_waits_for_the_chassis_at_its_far_end():
    far = slot("D-02", N, N, N, chassis="")
    answer = judge([slot("C-01", P, P, P)], [link("7", "C-01", "D-02", P, P, N)], [far])
    assert answer.missing[0].distance == 4
    assert answer.missing[0].waits_for == "the chassis of slot D-02"


def test_the_racks_own_gates_are_one_thing_that_holds_it():
    own = stand(("bonded", "HT proved", "soaked"), P, D, N)
    slots, links = [slot("C-01", P, P, P)], [link("7", "C-01", "C-01", P, P, P), link("8", "C-01", "C-01", P, P, N)]
    answer = rack_readiness("C", slots, links, chassis_gates=CHASSIS, link_gates=LINK, rack_standings=own)
    assert [(item.kind, item.code, item.distance) for item in answer.missing] == [("link", "8", 1), ("rack", "C", 2)]
    rack = answer.missing[1]
    assert (rack.acts, rack.again, rack.frees) == (("HT proved", "soaked"), ("HT proved",), 2)
    assert (rack.text, rack.waits_for) == ("Rack C itself: 2 of its own gates.", "the power responsible person")
    assert answer.in_doubt == (rack,)
    assert answer.own == own


def test_a_soak_waits_for_every_chassis_of_the_rack():
    own = stand(("bonded", "soaked"), P, N)
    given = {"chassis_gates": CHASSIS, "link_gates": LINK, "rack_standings": own, "with_all_chassis": ["soaked"]}
    soak = rack_readiness("C", [slot("C-01", P, P, P), slot("C-07", P, N, N)], [], **given).missing[-1]
    assert (soak.kind, soak.distance, soak.waits_for) == ("rack", 3, "the chassis of the rack")
    soak = rack_readiness("C", [slot("C-01", P, P, P)], [], **given).missing[0]
    assert (soak.distance, soak.waits_for) == (1, "the power responsible person")


def test_a_rack_whose_own_gates_stand_is_held_by_nothing_of_its_own():
    own = stand(("bonded", "soaked"), P, C)
    answer = rack_readiness(
        "C", [slot("C-01", P, P, P)], [], chassis_gates=CHASSIS, link_gates=LINK, rack_standings=own
    )
    assert answer.is_ready


def test_an_open_fault_holds_a_wire_whose_gates_all_stand():
    answer = judge([slot("C-01", P, P, P)], [link("188", "C-01", "C-01", P, P, P, faults=("57",))])
    assert not answer.is_ready
    assert answer.missing[0].acts == ("cure fault 57",)
    assert answer.missing[0].reasons == ("Fault 57 is open on it.",)


def test_what_is_in_doubt_is_listed_apart_with_its_reasons():
    doubted = Standing("rung out", D, NOW, ("Chassis SR-11 was withdrawn from slot C-06.",))
    facts = LinkFacts("214", "C-01", "C-01", (stand(LINK, P, P, P)[0], doubted, stand(LINK, P, P, P)[2]))
    answer = judge([slot("C-01", P, P, P)], [facts])
    assert [item.reasons for item in answer.in_doubt] == [("Chassis SR-11 was withdrawn from slot C-06.",)]


def test_a_slot_without_a_chassis_says_so():
    answer = judge([slot("C-07", N, N, N, chassis="", with_whom="the site lead, to allot one")], [])
    assert answer.missing[0].text == "Slot C-07, summing register: no chassis allotted."


@pytest.mark.parametrize(
    ("states", "word"),
    [
        ((P, P), P),
        ((P, C), C),
        ((P, N), H),
        ((N, N), N),
        ((H, N), H),
        ((P, D), D),
        ((F, D), F),
    ],
)
def test_one_word_sums_up_a_gate(states, word):
    rows = [(Standing("joined", state),) for state in states]
    assert count_gates(["joined"], rows)[0].state is word


def test_a_gate_that_nothing_has_counts_nothing():
    assert count_gates(["joined"], []) == (GateCount("joined", 0, ()),)


states = st.sampled_from([P, N, D, F, H, C])
slots = st.lists(st.tuples(states, states, states), max_size=5).map(
    lambda rows: [slot(f"C-{number:02}", *row) for number, row in enumerate(rows)]
)


@given(slots, st.data())
def test_readiness_never_rises_when_a_passed_gate_is_taken_back(rack_slots, data):
    before = judge(rack_slots, [])
    if not rack_slots:
        return
    index = data.draw(st.integers(0, len(rack_slots) - 1))
    worse = [*rack_slots]
    worse[index] = slot(rack_slots[index].slot, N, N, N)
    after = judge(worse, [])
    assert sum(count.good for count in after.gates) <= sum(count.good for count in before.gates)
    assert not after.is_ready
