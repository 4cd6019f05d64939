"""Finds the doubts that a question is about, and turns them into what `engineering.recheck` plans a walk from."""

from dataclasses import dataclass
from datetime import date, datetime, time

from django.db.models import Q, QuerySet
from django.utils import timezone

from restoration.commissioning.facts.doubts import names_change
from restoration.commissioning.gates import KINDS
from restoration.commissioning.models import Change, Group, Standing
from restoration.commissioning.testing_again.items import Item, items_of
from restoration.commissioning.testing_again.not_done import not_done_since
from restoration.commissioning.testing_again.passed_over import passed_over
from restoration.commissioning.testing_again.reasons import doubted_since
from restoration.engineering.recheck import DoubtfulGate, Walk, plan_walk
from restoration.engineering.standing import State
from restoration.machine.models import Fitting, Interconnect, Rack, Slot


@dataclass(frozen=True)
class Question:
    """Which doubts are asked about; nothing set asks about all of them."""

    since: date | None = None
    change: Change | None = None
    slot: Slot | None = None
    link: Interconnect | None = None
    rack: Rack | None = None

    def in_words(self) -> str:
        """Say what is asked, as the head of the sheet.

        >>> Question(since=date(2026, 5, 3)).in_words()
        'what was put in doubt since 3 May 2026'
        """
        parts = []
        if self.change is not None:
            parts.append(f"what change {self.change.pk} put in doubt ({self.change.what})")
        if self.since is not None:
            parts.append(f"what was put in doubt since {self.since.day} {self.since:%b %Y}")
        for thing in (self.slot, self.link, self.rack):
            if thing is not None:
                parts.append(f"what is in doubt at {thing}")
        return "; ".join(parts) or "all that is in doubt"

    @property
    def moment(self) -> datetime | None:
        """The beginning of the day asked from."""
        return None if self.since is None else timezone.make_aware(datetime.combine(self.since, time.min))


def walk_for(question: Question) -> Walk:
    """Plan the walk that answers a question, in a fixed number of queries."""
    return plan_walk(ask(question))


def ask(question: Question) -> list[DoubtfulGate]:
    """List every doubtful gate that a question is about, and what its changes passed over."""
    rows = _in_doubt(question)
    doubts = [(row.item, row.gate, tuple(row.reasons)) for row in rows]
    doubts += not_done_since(question.change) if question.change is not None else []
    skipped = passed_over(_changes(question), _at_places(question))
    items = items_of([item for item, *_ in doubts] + [item for item, *_ in skipped])
    return [
        *(items.doubtful(item, gate, reasons) for item, gate, reasons in doubts),
        *(items.doubtful(item, gate, (), apart=why_not) for item, gate, why_not in skipped),
    ]


@dataclass(frozen=True)
class _Row:
    item: Item
    gate: str
    reasons: list[str]


def _in_doubt(question: Question) -> list[_Row]:
    rows = Standing.objects.filter(_at_places(question), state=State.IN_DOUBT.value).order_by("pk")
    found = [
        (_Row(Item(kind, pk), gate, reasons), since)
        for *pks, gate, reasons, since in rows.values_list(*KINDS, "gate", "reasons", "since")
        for kind, pk in zip(KINDS, pks, strict=True)
        if pk is not None
    ]
    kept = [row for row, _ in found]
    if question.change is not None:
        number = question.change.pk
        kept = [row for row in kept if any(names_change(reason, number) for reason in row.reasons)]
    if question.moment is not None:
        late = {id(row) for row, since in found if since is not None and since >= question.moment}
        asked = doubted_since([(row.item, row.gate) for row in kept if id(row) not in late], question.moment)
        kept = [row for row in kept if id(row) in late or (row.item, row.gate) in asked]
    return kept


def _at_places(question: Question) -> Q:
    """Narrow rows that belong to one item of any kind to those at the places asked about."""
    narrowed = Q()
    if question.link is not None:
        narrowed &= Q(interconnect=question.link.pk)
    if question.slot is not None:
        narrowed &= _touching("slot", question.slot.pk)
    if question.rack is not None:
        narrowed &= _touching("slot__rack", question.rack.pk) | Q(rack=question.rack.pk)
    return narrowed


def _touching(place: str, pk: int) -> Q:
    links = Interconnect.objects.filter(Q(**{f"source__{place}": pk}) | Q(**{f"load__{place}": pk})).values("pk")
    slots = Slot.objects.filter(**{place.removeprefix("slot").removeprefix("__") or "pk": pk})
    chassis = Fitting.objects.standing().filter(slot__in=slots).values("chassis")
    groups = Group.objects.filter(slots__in=slots).values("pk")
    at_links, at_chassis = Q(interconnect__in=links), Q(chassis__in=chassis)
    return at_links | at_chassis | Q(group__in=groups)


def _changes(question: Question) -> QuerySet[Change]:
    changes: QuerySet[Change] = Change.objects.in_force()
    if question.change is not None:
        changes = changes.filter(pk=question.change.pk)
    if question.moment is not None:
        changes = changes.filter(done_at__gte=question.moment)
    return changes
