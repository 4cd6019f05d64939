"""A change that never happened is taken back: it stays readable, and its doubts count no more."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.commissioning.models import Change
from restoration.commissioning.services.changes.heading import heading_of
from restoration.commissioning.services.changes.storing import ended, tell_of, write_change
from restoration.commissioning.services.standing import worked_out_once
from restoration.engineering.doubt import Kind
from restoration.people.models import Person


def take_back(*, change: Change, why: str, done_by: Person, entered_by: Person, at: datetime | None = None) -> Change:
    """Record that a change did not happen; a swap or joints made again moved things, and cannot be taken back."""
    with transaction.atomic(), worked_out_once():
        if change.kind == Kind.REMADE:
            raise ValidationError(
                f"Change {change.pk} recorded joints made again as well. Correct it by a change of the same kind, or "
                "record how the wire stands now on the page of its link."
            )
        heading = heading_of(
            Kind(change.kind),
            why=why,
            done_by=done_by,
            entered_by=entered_by,
            second_person=None,
            at=at,
            replaces=change,
            replaces_why=why,
        )
        taken: Change = Change.objects.create(
            kind=change.kind, what=f"change {change.pk} taken back", **heading.fields(), **_same_subject(change)
        )
        taken.racks.set(change.racks.all())
        sentence = f"{done_by} took back change {change.pk}, {change.what}, because: {ended(heading.why)}"
        write_change(taken, heading, act="change taken back", sentence=sentence)
        tell_of(taken, ())
    return taken


def _same_subject(change: Change) -> dict[str, object]:
    names = ("chassis", "slot", "stage", "interconnect", "rail", "earth", "issue", "instrument")
    return {name: getattr(change, name) for name in names}
