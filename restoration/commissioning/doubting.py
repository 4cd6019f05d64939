"""From a change to the doubts it stores: the rules in force, followed through the machine as it is."""

from collections.abc import Iterable

from restoration.commissioning.models import Change, Doubt
from restoration.commissioning.rules import rule_book
from restoration.commissioning.surroundings import MachineAround
from restoration.engineering.doubt import DoubtFound, Subject, doubts


def find_doubts(subject: Subject) -> tuple[DoubtFound, ...]:
    """Find what a change puts in doubt, or would put in doubt: nothing is written.

    Errors: ValueError with a whole sentence where the subject does not name what a change of its kind is about.
    """
    return doubts(subject, rule_book(), MachineAround())


def store_doubts(change: Change, found: Iterable[DoubtFound]) -> list[Doubt]:
    """Store what a change puts in doubt and what its rules pass over; stands in the transaction of the change."""
    rows = [
        Doubt(
            change=change,
            **{f"{doubt.item.kind}_id": doubt.item.pk},
            gates=sorted(doubt.gates),
            rule_number=doubt.rule,
            rule_version=doubt.version,
            path=doubt.path,
            record=doubt.record,
            is_asked=doubt.is_asked,
            why_not=doubt.why_not,
        )
        for doubt in found
    ]
    return Doubt.objects.bulk_create(rows, batch_size=2000)
