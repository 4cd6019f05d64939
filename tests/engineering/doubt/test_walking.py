"""Walking forward in the arrays, against a walk with a finger on the drawing."""

from hypothesis import given

from restoration.engineering.doubt.around import Walked
from restoration.engineering.doubt.walking import walk_forward
from restoration.engineering.wiring import build_wiring
from tests.engineering.doubt.as_arrays import wiring_of
from tests.engineering.doubt.drawn import Drawing, DrawnAround
from tests.engineering.doubt.machines import machines
from tests.engineering.doubt.small_machine import SMALL_MACHINE


def hops(before: list[int]) -> list[int]:
    """How many wires each wire of a walk is away."""
    away: list[int] = []
    for at in before:
        away.append(1 if at < 0 else away[at] + 1)
    return away


def in_arrays(drawing: Drawing, slot: str) -> dict[str, int]:
    """The links walked, and how far each is."""
    walk = walk_forward(wiring_of(drawing), drawing.slots.index(slot))
    codes = [drawing.wires[link].code for link in walk.links.tolist()]
    return dict(zip(codes, hops(walk.before.tolist()), strict=True))


def with_a_finger(drawing: Drawing, slot: str) -> dict[str, int]:
    """The same on the drawing."""
    around = DrawnAround(drawing)
    walk = around.walk(around.numbers["slot"](slot))
    away = hops([-1 if walked.before is None else walked.before for walked in walk])
    return {walked.wire.code: hop for walked, hop in zip(walk, away, strict=True)}


def test_the_small_machine_from_every_slot():
    assert in_arrays(SMALL_MACHINE, "A-01") == {"01": 1}
    assert in_arrays(SMALL_MACHINE, "A-02") == {"02": 1, "03": 1, "04": 1, "05": 2, "06": 2, "07": 2, "09": 3}
    assert in_arrays(SMALL_MACHINE, "B-01") == {"05": 1, "06": 1, "10": 1, "07": 2, "11": 2, "09": 3}
    assert in_arrays(SMALL_MACHINE, "B-02") == {"07": 1, "09": 2}
    assert in_arrays(SMALL_MACHINE, "C-01") == {"08": 1, "09": 1, "07": 2, "11": 2, "10": 3}
    assert in_arrays(SMALL_MACHINE, "C-02") == {"11": 1, "10": 2}


@given(machines())
def test_every_machine_from_every_slot(drawing):
    for slot in drawing.slots:
        assert in_arrays(drawing, slot) == with_a_finger(drawing, slot)


@given(machines())
def test_each_wire_leaves_the_slot_that_the_one_before_it_enters(drawing):
    wiring = wiring_of(drawing)
    for slot in range(len(drawing.slots)):
        walk = walk_forward(wiring, slot)
        for link, before in zip(walk.links.tolist(), walk.before.tolist(), strict=True):
            enters = slot if before < 0 else wiring.load_slot[walk.links[before]]
            assert wiring.source_slot[link] == enters


def test_a_way_through_one_of_two_stages_is_named_by_the_wire_into_that_stage():
    """A slot is reached at one stage first; what leaves its other stage is reached through the other wire."""
    wiring = build_wiring(
        slot_count=4,
        terminal_slot=[0, 1, 1, 2, 1, 1, 3],
        source=[0, 0, 3, 5],
        load=[1, 3, 2, 6],
        stage_slot=[1, 1],
        stage_barrier=[False, False],
        port_stage=[0, 0, 1, 1],
        port_terminal=[1, 4, 2, 5],
        port_is_out=[False, True, False, True],
    )
    walk = walk_forward(wiring, 0)
    assert walk.links.tolist() == [0, 1, 2, 3]
    assert walk.before.tolist() == [-1, -1, 1, 2]


def test_a_slot_without_outputs():
    walk = walk_forward(build_wiring(slot_count=1, terminal_slot=[], source=[], load=[]), 0)
    assert walk.links.size == walk.before.size == 0


def test_walks_of_a_drawing_name_what_came_before():
    around = DrawnAround(SMALL_MACHINE)
    walk = around.walk(around.numbers["slot"]("B-02"))
    assert [(walked.wire.code, walked.before) for walked in walk] == [("07", None), ("09", 0)]
    assert isinstance(walk[0], Walked)
