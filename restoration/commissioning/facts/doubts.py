"""Doubts that a recorded change left, each by its rule and the path it took."""

from restoration.commissioning.facts.history import Histories
from restoration.commissioning.facts.known import Known
from restoration.commissioning.facts.rows import Part, moment
from restoration.commissioning.models import Doubt
from restoration.engineering.standing import Change


def add_doubts(histories: Histories, known: Known, part: Part, item: str) -> None:
    """Add what is asked for, of changes that no correction has replaced."""
    rows = Doubt.objects.filter(is_asked=True, change__replaced_by=None).exclude(**{item: None})
    for pk, number, what, at, gates, path, rule, record in (
        part.of(rows, item, item)
        .values_list(
            f"{item}_id",
            "change_id",
            "change__what",
            moment("change__done_at"),
            "gates",
            "path",
            "rule_number",
            "record",
        )
        .order_by()
        .iterator(chunk_size=2000)
    ):
        reason = f"Change {number}, {what}, on {known.days.of(at)}: {path} (rule {rule})."
        change = Change(frozenset(gates), at, reason)
        if record:
            histories[pk].doubt_record(record, change)
        else:
            histories[pk].changes.append(change)
