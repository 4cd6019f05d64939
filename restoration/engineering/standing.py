"""Standing: how one gate of one item stands, worked out from records and changes alone.

Nobody types a standing in. The newest record of a gate decides; a change after it puts it in doubt; a
correction takes the place of the record that it replaces. Common practice of commissioning, no source.

What follows from that, with "better" as `is_no_better` has it and the changes left as they are:

- Taking a good record away never improves a standing, and never opens a gate. A good record is evidence for;
  a failed one is evidence against, and whoever takes that away does improve the standing, so the law is of
  good records only. A correction says two things, that an older record was wrong and what is right; it is
  taken away together with all that it replaced, else a record found wrong would come back.
- A record on concession is good, and its gate stays open or shut as before; but it may hide an older plain
  pass, so without it the standing may read "passed" instead of "on concession".
- The order in which records of different moments arrive does not matter.
- A new passing record clears exactly the doubts of changes up to its own moment, of its own gate.
- A doubt that hangs on one record alone (an instrument found out of limits, a concession that ran out) goes
  with that record; whoever gathers the changes keeps it only while the record is the newest.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class State(StrEnum):
    """The ways a gate can stand; "in doubt" is never taken for "passed"."""

    NOT_DONE = "not done"
    IN_HAND = "in hand"
    PASSED = "passed"
    ON_CONCESSION = "on concession"
    FAILED = "failed"
    IN_DOUBT = "in doubt"
    WITHDRAWN = "withdrawn"


GOOD = frozenset({State.PASSED, State.ON_CONCESSION})
DOUBTABLE = GOOD | {State.IN_HAND}


RANK = {State.PASSED: 3, State.ON_CONCESSION: 2, State.IN_DOUBT: 1}


def is_no_better(one: State, other: State) -> bool:
    """Whether a gate in one state has no more proof standing for it than in the other.

    Passed comes before on concession, that before in doubt (it was good once), that before all the rest.
    Between not done, in hand, failed and withdrawn nothing is better: there no proof stands at all.

    >>> is_no_better(State.IN_DOUBT, State.PASSED), is_no_better(State.PASSED, State.IN_DOUBT)
    (True, False)
    >>> is_no_better(State.FAILED, State.NOT_DONE), is_no_better(State.NOT_DONE, State.FAILED)
    (True, True)
    """
    return RANK.get(one, 0) <= RANK.get(other, 0)


@dataclass(frozen=True, slots=True)
class Evidence:
    """One record: the gate it speaks of, when, what it says of that gate, and its name for people.

    `number` settles the order of two records of one moment: the one entered later decides.
    """

    gate: str
    at: datetime
    name: str
    state: State
    said: str = ""
    replaces: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True)
class Change:
    """Something done at a moment that puts earlier evidence of these gates in doubt."""

    gates: frozenset[str]
    at: datetime
    what: str


@dataclass(frozen=True, slots=True)
class Standing:
    """How a gate stands, since when, and why: whole sentences, the newest first."""

    gate: str
    state: State
    since: datetime | None = None
    reasons: tuple[str, ...] = ()

    @property
    def is_good(self) -> bool:
        """Whether the gate is open: passed, or passed on concession."""
        return self.state in GOOD


def in_force(evidence: Iterable[Evidence]) -> list[Evidence]:
    """Leave out each record that another record replaces; sort by time, then by number.

    >>> from datetime import UTC, datetime
    >>> noon = datetime(2026, 5, 3, 12, tzinfo=UTC)
    >>> wrong = Evidence("rung out", noon, "ring-out 8", State.FAILED)
    >>> right = Evidence("rung out", noon, "ring-out 9", State.PASSED, replaces="ring-out 8")
    >>> [record.name for record in in_force([right, wrong])]
    ['ring-out 9']
    """
    records = list(evidence)
    replaced = {record.replaces for record in records if record.replaces}
    return sorted((record for record in records if record.name not in replaced), key=lambda r: (r.at, r.number, r.name))


def standing_of(gate: str, evidence: Iterable[Evidence], changes: Iterable[Change] = ()) -> Standing:
    """Work out how a gate stands.

    The newest record in force decides. Each change strictly after it puts a good (or half-made) record in
    doubt, and every such change is named; a failed record stays failed, whatever came after. Records and
    changes of other gates are passed over, so the whole history of an item may be given.

    Times must all carry a time zone. Errors: TypeError where a time without zone meets one with a zone.

    >>> from datetime import UTC, datetime
    >>> may = lambda day: datetime(2026, 5, day, tzinfo=UTC)
    >>> check = Evidence("signal-checked", may(1), "signal check 4", State.PASSED)
    >>> swap = Change(frozenset({"signal-checked"}), may(3), "Chassis SR-11 was withdrawn from slot C-06.")
    >>> standing_of("signal-checked", [check]).state.value
    'passed'
    >>> standing_of("signal-checked", [check], [swap]).state.value
    'in doubt'
    >>> again = Evidence("signal-checked", may(4), "signal check 5", State.PASSED)
    >>> standing_of("signal-checked", [check, again], [swap]).state.value
    'passed'
    >>> standing_of("signal-checked", []).state.value
    'not done'
    """
    return _judged(gate, [record for record in evidence if record.gate == gate], changes)


def _judged(gate: str, evidence: list[Evidence], changes: Iterable[Change]) -> Standing:
    records = evidence if len(evidence) == 1 else in_force(evidence)
    if not records:
        return Standing(gate, State.NOT_DONE)
    newest = records[-1]
    said = (newest.said,) if newest.said else ()
    later = [change for change in changes if change.at > newest.at and gate in change.gates]
    if not later or newest.state not in DOUBTABLE:
        return Standing(gate, newest.state, newest.at, said)
    later.sort(key=lambda change: (change.at, change.what))
    why = tuple(dict.fromkeys(change.what for change in reversed(later)))
    return Standing(gate, State.IN_DOUBT, later[0].at, (*why, *said))


def all_standings(
    gates: Iterable[str], evidence: Iterable[Evidence], changes: Iterable[Change] = ()
) -> tuple[Standing, ...]:
    """Work out every gate of one item, in the order given.

    >>> [standing.state.value for standing in all_standings(["joined", "rung out"], [])]
    ['not done', 'not done']
    """
    found = {standing.gate: standing for standing in recorded_standings(evidence, changes)}
    return tuple(found.get(gate) or Standing(gate, State.NOT_DONE) for gate in gates)


def recorded_standings(evidence: Iterable[Evidence], changes: Iterable[Change] = ()) -> list[Standing]:
    """Work out every gate of one item that anything is recorded of.

    >>> from datetime import UTC, datetime
    >>> joint = Evidence("joined", datetime(2026, 5, 1, tzinfo=UTC), "joining 4", State.PASSED)
    >>> [(standing.gate, standing.state.value) for standing in recorded_standings([joint])]
    [('joined', 'passed')]
    """
    by_gate: dict[str, list[Evidence]] = {}
    for record in evidence:
        if record.gate in by_gate:
            by_gate[record.gate].append(record)
        else:
            by_gate[record.gate] = [record]
    changes = tuple(changes)
    return [_judged(gate, records, changes) for gate, records in by_gate.items()]
