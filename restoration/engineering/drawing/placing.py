"""How high each box stands: as level with what it is joined to as the boxes above and below it allow."""

from collections import defaultdict
from collections.abc import Sequence

from restoration.engineering.drawing.ordering import Columns
from restoration.engineering.drawing.parts import Box, Sizes, Wire
from restoration.engineering.drawing.ports import Rows


def tops_of(
    boxes: Sequence[Box], wires: Sequence[Wire], columns: Columns, rows: Sequence[Rows], sizes: Sizes
) -> list[float]:
    """Find the top of each box: no two of a column nearer than the gap, wires as straight as that allows.

    Column by column, forth and back and forth again, the sum of the squared distances from the wanted heights is least
    (isotonic regression by pooling neighbours that are out of order; Barlow, Bartholomew, Bremner and Brunk,
    "Statistical Inference under Order Restrictions", Wiley 1972; cited from memory). Tops are multiples of the grid,
    and every column hangs from 0, so that a drawing is read from its upper edge.

    >>> boxes, wires = [Box(0, 40), Box(1, 40), Box(1, 40)], [Wire(0, 1, 1, 1), Wire(0, 1, 2, 1)]
    >>> columns = [[0], [1, 2]]
    >>> from restoration.engineering.drawing.ports import rows_of
    >>> tops_of(boxes, wires, columns, rows_of(boxes, wires, columns, Sizes()), Sizes())
    [0.0, 0.0, 90.0]
    """
    tops = [0.0] * len(boxes)
    for column in columns:
        _stack(column, [0.0] * len(column), rows, tops, sizes)
    before, after = _pulls(boxes, wires, rows)
    for turn, pulls in enumerate((before, after, before)):
        for column in columns if turn != 1 else list(reversed(columns)):
            _stack(column, [_wanted(box, pulls, tops) for box in column], rows, tops, sizes)
    for column in columns:
        least = min((tops[box] for box in column), default=0.0)
        for box in column:
            tops[box] -= least
    return tops


Pulls = dict[int, list[tuple[int, float]]]


def _pulls(boxes: Sequence[Box], wires: Sequence[Wire], rows: Sequence[Rows]) -> tuple[Pulls, Pulls]:
    """For each box, the boxes before and after it, with how much lower its top would be if the wire ran straight."""
    in_y = [{port.number: port.y for port in each.inputs} for each in rows]
    out_y = [{port.number: port.y for port in each.outputs} for each in rows]
    before: Pulls = defaultdict(list)
    after: Pulls = defaultdict(list)
    for wire in wires:
        if boxes[wire.load].column == boxes[wire.source].column + 1:
            lower = out_y[wire.source][wire.out_port] - in_y[wire.load][wire.in_port]
            before[wire.load].append((wire.source, lower))
            after[wire.source].append((wire.load, -lower))
    return before, after


def _wanted(box: int, pulls: Pulls, tops: Sequence[float]) -> float:
    found = pulls.get(box)
    if not found:
        return tops[box]
    return sum(tops[other] + lower for other, lower in found) / len(found)


def _stack(
    column: Sequence[int], wanted: Sequence[float], rows: Sequence[Rows], tops: list[float], sizes: Sizes
) -> None:
    """Set the tops of a column, in its order, as near to the wanted ones as they go."""
    offsets, offset = [], 0.0
    for box in column:
        offsets.append(offset)
        offset += rows[box].height + sizes.gap
    level = _not_falling([want - offset for want, offset in zip(wanted, offsets, strict=True)])
    for box, free, offset in zip(column, level, offsets, strict=True):
        tops[box] = round(free / sizes.grid) * sizes.grid + offset


def _not_falling(values: Sequence[float]) -> list[float]:
    """The nearest values, by squares, none of which is less than the one before it."""
    pools: list[tuple[float, int]] = []
    for value in values:
        total, count = value, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            more, others = pools.pop()
            total, count = total + more, count + others
        pools.append((total, count))
    return [total / count for total, count in pools for _ in range(count)]
