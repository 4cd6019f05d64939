"""In which row of its box each port stands: in the order of what it is joined to."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from restoration.engineering.drawing.ordering import Columns
from restoration.engineering.drawing.parts import Box, Port, Sizes, Wire, is_back

Side = tuple[Port, ...]
FarEnds = dict[int, list[float]]  # of each port, how far down their columns its far ends stand


@dataclass(frozen=True)
class Rows:
    """The ports of a box, each with the height of its row under the top of the box, and how high the box becomes."""

    inputs: Side
    outputs: Side
    height: float


def rows_of(boxes: Sequence[Box], wires: Sequence[Wire], columns: Columns, sizes: Sizes) -> list[Rows]:
    """Give each port a row of its box, the nearer the top the higher its far ends stand.

    >>> boxes = [Box(0, 40), Box(1, 40), Box(1, 40)]
    >>> wires = [Wire(0, 7, 1, 1), Wire(0, 4, 2, 1)]
    >>> rows = rows_of(boxes, wires, [[0], [2, 1]], Sizes())[0]
    >>> rows.outputs, rows.height
    ((Port(number=4, y=55.0), Port(number=7, y=85.0)), 100.0)
    """
    place = {box: at / len(column) for column in columns for at, box in enumerate(column)}
    inputs: dict[int, FarEnds] = defaultdict(lambda: defaultdict(list))
    outputs: dict[int, FarEnds] = defaultdict(lambda: defaultdict(list))
    for wire in wires:
        runs_back = is_back(boxes, wire)
        # What comes over a lane below the boxes is joined at the lowest rows.
        inputs[wire.load][wire.in_port].append(place[wire.source] + runs_back)
        outputs[wire.source][wire.out_port].append(place[wire.load] + runs_back)
    return [_rows(box, inputs[index], outputs[index], sizes) for index, box in enumerate(boxes)]


def _rows(box: Box, inputs: FarEnds, outputs: FarEnds, sizes: Sizes) -> Rows:
    rows = max(len(inputs), len(outputs))
    height = box.head + rows * sizes.row + box.foot
    return Rows(_side(box.head, inputs, sizes), _side(box.head, outputs, sizes), height)


def _side(top: float, far_ends: FarEnds, sizes: Sizes) -> Side:
    numbers = sorted(far_ends, key=lambda port: sum(far_ends[port]) / len(far_ends[port]))
    return tuple(Port(number, top + (at + 0.5) * sizes.row) for at, number in enumerate(numbers))
