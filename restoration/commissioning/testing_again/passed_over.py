"""What the rules passed over: in doubt by nobody's leave, but not asked for, because a sample was thought enough."""

from datetime import datetime

from django.db.models import Q, QuerySet

from restoration.commissioning.gates import KINDS
from restoration.commissioning.models import Change, Doubt, Standing
from restoration.commissioning.testing_again.items import Item
from restoration.engineering.standing import GOOD


def passed_over(changes: QuerySet[Change], at_places: Q) -> list[tuple[Item, str, str]]:
    """List the gates that a rule of these changes passed over and that nobody has tested since, with why."""
    rows = Doubt.objects.filter(at_places, change__in=changes.values("pk"), is_asked=False)
    skipped = [
        (Item(kind, pk), gate, why_not, at)
        for *pks, gates, why_not, at in rows.values_list(*KINDS, "gates", "why_not", "change__done_at").order_by("pk")
        for kind, pk in zip(KINDS, pks, strict=True)
        if pk is not None
        for gate in gates
    ]
    since = _good_since({item for item, *_ in skipped})
    return [
        (item, gate, why_not)
        for item, gate, why_not, at in skipped
        if (stood := since.get((item, gate))) is not None and stood < at
    ]


def _good_since(items: set[Item]) -> dict[tuple[Item, str], datetime]:
    since = {}
    for kind in KINDS:
        pks = [item.pk for item in items if item.kind == kind]
        rows = Standing.objects.filter(**{f"{kind}__in": pks}, state__in=[state.value for state in GOOD])
        for pk, gate, at in rows.values_list(f"{kind}_id", "gate", "since"):
            since[Item(kind, pk), gate] = at
    return since
