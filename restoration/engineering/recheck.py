"""What to test again: the least set of checks that answers what is in doubt, in the order of one walk.

Every check answers one gate of one item, however many changes doubt it; so the least set holds each doubtful
gate once. What cannot be answered now, or need not be, is set apart with the reason. Safety comes first: dead
work before power, power before live work; within each, one walk that comes to every rack once. Common
practice, no source.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from itertools import groupby


class Phase(IntEnum):
    """When in the day a check is made: with everything off, as power comes on, live, or with a whole group."""

    DEAD = 0
    POWER = 1
    LIVE = 2
    GROUP = 3


PHASE_WORDS = {
    Phase.DEAD: "Dead work: supplies off, isolated, proved dead",
    Phase.POWER: "As power comes on",
    Phase.LIVE: "Live: signals at the rack, by a pair",
    Phase.GROUP: "With the whole group running",
}


@dataclass(frozen=True)
class Place:
    """Where a check is made: the rack by its place on the floor, the slot by its place in the rack."""

    rack_position: int = 0
    rack: str = ""
    slot_position: int = 0
    slot: str = ""


@dataclass(frozen=True)
class DoubtfulGate:
    """One gate of one item that is in doubt.

    `kind` is chassis, interconnect, rack or group; `order` is the gate's place among those of its kind;
    `apart` says in a sentence why it is not on the walk, and is empty where it is.
    """

    kind: str
    code: str
    gate: str
    phase: Phase
    order: int
    place: Place
    reasons: tuple[str, ...] = ()
    is_critical: bool = False
    apart: str = ""

    @property
    def key(self) -> tuple[str, str, str]:
        """What one check answers."""
        return (self.kind, self.code, self.gate)


@dataclass(frozen=True)
class Stop:
    """One rack of a phase, and what is done there."""

    phase: Phase
    rack: str
    checks: tuple[DoubtfulGate, ...]


@dataclass(frozen=True)
class Walk:
    """The checks to make, in order, and what is set apart."""

    checks: tuple[DoubtfulGate, ...] = ()
    apart: tuple[DoubtfulGate, ...] = ()

    @property
    def stops(self) -> tuple[Stop, ...]:
        """The walk rack by rack; within a phase each rack comes once."""
        runs = groupby(self.checks, key=lambda check: (check.phase, check.place.rack))
        return tuple(Stop(phase, rack, tuple(checks)) for (phase, rack), checks in runs)


def plan_walk(doubtful: Iterable[DoubtfulGate]) -> Walk:
    """Put each doubtful gate on the walk once, or set it apart.

    The same gate given several times is one check, with all its reasons; it is apart only if it is so each time.
    Racks come in the order of the floor, slots from the top, the gates of one item in the order in which they
    are passed, critical links before others at the same slot.

    >>> top = Place(0, "C", 1, "C-04")
    >>> ring = DoubtfulGate("interconnect", "214", "rung out", Phase.DEAD, 1, top, ("Change 7.",))
    >>> live = DoubtfulGate("interconnect", "214", "signal-checked", Phase.LIVE, 2, top, ("Change 7.",))
    >>> [check.gate for check in plan_walk([live, ring, replace(ring, reasons=("Change 9.",))]).checks]
    ['rung out', 'signal-checked']
    >>> plan_walk([replace(live, apart="No chassis is fitted in slot C-04.")]).checks
    ()
    """
    merged: dict[tuple[str, str, str], DoubtfulGate] = {}
    for gate in doubtful:
        known = merged.get(gate.key)
        merged[gate.key] = gate if known is None else _together(known, gate)
    gates = sorted(merged.values(), key=_step)
    return Walk(tuple(gate for gate in gates if not gate.apart), tuple(gate for gate in gates if gate.apart))


def _together(one: DoubtfulGate, other: DoubtfulGate) -> DoubtfulGate:
    reasons = tuple(dict.fromkeys((*one.reasons, *other.reasons)))
    apart = one.apart if one.apart and other.apart else ""
    return replace(one, reasons=reasons, apart=apart, is_critical=one.is_critical or other.is_critical)


def _step(gate: DoubtfulGate) -> tuple[object, ...]:
    place = gate.place
    at_rack = (gate.phase, place.rack_position, place.rack, place.slot_position, place.slot)
    return (*at_rack, not gate.is_critical, gate.kind, gate.code, gate.order)


def racks_walked(walk: Walk) -> tuple[str, ...]:
    """Name the racks in the order in which the walk first comes to them."""
    return tuple(dict.fromkeys(check.place.rack for check in walk.checks if check.place.rack))


def in_one_sentence(walk: Walk) -> str:
    """Say how much there is to test again.

    >>> in_one_sentence(Walk())
    'Nothing is to be tested again.'
    """
    if not walk.checks:
        apart = f" {_count(len(walk.apart), 'doubt')} set apart, with why." if walk.apart else ""
        return f"Nothing is to be tested again{' now' if walk.apart else ''}.{apart}"
    phases = ", ".join(f"{count} {words}" for words, count in _by_phase(walk.checks))
    racks = racks_walked(walk)
    where = f" at {'rack' if len(racks) == 1 else 'racks'} {', '.join(racks)}" if racks else ""
    apart = f" {_count(len(walk.apart), 'doubt')} set apart, with why." if walk.apart else ""
    return f"{_count(len(walk.checks), 'check')} to make again{where}: {phases}.{apart}"


def _by_phase(checks: Sequence[DoubtfulGate]) -> list[tuple[str, int]]:
    words = {Phase.DEAD: "dead", Phase.POWER: "as power comes on", Phase.LIVE: "live", Phase.GROUP: "with a group"}
    counts = ((words[phase], sum(check.phase is phase for check in checks)) for phase in Phase)
    return [(word, count) for word, count in counts if count]


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
