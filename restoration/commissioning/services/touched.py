"""Whose standing follows from what was done to a chassis or a wire."""

from collections.abc import Collection, Iterable, Iterator
from itertools import islice
from typing import Any

from django.db.models import Q

from restoration.commissioning.facts.wiring import slots_painted
from restoration.commissioning.groups import groups_of_links
from restoration.commissioning.models import Group
from restoration.machine.models import Fitting, Interconnect, Terminal, WiringChange

CHUNK = 5000


def links_touched(chassis: Collection[int], interconnects: Collection[int]) -> set[int]:
    """Find every interconnect whose standing may follow: at the chassis' slots, and on the same sources."""
    touched = set(interconnects)
    for terminals in _chunks(_terminals_of(chassis)):
        at_slots = Interconnect.objects.filter(Q(source_id__in=terminals) | Q(load_id__in=terminals))
        touched.update(at_slots.values_list("pk", flat=True).order_by())
    for part in _chunks(interconnects):
        sources = Interconnect.objects.filter(pk__in=part).values("source_id")
        touched.update(Interconnect.objects.filter(source__in=sources).values_list("pk", flat=True).order_by())
    return touched


def _terminals_of(chassis: Collection[int]) -> Iterator[int]:
    for part in _chunks(chassis):
        slots = Fitting.objects.filter(chassis__in=part).values("slot_id")
        yield from Terminal.objects.filter(slot__in=slots).values_list("pk", flat=True).order_by()


def groups_touched(chassis: Collection[int], interconnects: Collection[int]) -> set[int]:
    """Find every group that a slot of these chassis is a member of, or these links belong to or belonged to."""
    members = Group.slots.through.objects
    touched: set[int] = set()
    for part in _chunks(chassis):
        slots = Fitting.objects.filter(chassis__in=part).values("slot_id")
        touched.update(members.filter(slot__in=slots).values_list("group_id", flat=True))
    for part in _chunks(interconnects):
        touched.update(group for groups in groups_of_links(part).values() for group in groups)
        left = members.filter(slot__code__in=_slots_left(part))
        touched.update(left.values_list("group_id", flat=True))
    return touched


def _slots_left(links: Collection[int]) -> set[str]:
    """The slots at which these links ended before the wire list moved them."""
    moved = WiringChange.objects.filter(interconnect__in=links).values_list("fields", flat=True)
    return slots_painted(str(fields[end][0]) for fields in moved for end in ("source", "load") if end in fields)


def _chunks(ids: Iterable[Any]) -> Iterator[list[Any]]:
    rest = iter(ids)
    while part := list(islice(rest, CHUNK)):
        yield part
