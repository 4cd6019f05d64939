"""What a person need not type again: whom they worked with last, and what they measured with."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.db.models import Q
from django.utils import timezone

from restoration.people.models import Person
from restoration.proving.models import Instrument, Joining, RingOut, SignalCheck

REMEMBERED_FOR = timedelta(hours=16)  # one site day: conditions of another day are not those of this one


def second_person_of(person: Person) -> Person | None:
    """Name whom this person was last paired with, at a joint or with the oscilloscope, on this site day."""
    since = timezone.now() - REMEMBERED_FOR
    pairs = [_newest_pair(model, person, since) for model in (SignalCheck, Joining, RingOut)]
    newest = max((pair for pair in pairs if pair), key=lambda pair: pair.done_at, default=None)
    if newest is None:
        return None
    other = newest.second_person if newest.done_by_id == person.pk else newest.done_by
    return other if other.is_active else None


def _newest_pair(model: Any, person: Person, since: Any) -> Any:
    mine = Q(done_by=person) | Q(second_person=person)
    records = model.objects.filter(mine, second_person__isnull=False, done_at__gte=since)
    return records.select_related("done_by", "second_person").order_by("done_at", "pk").last()


@dataclass(frozen=True)
class LastCheck:
    """The setting of the last signal check: instrument and probe of whoever made it, conditions of today."""

    instrument: Instrument | None = None
    probe_factor: float = 10
    probe_compensated: bool = False
    conditions: tuple[tuple[str, Any], ...] = ()


CONDITIONS = ("ht_v", "bias_v", "heater_v", "temperature_c", "also_running")


def last_check_of(person: Person) -> LastCheck:
    """Look up what this person last measured with, and the conditions that anyone wrote down last today."""
    mine = SignalCheck.objects.filter(Q(done_by=person) | Q(entered_by=person)).select_related("instrument")
    last = mine.order_by("done_at", "pk").last()
    today = SignalCheck.objects.filter(done_at__gte=timezone.now() - REMEMBERED_FOR).order_by("done_at", "pk").last()
    conditions = tuple((name, getattr(today, name)) for name in CONDITIONS) if today else ()
    if last is None:
        return LastCheck(conditions=conditions)
    return LastCheck(last.instrument, last.probe_factor, last.probe_compensated, conditions)
