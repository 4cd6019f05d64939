"""Readiness: which gates of a rack stand, what is missing, the nearest first, and on whom it waits.

A slot is ready when its chassis has passed every gate that is signed or recorded, up to HT on; a wire when it is
joined, rung out and signal-checked; the rack itself when its own gates stand. A gate that follows from others
("proved in place") is left out, or the work on its links would be counted twice. A thing's distance is the number
of acts still to be done on it, those it must wait for included: a signal can be checked only when the chassis at
both its ends have HT on, so both count. Common practice, no source.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from restoration.engineering.standing import GOOD, Standing, State


@dataclass(frozen=True)
class SlotFacts:
    """A slot that wants a chassis, and how the chassis in it, or meant for it, stands.

    `first` are acts that must come before any gate: a design to be named, say.
    """

    slot: str
    function: str
    chassis: str
    standings: tuple[Standing, ...]
    with_whom: str
    first: tuple[str, ...] = ()


@dataclass(frozen=True)
class LinkFacts:
    """An interconnect with an end in the rack, how it stands, and its open faults."""

    link: str
    source_slot: str
    load_slot: str
    standings: tuple[Standing, ...]
    open_faults: tuple[str, ...] = ()


@dataclass(frozen=True)
class GateCount:
    """How many of the things that have this gate stand in each state."""

    gate: str
    total: int
    by_state: tuple[tuple[State, int], ...]

    @property
    def good(self) -> int:
        """How many passed, on concession or not."""
        return sum(count for state, count in self.by_state if state in GOOD)

    @property
    def state(self) -> State:
        """One word for the row: the worst that needs a look, else how far it has come."""
        states = dict(self.by_state)
        for worst in (State.FAILED, State.IN_DOUBT):
            if states.get(worst):
                return worst
        if self.good == self.total:
            return State.ON_CONCESSION if states.get(State.ON_CONCESSION) else State.PASSED
        return State.IN_HAND if self.good or states.get(State.IN_HAND) else State.NOT_DONE


@dataclass(frozen=True)
class Missing:
    """One thing that holds the rack: what must be done to it, in order, on whom it waits, what it frees."""

    kind: str
    code: str
    text: str
    acts: tuple[str, ...]
    distance: int
    waits_for: str
    frees: int
    state: State
    reasons: tuple[str, ...] = ()
    again: tuple[str, ...] = ()


@dataclass(frozen=True)
class RackReadiness:
    """The answer for one rack."""

    rack: str
    gates: tuple[GateCount, ...]
    missing: tuple[Missing, ...]
    in_doubt: tuple[Missing, ...]
    own: tuple[Standing, ...] = ()

    @property
    def is_ready(self) -> bool:
        """Whether the rack has something in it and nothing is missing."""
        return not self.missing and any(count.total for count in self.gates)


def count_gates(gates: Sequence[str], items: Iterable[tuple[Standing, ...]]) -> tuple[GateCount, ...]:
    """Count, gate by gate, how many items stand in each state.

    >>> rows = [(Standing("joined", State.PASSED),), (Standing("joined", State.IN_DOUBT),)]
    >>> count = count_gates(["joined"], rows)[0]
    >>> count.good, count.total, count.state.value
    (1, 2, 'in doubt')
    """
    tallies: dict[str, Counter[State]] = {gate: Counter() for gate in gates}
    for standings in items:
        for standing in standings:
            tallies[standing.gate][standing.state] += 1
    return tuple(GateCount(gate, sum(t.values()), tuple(sorted(t.items()))) for gate, t in tallies.items())


def acts_left(standings: Sequence[Standing]) -> tuple[Standing, ...]:
    """List the gates that do not stand, in the order in which they are passed."""
    return tuple(standing for standing in standings if not standing.is_good)


def worst_of(left: Sequence[Standing]) -> State:
    """One word for gates that do not stand: the gravest first.

    >>> worst_of([Standing("joined", State.NOT_DONE), Standing("rung out", State.IN_DOUBT)]).value
    'in doubt'
    """
    for state in (State.FAILED, State.IN_DOUBT, State.IN_HAND):
        if any(standing.state is state for standing in left):
            return state
    return State.NOT_DONE


def _reasons(left: Sequence[Standing]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(reason for standing in left for reason in standing.reasons))


def done_again(left: Sequence[Standing]) -> tuple[str, ...]:
    """Gates that stood once, or failed: their act is to be done again."""
    return tuple(standing.gate for standing in left if standing.state in (State.IN_DOUBT, State.FAILED))


def _missing_slot(facts: SlotFacts, left: tuple[Standing, ...], frees: int) -> Missing:
    named = f"chassis {facts.chassis}" if facts.chassis else "no chassis allotted"
    text = f"Slot {facts.slot}, {facts.function or 'no function named'}: {named}."
    acts = facts.first + tuple(standing.gate for standing in left)
    reasons, state = _reasons(left), worst_of(left)
    return Missing("slot", facts.slot, text, acts, len(acts), facts.with_whom, frees, state, reasons, done_again(left))


def _missing_link(facts: LinkFacts, left: tuple[Standing, ...], blocked: dict[str, int]) -> Missing:
    ends = tuple(dict.fromkeys((facts.source_slot, facts.load_slot)))
    wait = sum(blocked.get(slot, 0) for slot in ends)
    faults = tuple(f"Fault {number} is open on it." for number in facts.open_faults)
    acts = tuple(standing.gate for standing in left) + tuple(f"cure fault {number}" for number in facts.open_faults)
    held = [slot for slot in ends if blocked.get(slot)]
    text = f"Link {facts.link}, slot {facts.source_slot} to slot {facts.load_slot}."
    waits_for = f"the chassis of slot {' and slot '.join(held)}" if held else "a pair at the rack"
    reasons = (*_reasons(left), *faults)
    distance = len(acts) + wait
    return Missing("link", facts.link, text, acts, distance, waits_for, 1, worst_of(left), reasons, done_again(left))


def _missing_rack(rack: str, left: tuple[Standing, ...], waits_for: str, frees: int, wait: int) -> Missing:
    acts = tuple(standing.gate for standing in left)
    text = f"Rack {rack} itself: {len(acts)} of its own gates."
    who = "the chassis of the rack" if wait else waits_for
    distance = len(acts) + wait
    return Missing("rack", rack, text, acts, distance, who, frees, worst_of(left), _reasons(left), done_again(left))


def rack_readiness(
    rack: str,
    slots: Sequence[SlotFacts],
    links: Sequence[LinkFacts],
    *,
    chassis_gates: Sequence[str],
    link_gates: Sequence[str],
    slots_elsewhere: Sequence[SlotFacts] = (),
    rack_standings: Sequence[Standing] = (),
    rack_waits_for: str = "the power responsible person",
    with_all_chassis: Sequence[str] = (),
) -> RackReadiness:
    """Work out what stands, what is missing and in what order to take it.

    `slots_elsewhere` are the far ends of the rack's wires: a wire waits for the chassis at either end.
    `rack_standings` are the gates of the rack itself; those that do not stand are missing as one thing.
    Where only gates `with_all_chassis` are left (a soak, at full load), they wait for every chassis of the rack.
    Missing things are sorted by distance, then by how many wires they free (most first), then by code.
    """
    left = {facts.slot: acts_left(facts.standings) for facts in slots}
    blocked = {facts.slot: len(facts.first + acts_left(facts.standings)) for facts in (*slots, *slots_elsewhere)}
    touching = Counter(slot for link in links for slot in {link.source_slot, link.load_slot})
    missing = [_missing_slot(facts, left[facts.slot], touching[facts.slot]) for facts in slots if left[facts.slot]]
    for link in links:
        link_left = acts_left(link.standings)
        if link_left or link.open_faults:
            missing.append(_missing_link(link, link_left, blocked))
    own_left = acts_left(rack_standings)
    if own_left:
        is_last = all(standing.gate in with_all_chassis for standing in own_left)
        wait = sum(blocked[facts.slot] for facts in slots) if is_last else 0
        missing.append(_missing_rack(rack, own_left, rack_waits_for, len(links), wait))
    missing.sort(key=lambda item: (item.distance, -item.frees, item.code))
    counts = (
        *count_gates(chassis_gates, (facts.standings for facts in slots)),
        *count_gates(link_gates, (facts.standings for facts in links)),
    )
    in_doubt = tuple(item for item in missing if item.state is State.IN_DOUBT)
    return RackReadiness(rack, counts, tuple(missing), in_doubt, tuple(rack_standings))
