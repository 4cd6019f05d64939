"""Which slots of all that are reached are drawn as plates, and behind what the others are folded."""

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.signedinteger[Any]]
Bools = NDArray[np.bool_]

ROOM = 40  # plates of a sheet on which nothing was unfolded
HOP_ROOM = 18  # plates of one hop, before slots of one rack are folded together
DRAWN = 300  # plates of a sheet at most, whatever was unfolded


@dataclass(frozen=True, eq=False)
class Reached:
    """The slots reached, by hop, each with the place in these arrays it was reached from. Place 0 is the start."""

    slots: Ints
    hop: Ints
    parent: Ints

    def __len__(self) -> int:
        return len(self.slots)


@dataclass(frozen=True)
class Unfolded:
    """What somebody unfolded: slots by their place among those reached, racks by a number, whole hops."""

    beyond: Collection[int] = frozenset()
    racks: Collection[int] = frozenset()
    hops: Collection[int] = frozenset()


@dataclass(frozen=True, eq=False)
class Fold:
    """Slots of one hop drawn as one plate: those of one rack, or of several.

    `members` are their places among the slots reached, `beyond` counts the slots that are reached through them.
    """

    hop: int
    racks: tuple[int, ...]
    members: Ints
    beyond: int = 0


@dataclass(frozen=True, eq=False)
class Shown:
    """What is drawn: places of single plates, folds, and for each single plate how many slots are folded beyond it."""

    places: Ints
    beyond: Ints
    folds: tuple[Fold, ...]


@dataclass
class _Sheet:
    """The sheet while it fills."""

    is_shown: Bools
    folds: list[Fold] = field(default_factory=list)
    count: int = 1


def fold(reached: Reached, rack_of: Ints, hops: int | None, unfolded: Unfolded) -> Shown:
    """Choose, hop by hop from the start, what is drawn.

    A hop is drawn as far as there is room; one with too many slots has those of a rack folded into one plate; where no
    room is left, the rest stays beyond the plate it is reached through. `rack_of` has a number for each slot reached.
    """
    sheet = _Sheet(np.zeros(len(reached), dtype=bool))
    sheet.is_shown[0] = True
    is_open = np.zeros(len(reached), dtype=bool)
    is_open[list(unfolded.beyond)] = True
    last = int(reached.hop[-1])
    for hop in range(1, last + 1):
        first, stop = np.searchsorted(reached.hop, (hop, hop + 1))
        places = np.arange(first, stop)
        places = places[sheet.is_shown[reached.parent[places]]]
        is_asked = is_open[reached.parent[places]]
        is_near = hops is None or hop <= hops or hop in unfolded.hops
        before = sheet.count
        _draw_hop(sheet, hop, places[is_asked], HOP_ROOM, rack_of, unfolded)
        if is_near:
            _draw_hop(sheet, hop, places[~is_asked], ROOM - sheet.count, rack_of, unfolded)
        if sheet.count == before:
            break
    return _counted(reached, sheet)


def _draw_hop(sheet: _Sheet, hop: int, places: Ints, room: int, rack_of: Ints, unfolded: Unfolded) -> None:
    by_itself = np.isin(rack_of[places], list(unfolded.racks)) | (hop in unfolded.hops)
    _draw(sheet, places[by_itself])
    places = places[~by_itself]
    room = min(HOP_ROOM, room, DRAWN - sheet.count)
    if len(places) <= room:
        _draw(sheet, places)
    elif room > 0:
        _draw_by_rack(sheet, hop, places, rack_of[places], room)


def _draw(sheet: _Sheet, places: Ints) -> None:
    places = places[: max(0, DRAWN - sheet.count)]
    sheet.is_shown[places] = True
    sheet.count += len(places)


def _draw_by_rack(sheet: _Sheet, hop: int, places: Ints, racks: Ints, room: int) -> None:
    """Fold each rack into a plate, the smallest left open while there is room; racks past the room share one."""
    numbers, counts = np.unique(racks, return_counts=True)
    if len(numbers) > room:
        folded = [(int(number),) for number in numbers[: room - 1]]
        folded.append(tuple(numbers[room - 1 :].tolist()))
    else:
        opened = _opened(counts, room - len(numbers))
        _draw(sheet, places[np.isin(racks, numbers[opened])])
        folded = [(int(number),) for number in numbers[~opened]]
    sheet.folds.extend(Fold(hop, group, places[np.isin(racks, group)]) for group in folded)
    sheet.count += len(folded)


def _opened(counts: Ints, spare: int) -> Bools:
    """Which racks have each slot drawn: the smallest, as long as there are plates to spare."""
    order = np.argsort(counts, kind="stable")
    opened = np.zeros(len(counts), dtype=bool)
    opened[order] = np.cumsum(counts[order] - 1) <= spare
    return opened


def _counted(reached: Reached, sheet: _Sheet) -> Shown:
    """Count for each plate and each fold what is reached through it and is not drawn, by pointer jumping."""
    total = len(reached)
    held_by = np.concatenate((np.where(sheet.is_shown, np.arange(total), reached.parent), np.arange(len(sheet.folds))))
    held_by[total:] += total
    for number, each in enumerate(sheet.folds):
        held_by[each.members] = total + number
    while True:
        further = held_by[held_by]
        if np.array_equal(further, held_by):
            break
        held_by = further
    counts = np.bincount(held_by, minlength=len(held_by)) - 1
    folds = tuple(
        Fold(each.hop, each.racks, each.members, int(counts[total + number]) - len(each.members))
        for number, each in enumerate(sheet.folds)
    )
    places = np.flatnonzero(sheet.is_shown)
    return Shown(places, counts[places], folds)
