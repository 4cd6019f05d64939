"""Sessions as Django keeps them in the database, but on a lent device they end after some hours."""

from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.contrib.sessions.backends.base import SessionBase
from django.contrib.sessions.backends.db import SessionStore as DatabaseSessionStore
from django.utils import timezone

LENT_UNTIL = "lent_until"


class SessionStore(DatabaseSessionStore):
    """A session that may carry the moment beyond which it does not last, however much it is used."""

    def get_expiry_date(self, **kwargs: Any) -> datetime:
        """When it ends at the latest, as the database keeps it."""
        until: str | None = self.get(LENT_UNTIL)
        return datetime.fromisoformat(until) if until else super().get_expiry_date(**kwargs)


def remember_on_own_device(session: SessionBase) -> None:
    """Keep someone signed in for half a year."""
    session.pop(LENT_UNTIL, None)
    session.set_expiry(settings.SESSION_COOKIE_AGE)


def forget_on_lent_device(session: SessionBase, *, now: datetime | None = None) -> None:
    """Sign someone out when the browser closes, and after some hours at the latest."""
    until = (now or timezone.now()) + timedelta(seconds=settings.SESSION_LENT_DEVICE_AGE)
    session[LENT_UNTIL] = until.isoformat()
    session.set_expiry(0)
