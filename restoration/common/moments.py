"""When something was done: now or earlier, never later."""

from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.utils import timezone

CLOCKS_DIFFER_BY = timedelta(minutes=5)  # common practice, no source: two phones seldom differ by more


def refuse_future(moment: datetime, *, now: datetime | None = None) -> None:
    """Refuse a moment that has not come yet; clocks may differ by five minutes."""
    now = now or timezone.now()
    if moment > now + CLOCKS_DIFFER_BY:
        given, today = (timezone.localtime(each).strftime("%d %b %Y, %H:%M") for each in (moment, now))
        raise ValidationError(f"{given} has not come yet: it is {today} now. Give the time it was done.")


def moment_of(at: datetime | None, *, now: datetime | None = None) -> datetime:
    """Give the moment of an act: as told, or now where nothing was told; never one that has not come yet."""
    now = now or timezone.now()
    refuse_future(at or now, now=now)
    return at or now
