"""A fault as its page tells it: one story, oldest first, with the time it cost."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Prefetch

from restoration.faults.models import Attempt, Fault, FaultQuerySet, Reopening


@dataclass(frozen=True)
class Event:
    """One thing in the story of a fault."""

    at: datetime
    who: str
    what: str
    text: str
    minutes: int = 0
    check: int | None = None


def with_story(faults: FaultQuerySet) -> FaultQuerySet:
    """Read faults with all that their stories need, in a fixed number of queries."""
    return faults.select_related("interconnect", "seen_by", "closed_by").prefetch_related(
        Prefetch("attempts", Attempt.objects.select_related("done_by")),
        Prefetch("reopenings", Reopening.objects.select_related("seen_by", "earlier_closed_by")),
    )


def story(fault: Fault) -> list[Event]:
    """Tell what happened, oldest first."""
    events = [Event(fault.opened_at, str(fault.seen_by), "seen", fault.symptom, check=fault.from_check_id)]
    events += [
        Event(a.done_at, str(a.done_by), "tried", _sentences(a.tried, a.read and f"Read: {a.read}"), a.minutes)
        for a in fault.attempts.all()
    ]
    for back in fault.reopenings.all():
        closing = _closing(back.earlier_outcome, back.earlier_cause, back.earlier_cure)
        events.append(Event(back.earlier_closed_at, str(back.earlier_closed_by), "closed", closing))
        events.append(Event(back.seen_at, str(back.seen_by), "came back", back.what_was_seen))
    if fault.closed_at:
        closing = _closing(fault.outcome, fault.cause, fault.cure)
        events.append(Event(fault.closed_at, str(fault.closed_by), "closed", closing, check=fault.proof_id))
    return sorted(events, key=lambda event: event.at)


def _closing(outcome: str, cause: str, cure: str) -> str:
    return _sentences(outcome.capitalize(), cause and f"Cause: {cause}", cure and f"Cure: {cure}")


def _sentences(*parts: str) -> str:
    """Put what was written together, each part ending as a sentence does.

    >>> _sentences("Lifted the load", "", "Read: 29 V.")
    'Lifted the load. Read: 29 V.'
    """
    return " ".join(part if part[-1] in ".!?…" else f"{part}." for part in parts if part)


def minutes_lost(faults: Iterable[Fault]) -> int:
    """Add up the time that was spent on these faults, in minutes."""
    return sum(attempt.minutes for fault in faults for attempt in fault.attempts.all())


def as_hours(minutes: int) -> str:
    """Say a time as people do.

    >>> as_hours(0), as_hours(45), as_hours(135), as_hours(120)
    ('no time noted', '45 min', '2 h 15 min', '2 h')
    """
    hours, rest = divmod(minutes, 60)
    words = ([f"{hours} h"] if hours else []) + ([f"{rest} min"] if rest else [])
    return " ".join(words) or "no time noted"
