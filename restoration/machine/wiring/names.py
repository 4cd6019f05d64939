"""Codes for what is shown: read when it is shown, and only for that."""

from collections.abc import Iterator
from typing import Any

from django.db.models import F, QuerySet, Value
from django.db.models.functions import Concat

from restoration.machine.models import Interconnect, Slot, Terminal
from restoration.machine.wiring.numbering import Integers

AT_ONCE = 500  # ids in one question
WHOLE_TABLE = 20 * AT_ONCE  # from so many on, reading every code is quicker than asking for each


def slot_codes(ids: Integers) -> list[str]:
    """The codes painted on these slots."""
    return _named(ids, Slot.objects.order_by(), "code")


def link_codes(ids: Integers) -> list[str]:
    """The codes of these interconnects."""
    return _named(ids, Interconnect.objects.order_by(), "code")


def terminal_names(ids: Integers) -> list[str]:
    """These terminals, each as slot:terminal."""
    named = Terminal.objects.order_by().annotate(named=Concat(F("slot__code"), Value(":"), F("code")))
    return _named(ids, named, "named")


def _named(ids: Integers, rows: QuerySet[Any], field: str) -> list[str]:
    wanted = ids.tolist()
    names = dict(_pairs(wanted, rows.values_list("pk", field)))
    return [names[pk] for pk in wanted]


def _pairs(wanted: list[int], rows: QuerySet[Any]) -> Iterator[tuple[int, str]]:
    if len(wanted) < WHOLE_TABLE:
        for start in range(0, len(wanted), AT_ONCE):
            yield from rows.filter(pk__in=wanted[start : start + AT_ONCE])
        return
    is_wanted = set(wanted)
    yield from (row for row in rows.iterator(chunk_size=AT_ONCE * 10) if row[0] in is_wanted)
