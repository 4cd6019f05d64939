"""Lists that name every wire once from each end, brought together to one row a wire."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from restoration.engineering.wire_list.known import End
from restoration.engineering.wire_list.wires import WireRow

LENGTH_TOLERANCE_M = 0.001
LENGTH_TOLERANCE = 0.001
"""Two lengths of one wire agree within the larger of a millimetre and a thousandth (own rule, no source)."""

COMPARED = ("signal", "wire", "colour", "loom", "remarks")

Pair = tuple[WireRow, WireRow]


class Disagreement(NamedTuple):
    """What the two rows of one wire say differently; the first-named row's word is taken."""

    row: WireRow
    other_line: int
    column: str
    value: str | float
    other_value: str | float


@dataclass(frozen=True, slots=True)
class Pairing:
    """One row a wire in the order first named, and what did not agree."""

    rows: Sequence[WireRow] = ()
    one_ended: tuple[WireRow, ...] = ()
    length_disagrees: tuple[Disagreement, ...] = ()
    disagrees: tuple[Disagreement, ...] = ()

    @property
    def tells(self) -> bool:
        """Say whether there is anything to report."""
        return bool(self.one_ended or self.length_disagrees or self.disagrees)


def pair_ends(rows: Iterable[WireRow]) -> Pairing:
    """Pair each row A to B with a row B to A and merge the two.

    Rows with the same link code are paired first; then rows that agree in most; parallel wires
    are kept, as many as the list names. Two different link codes are never paired. The row named
    first gives the source end and wins where the two differ; its blanks are filled from the
    other, and a wire is critical if either row says so. A wire named from one end only stays in
    as it stands and is reported.

    >>> from restoration.engineering.wire_list.rows import read_rows
    >>> from restoration.engineering.wire_list.tables import read_table
    >>> data = b"from_slot,from_terminal,to_slot,to_terminal\\nA,1,B,2\\nB,2,A,1\\nA,3,C,1\\n"
    >>> pairing = pair_ends(read_rows(read_table(data, name="w.csv")).rows)
    >>> [row.line for row in pairing.rows], [row.line for row in pairing.one_ended]
    ([2, 4], [4])
    """
    pairs: list[Pair] = []
    single: list[WireRow] = []
    for group in _groups(rows):
        _match(group, pairs, single)
    pairs.sort()
    merged = [*(_merged(first, second) for first, second in pairs), *single]
    return Pairing(
        rows=sorted(merged),
        one_ended=tuple(sorted(single)),
        length_disagrees=tuple(found for pair in pairs for found in _lengths(*pair)),
        disagrees=tuple(found for pair in pairs for found in _texts(*pair)),
    )


def _groups(rows: Iterable[WireRow]) -> Iterable[list[WireRow]]:
    """Rows that join the same two terminals, whichever way round."""
    groups: dict[tuple[End, End], list[WireRow]] = defaultdict(list)
    for row in rows:
        source, load = row.source, row.load
        groups[(source, load) if source <= load else (load, source)].append(row)
    return groups.values()


def _match(group: list[WireRow], pairs: list[Pair], single: list[WireRow]) -> None:
    if len(group) == 2 and _suit(*group):
        pairs.append((group[0], group[1]))
        return
    for likeness in (_by_code, _by_all, _by_wire, _by_ends):
        if len(group) < 2:
            break
        group = _match_alike(group, likeness, pairs)
    single.extend(group)


def _suit(one: WireRow, other: WireRow) -> bool:
    """Say whether two rows can be the two ends of one wire."""
    opposite = one.source == other.load and one.load == other.source
    return opposite and (one.link == other.link or not one.link or not other.link)


Likeness = Callable[[WireRow], object]


def _by_code(row: WireRow) -> object:
    return row.link or None


def _by_all(row: WireRow) -> object:
    return (row.signal, row.wire, row.colour, row.loom, row.length_m)


def _by_wire(row: WireRow) -> object:
    return (row.signal, row.wire, row.colour)


def _by_ends(row: WireRow) -> object:
    return ()


def _match_alike(group: list[WireRow], likeness: Likeness, pairs: list[Pair]) -> list[WireRow]:
    """Pair what is alike and runs the opposite way; return what is left.

    Rows with a code go first, since only a row without one, or with the same one, suits them.
    """
    waiting: dict[object, deque[WireRow]] = defaultdict(deque)
    for row in sorted(group, key=lambda row: (not row.link, row.line)):
        key = likeness(row)
        suits = (True, False) if likeness is _by_code or not row.link else (False,)
        places = [(key, row.load, row.source, coded) for coded in suits] if key is not None else []
        found = next((waiting[place] for place in places if waiting.get(place)), None)
        if found:
            pairs.append(_in_order(row, found.popleft()))
        else:
            waiting[(key, row.source, row.load, bool(row.link))].append(row)
    return [row for rows in waiting.values() for row in rows]


def _in_order(one: WireRow, other: WireRow) -> Pair:
    return (one, other) if one.line < other.line else (other, one)


def _merged(first: WireRow, second: WireRow) -> WireRow:
    """The first row, its blanks filled from the second turned round."""
    both = zip(first, second.turned(), strict=True)
    filled = WireRow._make(other if mine in ("", None) else mine for mine, other in both)
    return filled._replace(critical=True) if second.critical else filled


def _lengths(first: WireRow, second: WireRow) -> Iterator[Disagreement]:
    if first.length_m is None or second.length_m is None:
        return
    tolerance_m = max(LENGTH_TOLERANCE_M, LENGTH_TOLERANCE * max(first.length_m, second.length_m))
    if abs(first.length_m - second.length_m) > tolerance_m + 1e-9:
        yield Disagreement(first, second.line, "length_m", first.length_m, second.length_m)


def _texts(first: WireRow, second: WireRow) -> Iterator[Disagreement]:
    for column in COMPARED:
        value, other = getattr(first, column), getattr(second, column)
        if value and other and value != other:
            yield Disagreement(first, second.line, column, value, other)
