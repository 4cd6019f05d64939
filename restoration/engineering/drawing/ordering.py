"""In which order the boxes of a column stand, so that few wires cross.

Barycentre sweeps after Sugiyama, Tagawa and Toda, "Methods for visual understanding of hierarchical system
structures", IEEE Trans. Systems, Man and Cybernetics 11 (1981; cited from memory), on columns that are given.
Everything is sorted with ties by the order given, so that the same drawing comes out each time.
"""

from bisect import bisect_right, insort
from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise

from restoration.engineering.drawing.parts import Box, Wire

SWEEPS = 4
Columns = list[list[int]]
Neighbours = dict[int, list[int]]


def ordered_columns(boxes: Sequence[Box], wires: Sequence[Wire]) -> Columns:
    """Put the boxes of each column in an order in which few wires to the next column cross.

    Of all sweeps the order with the fewest crossings is kept; the order given stays where no sweep betters it. Boxes by
    their place in the list; columns from the first to the last, empty ones among them.

    >>> boxes = [Box(0, 40), Box(0, 40), Box(1, 40), Box(1, 40)]
    >>> ordered_columns(boxes, [Wire(0, 0, 3, 0), Wire(1, 0, 2, 0)])
    [[0, 1], [3, 2]]
    """
    columns: Columns = [[] for _ in range(max((box.column for box in boxes), default=-1) + 1)]
    for index, box in enumerate(boxes):
        columns[box.column].append(index)
    forward = [wire for wire in wires if boxes[wire.load].column == boxes[wire.source].column + 1]
    before, after = _neighbours(forward)
    best, fewest = columns, _crossings(columns, after)
    for sweep in range(SWEEPS):
        if not fewest:
            break
        columns = _swept(columns, before if sweep % 2 == 0 else after, backwards=sweep % 2 == 1)
        crossings = _crossings(columns, after)
        if crossings < fewest:
            best, fewest = columns, crossings
    return best


def _neighbours(forward: Sequence[Wire]) -> tuple[Neighbours, Neighbours]:
    before: Neighbours = defaultdict(list)
    after: Neighbours = defaultdict(list)
    for wire in forward:
        before[wire.load].append(wire.source)
        after[wire.source].append(wire.load)
    return before, after


def _swept(columns: Columns, neighbours: Neighbours, *, backwards: bool) -> Columns:
    """Sort each column by the middle of its neighbours in the column that was sorted just before."""
    swept = [list(column) for column in columns]
    turns = range(len(swept) - 2, -1, -1) if backwards else range(1, len(swept))
    for turn in turns:
        fixed = swept[turn + 1 if backwards else turn - 1]
        place = {box: at for at, box in enumerate(fixed)}
        stretch = len(fixed) / max(1, len(swept[turn]))
        middle = {
            box: sum(place[other] for other in neighbours[box]) / len(neighbours[box])
            if neighbours.get(box)
            else at * stretch
            for at, box in enumerate(swept[turn])
        }
        swept[turn].sort(key=middle.__getitem__)
    return swept


def _crossings(columns: Columns, after: Neighbours) -> int:
    """Count the pairs of wires between neighbouring columns that cross."""
    total = 0
    for left, right in pairwise(columns):
        place = {box: at for at, box in enumerate(right)}
        seen: list[int] = []
        for box in left:
            ends = sorted(place[load] for load in after.get(box, ()))
            total += sum(len(seen) - bisect_right(seen, end) for end in ends)
            for end in ends:
                insort(seen, end)
    return total
