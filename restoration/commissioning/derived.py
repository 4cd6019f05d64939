"""Gates that follow from other things: worked out on reading, in a fixed number of queries, and never stored."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping

from django.db.models import F, Q

from restoration.commissioning.models import Group
from restoration.engineering.standing import Standing, State
from restoration.engineering.whole import standing_of_whole
from restoration.machine.models import Fitting, Interconnect, Slot

StandingsOf = Callable[[str, Collection[int]], dict[int, tuple[Standing, ...]]]
Derived = dict[int, dict[str, Standing]]
LINKS_PROVED = "links are proved"
EMPTY = Standing("fitted", State.NOT_DONE)


def derived_gates(kind: str, ids: Collection[int], recorded: StandingsOf) -> Derived:
    """Work out the derived gates of these items; `recorded` reads the gates that have records."""
    if kind == "chassis":
        return _of_chassis(ids, recorded)
    return _of_groups(ids, recorded) if kind == "group" else {}


def links_proved(gate: str, links: Mapping[str, tuple[Standing, ...]], without: str) -> Standing:
    """How a gate stands that asks for every one of these links, by their names."""
    return standing_of_whole(gate, links, what=LINKS_PROVED, without=without)


def members_fitted(members: Mapping[str, Standing]) -> Standing:
    """How "members fitted" stands, by how the gate "fitted" stands at each member slot."""
    parts = {name: (standing,) for name, standing in members.items()}
    return standing_of_whole("members fitted", parts, what="members are fitted", without="It has no members yet.")


def _of_chassis(ids: Collection[int], recorded: StandingsOf) -> Derived:
    fitted = Fitting.objects.standing().filter(chassis__in=ids).values_list("chassis_id", "slot_id", "slot__code")
    in_slot = {chassis: (slot, code) for chassis, slot, code in fitted}
    if not in_slot:
        return {}
    at_slot = _links_at([slot for slot, _ in in_slot.values()], recorded)
    return {
        chassis: {
            "proved in place": links_proved("proved in place", at_slot[slot], f"No link ends at slot {code} yet.")
        }
        for chassis, (slot, code) in in_slot.items()
    }


def _links_at(slots: Collection[int], recorded: StandingsOf) -> dict[int, dict[str, tuple[Standing, ...]]]:
    ends = Interconnect.objects.filter(Q(source__slot__in=slots) | Q(load__slot__in=slots))
    rows = list(ends.values_list("pk", "code", "source__slot", "load__slot").order_by())
    standings = recorded("interconnect", [pk for pk, *_ in rows])
    at_slot: dict[int, dict[str, tuple[Standing, ...]]] = defaultdict(dict)
    for pk, code, source, load in rows:
        at_slot[source][f"link {code}"] = at_slot[load][f"link {code}"] = standings[pk]
    return at_slot


def _of_groups(ids: Collection[int], recorded: StandingsOf) -> Derived:
    members, links = _members_of(ids, recorded), links_of_groups(ids)
    standings = recorded("interconnect", {pk for rows in links.values() for pk in rows})
    found: Derived = {}
    for group in ids:
        named = {f"link {code}": standings[pk] for pk, code in links[group].items()}
        found[group] = {
            "members fitted": members_fitted(members[group]),
            "links proved": links_proved("links proved", named, "It has no links yet."),
        }
    return found


def links_of_groups(ids: Collection[int]) -> dict[int, dict[int, str]]:
    """The links of each of these groups, row id and code, in two reads."""
    within = Interconnect.objects.filter(
        source__slot__groups__in=ids, source__slot__groups=F("load__slot__groups")
    ).values_list("source__slot__groups", "pk", "code")
    named = Group.further_links.through.objects.filter(group_id__in=ids)
    rows: Iterable[tuple[int, int, str]] = (
        *within.order_by("code"),
        *named.values_list("group_id", "interconnect_id", "interconnect__code").order_by("interconnect__code"),
    )
    found: dict[int, dict[int, str]] = defaultdict(dict)
    for group, pk, code in rows:
        found[group][pk] = code
    return found


def _members_of(ids: Collection[int], recorded: StandingsOf) -> dict[int, dict[str, Standing]]:
    rows = list(Slot.objects.filter(groups__in=ids).values_list("groups", "pk", "code").order_by("code"))
    fittings = Fitting.objects.standing().filter(slot__groups__in=ids)
    in_slot = dict(fittings.values_list("slot_id", "chassis_id").distinct())
    standings = recorded("chassis", set(in_slot.values()))
    members: dict[int, dict[str, Standing]] = defaultdict(dict)
    for group, slot, code in rows:
        members[group][f"slot {code}"] = _fitted(standings.get(in_slot.get(slot, 0), ()))
    return members


def _fitted(standings: Iterable[Standing]) -> Standing:
    return next((standing for standing in standings if standing.gate == "fitted"), EMPTY)
