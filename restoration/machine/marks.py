"""Gate marks of chassis and interconnects, worked out by an app above and shown on the pages of this one.

What a chassis or an interconnect stands at is judged above; the rack's front, the lists and the page of
an interconnect show it. The app above registers where marks come from when it starts.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

NOT_DONE = "not done"
PASSED = "passed"
# The worst first: one mark for a whole row of gates shows the first of these that any gate stands at.
GRAVEST_FIRST = ("failed", "in doubt", "withdrawn", "on concession")


@dataclass(frozen=True)
class GateMark:
    """How one gate stands, and why."""

    gate: str
    standing: str
    reasons: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """The gate and its standing, as a mark is named aloud."""
        return f"{self.gate}: {self.standing}"


@dataclass(frozen=True)
class Marks:
    """The gate marks of many chassis and interconnects, by row id, in the order of the gates."""

    chassis: dict[int, list[GateMark]] = field(default_factory=dict)
    interconnects: dict[int, list[GateMark]] = field(default_factory=dict)

    def of_chassis(self, row_id: int) -> list[GateMark]:
        """The marks of one chassis; none where nobody works them out."""
        return self.chassis.get(row_id, [])

    def of_interconnect(self, row_id: int) -> list[GateMark]:
        """The marks of one interconnect; none where nobody works them out."""
        return self.interconnects.get(row_id, [])


MarksSource = Callable[[Sequence[int], Sequence[int]], Marks]


def _no_marks(chassis_ids: Sequence[int], interconnect_ids: Sequence[int]) -> Marks:
    return Marks()


_source: MarksSource = _no_marks


def set_marks_source(source: MarksSource) -> None:
    """Say where marks come from: `source(chassis_ids, interconnect_ids)`, in a constant number of reads."""
    global _source
    _source = source


def marks_for(*, chassis_ids: Iterable[int] = (), interconnect_ids: Iterable[int] = ()) -> Marks:
    """Fetch the gate marks of these chassis and interconnects, in a constant number of reads."""
    wanted_chassis, wanted_links = list(chassis_ids), list(interconnect_ids)
    if not wanted_chassis and not wanted_links:
        return Marks()
    return _source(wanted_chassis, wanted_links)


_recorded: MarksSource = _no_marks


def set_recorded_marks_source(source: MarksSource) -> None:
    """Say where the marks of gates with records of their own come from: two reads, nothing worked out."""
    global _recorded
    _recorded = source


def recorded_marks_for(*, chassis_ids: Iterable[int] = (), interconnect_ids: Iterable[int] = ()) -> Marks:
    """Fetch the marks of those gates that have records, without reasons: for drawings of very many."""
    return _recorded(list(chassis_ids), list(interconnect_ids))


@dataclass(frozen=True)
class SlotFront:
    """What an app above knows of a slot for the front of its rack: the chassis on its way, and how its wires stand."""

    on_its_way: str = ""
    gates: list[GateMark] = field(default_factory=list)
    wires: list[GateMark] = field(default_factory=list)


FrontsSource = Callable[[Sequence[int]], dict[int, SlotFront]]


def _no_fronts(slot_ids: Sequence[int]) -> dict[int, SlotFront]:
    return {}


_fronts: FrontsSource = _no_fronts


def set_fronts_source(source: FrontsSource) -> None:
    """Say where the fronts of slots come from: `source(slot_ids)`, in a constant number of reads."""
    global _fronts
    _fronts = source


def fronts_for(slot_ids: Iterable[int]) -> dict[int, SlotFront]:
    """Fetch what is known of these slots, by row id; slots nothing is known of are left out."""
    return _fronts(list(slot_ids))


def one_mark(marks: Sequence[GateMark]) -> str:
    """Sum a row of gates up in one standing: the gravest, else passed if all are, else how far it came.

    >>> one_mark([GateMark("joined", "passed"), GateMark("rung out", "in doubt")])
    'in doubt'
    >>> one_mark([GateMark("joined", "passed"), GateMark("rung out", "not done")])
    'in hand'
    >>> one_mark([])
    'not done'
    """
    standings = [mark.standing for mark in marks]
    for grave in GRAVEST_FIRST:
        if grave in standings:
            return grave
    if not standings or all(standing == NOT_DONE for standing in standings):
        return NOT_DONE
    return PASSED if all(standing == PASSED for standing in standings) else "in hand"
