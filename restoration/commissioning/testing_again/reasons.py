"""Which gates were doubted since a day, by the records themselves: the first doubt may be older than the last."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from restoration.commissioning import facts
from restoration.commissioning.testing_again.items import Item
from restoration.engineering.standing import in_force


def doubted_since(gates: Iterable[tuple[Item, str]], moment: datetime) -> set[tuple[Item, str]]:
    """Keep of these doubtful gates those that some change put in doubt at this moment or later."""
    asked: dict[str, dict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
    for item, gate in gates:
        asked[item.kind][item.pk].add(gate)
    return {
        (Item(kind, pk), gate)
        for kind, wanted in asked.items()
        for pk, history in facts.HISTORIES_OF[kind](wanted.keys()).items()
        for gate in wanted[pk]
        if _is_doubted(history, gate, moment)
    }


def _is_doubted(history: facts.History, gate: str, moment: datetime) -> bool:
    records = in_force(record for record in history.evidence if record.gate == gate)
    newest = records[-1].at if records else None
    return any(
        gate in change.gates and change.at >= moment and (newest is None or change.at > newest)
        for change in history.changes
    )
