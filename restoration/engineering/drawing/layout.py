"""Puts a drawing together: the order of each column, ports, heights, and the way of each wire."""

from collections.abc import Sequence
from dataclasses import replace

from restoration.engineering.drawing.ordering import ordered_columns
from restoration.engineering.drawing.parts import Box, Drawing, PlacedBox, Sizes, Wire
from restoration.engineering.drawing.placing import tops_of
from restoration.engineering.drawing.ports import rows_of
from restoration.engineering.drawing.routing import Routing


def lay_out(boxes: Sequence[Box], wires: Sequence[Wire], sizes: Sizes | None = None) -> Drawing:
    """Lay boxes out in their columns and lead the wires between them, square and never through a box.

    Limits: the columns are given, and one wire joins neighbouring columns in the channel between them; every other wire
    takes a lane above the boxes (forwards) or below them (back, or within a column). Units: those of `sizes`. The same
    input gives the same drawing. Raises ValueError for a negative column, and for a wire whose end is no box.

    >>> drawing = lay_out([Box(0, 40), Box(1, 40)], [Wire(0, 7, 1, 2)])
    >>> drawing.routes[0].points
    ((280.0, 65.0), (344.0, 65.0))
    >>> [(box.x, box.y, box.height) for box in drawing.boxes]
    [(10.0, 10.0, 70.0), (344.0, 10.0, 70.0)]
    """
    sizes = sizes or Sizes()
    _refuse_nonsense(boxes, wires)
    columns = ordered_columns(boxes, wires)
    rows = rows_of(boxes, wires, columns, sizes)
    tops = tops_of(boxes, wires, columns, rows, sizes)
    routing = Routing(boxes, wires, rows, tops, columns, sizes)
    placed = []
    for index, (box, each) in enumerate(zip(boxes, rows, strict=True)):
        top = routing.tops[index]
        inputs = tuple(replace(port, y=port.y + top) for port in each.inputs)
        outputs = tuple(replace(port, y=port.y + top) for port in each.outputs)
        placed.append(PlacedBox(routing.column_x[box.column], top, sizes.box_width, each.height, inputs, outputs))
    return Drawing(routing.width, routing.height, tuple(placed), tuple(routing.routes()), tuple(routing.joints()))


def _refuse_nonsense(boxes: Sequence[Box], wires: Sequence[Wire]) -> None:
    for box in boxes:
        if box.column < 0:
            raise ValueError(f"A box stands in a column counted from 0; {box.column} was given.")
    for wire in wires:
        for end in (wire.source, wire.load):
            if not 0 <= end < len(boxes):
                raise ValueError(f"A wire ends at one of the {len(boxes)} boxes, counted from 0; {end} was given.")
