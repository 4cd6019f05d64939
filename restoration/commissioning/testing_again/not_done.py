"""Steps that a change asks for and that were never done at all: a chassis just swapped in has no heaters record."""

from restoration.commissioning.facts.doubts import reason_of
from restoration.commissioning.facts.history import day
from restoration.commissioning.models import Change, Doubt, Standing
from restoration.commissioning.testing_again.items import AT_THE_RACK, Item


def not_done_since(change: Change) -> list[tuple[Item, str, tuple[str, ...]]]:
    """List the steps at the rack that a change asks of chassis and that have no standing yet, in two queries."""
    doubts = Doubt.objects.filter(change=change, chassis__isnull=False, is_asked=True)
    on = day(change.done_at)
    wanted = [
        (chassis, gate, f"{reason_of(change.pk, change.what, on, path, rule)} It was not done since.")
        for chassis, gates, path, rule in doubts.values_list("chassis", "gates", "path", "rule_number")
        for gate in gates
        if gate in AT_THE_RACK
    ]
    known = set(Standing.objects.filter(chassis__in={pk for pk, *_ in wanted}).values_list("chassis", "gate"))
    return [(Item("chassis", pk), gate, (why,)) for pk, gate, why in wanted if (pk, gate) not in known]
