"""Reads the fault log and finds the interconnect each fault was at."""

from dataclasses import dataclass, field

from restoration.kestrel.fault_table import FAULT_TABLE
from restoration.kestrel.plan_records import InterconnectPlan, MachinePlan

GOING_ON = "\n    "


@dataclass
class Episode:
    """A fault seen once: after how many days, what, what was tried, how it ended."""

    days_later: int
    what_was_seen: str
    attempts: list[tuple[str, str, int]] = field(default_factory=list)
    outcome: str = ""
    cause: str = ""
    cure: str = ""


@dataclass
class FaultRow:
    """One fault of the table."""

    place: str
    trouble: str
    how_often: str
    conditions: str
    episodes: list[Episode] = field(default_factory=list)


def fault_rows() -> list[FaultRow]:
    """Every fault of the table, in its order."""
    rows: list[FaultRow] = []
    for line in FAULT_TABLE.strip().replace(GOING_ON, " ").splitlines():
        if not line.startswith(" "):
            place, trouble, how_often, conditions = _parts(line)
            rows.append(FaultRow(place, trouble, how_often, conditions))
        else:
            _read_line(rows[-1], line.strip())
    return rows


def _parts(line: str) -> list[str]:
    return [part.strip() for part in line.split("|")]


def _read_line(row: FaultRow, line: str) -> None:
    mark, rest = line[0], _parts(line[1:])
    if mark == "+":
        row.episodes[-1].attempts.append((rest[0], rest[1], int(rest[2])))
    elif mark == "=":
        episode = row.episodes[-1]
        episode.outcome, episode.cause, episode.cure = (*rest, "", "")[:3]
    elif mark == "!":
        row.episodes.append(Episode(int(rest[0]), rest[1]))
    else:
        row.episodes.append(Episode(0, line))


def link_at(place: str, plan: MachinePlan) -> InterconnectPlan:
    """The interconnect a fault names by signal, source where there are several, and a load's slot."""
    named, load_slot = (part.strip() for part in place.split(">"))
    signal, _, source_slot = (part.strip() for part in named.partition("@"))
    for link in plan.interconnects:
        reaches = any(load.startswith(f"{load_slot}/") for load in link.loads)
        if link.signal == signal and reaches and link.source.startswith(source_slot):
            return link
    raise LookupError(f"No interconnect carries {place!r}.")
