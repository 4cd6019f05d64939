"""The loads that share a source, and which of them the book has as joined."""

from datetime import datetime

from django.utils import timezone

from restoration.machine.models import Interconnect
from restoration.proving.models import Joining
from restoration.proving.models.wire_checks import JoiningKind


def loads_by_the_book(interconnect: Interconnect, at: datetime | None = None) -> list[tuple[Interconnect, bool]]:
    """List every link on the source of this one, each with whether it is recorded as joined at a moment, or now."""
    links = list(Interconnect.objects.with_same_source(interconnect).select_related("load__slot"))
    records = Joining.objects.in_force().filter(interconnect__in=links, done_at__lte=at or timezone.now())
    newest = dict(records.order_by("done_at", "pk").values_list("interconnect_id", "kind"))
    return [(link, newest.get(link.pk, JoiningKind.LIFTED) != JoiningKind.LIFTED) for link in links]


def missing_loads(interconnect: Interconnect) -> list[str]:
    """Name the loads on the same source that are not recorded as joined."""
    return [str(link.load) for link, is_joined in loads_by_the_book(interconnect) if not is_joined]


def ask_whether_joined(interconnect: Interconnect, at: datetime | None = None) -> list[str]:
    """Ask of each other load on the source that the book has as not joined, where all are said to be."""
    return [
        f"The book has {link.load} on the same source as not joined. Is it?"
        for link, is_joined in loads_by_the_book(interconnect, at)
        if not is_joined and link != interconnect
    ]
