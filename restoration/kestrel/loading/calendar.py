"""Moves the story so that its last site day is always a few days ago."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from restoration.kestrel.site_days import LAST_DAY


@dataclass(frozen=True)
class Calendar:
    """Whole weeks by which every day of the story is moved, so that site days keep their weekday."""

    weeks: timedelta

    @classmethod
    def ending_before(cls, now: datetime) -> "Calendar":
        """Move the story's last day to within the week before `now`, never after it."""
        days = (now.date() - timedelta(days=1) - LAST_DAY).days
        return cls(timedelta(weeks=days // 7))

    def at(self, moment: datetime) -> datetime:
        """Move a moment."""
        return moment + self.weeks

    def on(self, day: date) -> date:
        """Move a day."""
        return day + self.weeks
