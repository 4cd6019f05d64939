"""Word that facts changed, for those above who keep something worked out from them."""

from collections.abc import Iterable

from django.dispatch import Signal

facts_changed = Signal()


def tell_facts_changed(
    *,
    chassis: Iterable[int] = (),
    interconnects: Iterable[int] = (),
    racks: Iterable[int] = (),
    groups: Iterable[int] = (),
) -> None:
    """Say, inside the transaction of the act, which chassis, interconnects, racks and groups have new facts (row ids).

    A fitting or withdrawal names the chassis only: whoever listens knows which wires end in its slot.
    """
    facts_changed.send(
        sender=None,
        chassis=frozenset(chassis),
        interconnects=frozenset(interconnects),
        racks=frozenset(racks),
        groups=frozenset(groups),
    )
