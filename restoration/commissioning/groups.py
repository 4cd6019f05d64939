"""Which links belong to a group, and which groups a slot or a link belongs to."""

from collections import defaultdict
from collections.abc import Collection

from django.db.models import F, Q, QuerySet

from restoration.commissioning.models import Group
from restoration.machine.models import Interconnect


def links_of_group(group: Group) -> QuerySet[Interconnect]:
    """The links with both ends at members of a group, and the further ones it names."""
    slots, named = group.slots.values("pk"), group.further_links.values("pk")
    return Interconnect.objects.filter(Q(source__slot__in=slots, load__slot__in=slots) | Q(pk__in=named))


def groups_of(*, slot_ids: Collection[int] = (), link_ids: Collection[int] = ()) -> list[Group]:
    """The groups that one of these slots is a member of, or one of these links belongs to; in their order."""
    touched = {group for groups in groups_of_links(link_ids).values() for group in groups} if link_ids else set()
    return list(Group.objects.filter(Q(pk__in=touched) | Q(pk__in=_with_members(slot_ids))))


def _with_members(slot_ids: Collection[int]) -> set[int]:
    if not slot_ids:
        return set()
    return set(Group.slots.through.objects.filter(slot_id__in=slot_ids).values_list("group_id", flat=True))


def groups_of_links(link_ids: Collection[int]) -> dict[int, set[int]]:
    """The groups (row ids) of each of these links, in two reads; links that belong to none are left out."""
    links = Interconnect.objects.filter(pk__in=link_ids)
    within = links.filter(source__slot__groups=F("load__slot__groups")).values_list("pk", "source__slot__groups")
    named = Group.further_links.through.objects.filter(interconnect_id__in=link_ids)
    found: dict[int, set[int]] = defaultdict(set)
    for link, group in (*within.order_by(), *named.values_list("interconnect_id", "group_id")):
        found[link].add(group)
    return dict(found)
