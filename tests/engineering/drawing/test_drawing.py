"""Boxes and wires as they are drawn: never one upon another, whatever the graph."""

from collections import Counter
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.drawing import Box, Drawing, Wire, lay_out
from restoration.engineering.drawing.channels import NetPins, tracks_of
from restoration.engineering.drawing.ordering import ordered_columns


@st.composite
def graphs(draw) -> tuple[list[Box], list[Wire]]:
    """Any boxes and wires: back, across, into the own box, several on a port, several columns on."""
    boxes = [
        Box(draw(st.integers(0, 4)), draw(st.sampled_from([50, 100])), draw(st.sampled_from([0, 10, 50])))
        for _ in range(draw(st.integers(1, 12)))
    ]
    at = st.integers(0, len(boxes) - 1)
    ends = draw(st.lists(st.tuples(at, st.integers(0, 2), at, st.integers(0, 2)), max_size=25))
    return boxes, [Wire(*each) for each in ends]


def apart(drawing: Drawing) -> bool:
    """Whether no two boxes touch."""
    return all(
        one.x + one.width <= two.x
        or two.x + two.width <= one.x
        or one.y + one.height <= two.y
        or two.y + two.height <= one.y
        for one, two in combinations(drawing.boxes, 2)
    )


def pieces(drawing: Drawing, wires: list[Wire]):
    """Every straight piece of every route, with the net it belongs to."""
    for wire, route in zip(wires, drawing.routes, strict=True):
        for (x1, y1), (x2, y2) in pairwise(route.points):
            yield (wire.source, wire.out_port), (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


@settings(max_examples=150, deadline=None)
@given(graphs())
def test_boxes_stand_apart_in_their_columns_and_inside_the_drawing(graph):
    boxes, wires = graph
    drawing = lay_out(boxes, wires)
    assert apart(drawing)
    left = {box.column: placed.x for box, placed in zip(boxes, drawing.boxes, strict=True)}
    assert [left[column] for column in sorted(left)] == sorted(left.values())
    for placed in drawing.boxes:
        assert min(placed.x, placed.y, drawing.width - placed.x - placed.width) >= 0
        assert placed.y + placed.height <= drawing.height


@settings(max_examples=150, deadline=None)
@given(graphs())
def test_wires_are_square_run_from_port_to_port_and_through_no_box(graph):
    boxes, wires = graph
    drawing = lay_out(boxes, wires)
    for wire, route in zip(wires, drawing.routes, strict=True):
        source, load = drawing.boxes[wire.source], drawing.boxes[wire.load]
        outs = {port.number: port.y for port in source.outputs}
        ins = {port.number: port.y for port in load.inputs}
        assert route.points[0] == (source.x + source.width, outs[wire.out_port])
        assert route.points[-1] == (load.x, ins[wire.in_port])
        assert route.is_back == (boxes[wire.load].column <= boxes[wire.source].column)
        assert all((x1 == x2) != (y1 == y2) for (x1, y1), (x2, y2) in pairwise(route.points))
    for _, (x1, y1, x2, y2) in pieces(drawing, wires):
        assert min(x1, y1, drawing.width - x2, drawing.height - y2) >= 0
        for box in drawing.boxes:
            assert not (x1 < box.x + box.width and box.x < x2 and y1 < box.y + box.height and box.y < y2)


@settings(max_examples=150, deadline=None)
@given(graphs())
def test_wires_of_different_outputs_never_lie_upon_each_other(graph):
    boxes, wires = graph
    wires = [replace(wire, in_port=number) for number, wire in enumerate(wires)]
    drawing = lay_out(boxes, wires)
    for (net, one), (other, two) in combinations(list(pieces(drawing, wires)), 2):
        if net == other:
            continue
        overlap_x = min(one[2], two[2]) - max(one[0], two[0])
        overlap_y = min(one[3], two[3]) - max(one[1], two[1])
        same_line = (one[1] == one[3] == two[1] == two[3]) or (one[0] == one[2] == two[0] == two[2])
        assert not (same_line and max(overlap_x, overlap_y) > 0 and min(overlap_x, overlap_y) == 0)


@given(graphs())
@settings(max_examples=50, deadline=None)
def test_the_same_graph_gives_the_same_drawing(graph):
    assert lay_out(*graph) == lay_out(*graph)


def test_a_chain_is_one_straight_line():
    drawing = lay_out([Box(at, 100) for at in range(5)], [Wire(at, 0, at + 1, 0) for at in range(4)])
    assert len({y for route in drawing.routes for _, y in route.points}) == 1


def test_a_source_with_several_loads_has_one_trunk_with_joints():
    drawing = lay_out([Box(0, 50), *(Box(1, 50) for _ in range(4))], [Wire(0, 0, at, 0) for at in range(1, 5)])
    bends = Counter(x for route in drawing.routes for x, _ in route.points[1:-1])
    assert len(bends) == 1
    assert len(drawing.joints) >= 2
    assert {x for x, _ in drawing.joints} == set(bends)


def test_crossings_are_taken_out_where_an_order_without_them_is():
    boxes = [Box(0, 50) for _ in range(3)] + [Box(1, 50) for _ in range(3)]
    assert ordered_columns(boxes, [Wire(0, 0, 5, 0), Wire(1, 0, 4, 0), Wire(2, 0, 3, 0)])[1] == [5, 4, 3]


def test_nets_that_would_each_bend_left_of_the_other_are_told():
    clash = {(0, 0): NetPins(left={10.0}, right={50.0}), (1, 0): NetPins(left={50.0}, right={10.0})}
    assert not tracks_of(clash).is_clear
    drawing = lay_out([Box(0, 50), Box(1, 50), Box(1, 50), Box(0, 50)], [Wire(0, 0, 2, 0), Wire(3, 0, 1, 0)])
    assert apart(drawing)


def test_nothing_at_all_is_an_empty_drawing():
    assert lay_out([], []).boxes == ()


@pytest.mark.parametrize(
    ("boxes", "wires", "sentence"),
    [
        ([Box(-1, 50)], [], "A box stands in a column counted from 0; -1 was given."),
        ([Box(0, 50)], [Wire(0, 0, 1, 0)], "A wire ends at one of the 1 boxes, counted from 0; 1 was given."),
    ],
)
def test_nonsense_is_refused_in_a_sentence(boxes, wires, sentence):
    with pytest.raises(ValueError) as refusal:
        lay_out(boxes, wires)
    assert str(refusal.value) == sentence
