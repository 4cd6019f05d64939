"""What a change is about, what stands around it, and what it puts in doubt: plain records, by row id and code."""

from dataclasses import dataclass
from datetime import datetime

from restoration.engineering.doubt.kinds import Kind


@dataclass(frozen=True)
class Subject:
    """What was changed: its kind, and the row ids of what it was done to.

    `chassis` is the one worked on; in a swap the one that goes in, and `taken_out` the one that comes out.
    `stage` narrows a valve or part to its stage; without it the whole slot is taken as one stage. `since` is the
    last moment at which an instrument was known to be good.
    """

    kind: Kind
    chassis: int | None = None
    slot: int | None = None
    stage: int | None = None
    link: int | None = None
    rail: int | None = None
    earth: int | None = None
    racks: tuple[int, ...] = ()
    issue: int | None = None
    instrument: int | None = None
    since: datetime | None = None
    taken_out: int | None = None


@dataclass(frozen=True)
class Item:
    """A chassis, an interconnect, a rack or a group: its kind by that word, row id, and the code people read."""

    kind: str
    pk: int
    code: str


@dataclass(frozen=True)
class DoubtFound:
    """Evidence of one item that a change puts in doubt: which gates, by which rule, and by which path.

    Where `record` names one ("bench test 12"), only that record is doubted. What a rule passes over, because it
    asks for a sample only, has `is_asked` false, and `why_not` says why.
    """

    item: Item
    gates: frozenset[str]
    rule: int
    version: int
    path: str
    record: str = ""
    is_asked: bool = True
    why_not: str = ""
