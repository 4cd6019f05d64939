"""The history of one item, as it is gathered from several kinds of record."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo

from django.utils import timezone

from restoration.engineering.standing import Change, Evidence, in_force

QUARTER_S = 900  # every time zone in use is off by whole quarters of an hour, so a day never ends within one


@dataclass(slots=True)
class History:
    """What was recorded of one item, and what was changed at it.

    `if_newest` holds what counts only while the record of that name is the newest in force of its gate: a
    concession that ran out, limits that are not those of the check any more, an instrument found out of limits.
    """

    evidence: list[Evidence] = field(default_factory=list)
    changes: list[Change] = field(default_factory=list)
    if_newest: dict[str, list[Change]] = field(default_factory=dict)

    def doubt(self, change: Change | None) -> None:
        """Add a change, where a rule made one."""
        if change is not None:
            self.changes.append(change)

    def doubt_record(self, name: str, change: Change | None) -> None:
        """Add what counts only while the record of this name is the newest."""
        if change is not None:
            self.if_newest.setdefault(name, []).append(change)

    def settle(self) -> None:
        """Take in what hangs on the newest record of each gate."""
        if self.if_newest:
            newest = {record.gate: record.name for record in in_force(self.evidence)}
            self.changes += [change for name in newest.values() for change in self.if_newest.get(name, [])]


class Histories(defaultdict[int, History]):
    """Histories by row id; an item nothing is known of has an empty one."""

    def __init__(self) -> None:
        super().__init__(History)

    def settled(self) -> "Histories":
        """Settle every history, when all of them are gathered."""
        for history in self.values():
            history.settle()
        return self

    def doubt(self, items: Iterable[int], change: Change | None) -> None:
        """Add one change to several items, where a rule made one."""
        if change is not None:
            for pk in items:
                self[pk].changes.append(change)


class Days(dict[int, str]):
    """The days that moments lie in, as people say them; each worked out once, in one time zone."""

    def __init__(self, zone: tzinfo) -> None:
        super().__init__()
        self.zone = zone

    def __missing__(self, quarter: int) -> str:
        self[quarter] = said = written(datetime.fromtimestamp(quarter * QUARTER_S, self.zone))
        return said

    def of(self, moment: datetime) -> str:
        """The day of a moment: 3 May 2026."""
        return self[int(moment.timestamp() // QUARTER_S)]


def day(moment: datetime) -> str:
    """Write the day of one moment as people say it."""
    return written(timezone.localtime(moment))


def written(when: date) -> str:
    """Write a date as people say it."""
    return f"{when.day} {when:%b %Y}"
