"""When the net loft is open: Wednesdays and Sundays, and who is a pair on such a day."""

from datetime import UTC, date, datetime, timedelta
from zlib import crc32

import numpy as np

FIRST_DAY = date(2025, 1, 5)
LAST_DAY = date(2026, 11, 24)
OPEN_WEEKDAYS = (2, 6)

RACK_PEOPLE = ("Tomasz", "Bronagh", "Oona", "Sven", "Marek", "Ilse", "Yusuf", "Ama B.")


def chance(*words: object) -> np.random.Generator:
    """A generator of its own for each thing, the same on every run."""
    return np.random.default_rng(crc32(" ".join(map(str, words)).encode()))


def site_day_from(day: date) -> date:
    """That day if the loft is open, else the next day it is; never past the last one."""
    while day.weekday() not in OPEN_WEEKDAYS:
        day += timedelta(days=1)
    return min(day, date(2026, 11, 22))


def next_site_day(day: date) -> date:
    """The first open day after this one."""
    return site_day_from(day + timedelta(days=1))


def at(day: date, hour: int, minute: int = 0) -> datetime:
    """A time of that day."""
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=UTC)


def pair(day: date, *words: object, without: str = "") -> tuple[str, str]:
    """Two different people at the rack that day, neither of them the one to be left out."""
    here = [person for person in RACK_PEOPLE if person != without]
    first, second = chance(day, *words).choice(len(here), size=2, replace=False)
    return here[first], here[second]
