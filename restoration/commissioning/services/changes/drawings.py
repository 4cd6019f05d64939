"""A drawing is issued anew, with what its issue changes."""

from datetime import date
from typing import Any

from django.db import transaction

from restoration.commissioning.models import Change
from restoration.commissioning.services.changes.recording import record_change
from restoration.commissioning.services.standing import worked_out_once
from restoration.engineering.doubt import Kind
from restoration.machine.models import Design
from restoration.machine.services import add_issue
from restoration.people.models import Person


def issue_drawing(
    *, kind: Kind, design: Design, letter: str, issued_on: date, why: str, entered_by: Person, **heading: Any
) -> Change:
    """Record what an issue of a drawing changes; an issue that is not on the list yet is issued with it."""
    with transaction.atomic(), worked_out_once():
        design = Design.objects.select_for_update(no_key=True).get(pk=design.pk)
        issue = design.issues.filter(letter=letter).first()
        if issue is None:
            issue = add_issue(design=design, letter=letter, issued_on=issued_on, by=entered_by, reason=why)
        return record_change(kind=kind, issue=issue, why=why, entered_by=entered_by, **heading)
