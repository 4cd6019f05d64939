"""The history of groups: the gates signed for, and what happened to members and links since."""

from collections.abc import Collection, Iterator
from datetime import datetime
from typing import Any

from django.db.models import F, QuerySet

from restoration.commissioning.facts.doubts import add_doubts
from restoration.commissioning.facts.fittings import fitting_rows, moves_of
from restoration.commissioning.facts.history import Histories
from restoration.commissioning.facts.judged import add_signed
from restoration.commissioning.facts.known import Known
from restoration.commissioning.facts.rows import Part, moment, parts_of
from restoration.commissioning.models import Group
from restoration.engineering.doubt import Kind, Reach
from restoration.machine.models import Fitting
from restoration.proving.models import Joining, SignalCheck

ITEM = "group"


def group_histories(ids: Collection[int] | None = None, *, now: datetime | None = None) -> Histories:
    """Gather what is recorded of these groups (or of all), in a fixed number of queries."""
    return _gathered(Part(ids), Known.at(now))


def all_group_histories(*, now: datetime | None = None) -> Iterator[tuple[Part, Histories]]:
    """Gather what is recorded of every group, part by part."""
    known = Known.at(now)
    for part in parts_of(Group.objects.values_list("pk", flat=True).order_by("pk"), 100):
        yield part, _gathered(part, known)


def _gathered(part: Part, known: Known) -> Histories:
    histories = Histories()
    add_signed(histories, known, part, ITEM)
    add_doubts(histories, known, part, ITEM)
    proved = [record.at for history in histories.values() for record in history.evidence]
    if proved:
        groups = [pk for pk, history in histories.items() if history.evidence]
        _add_withdrawals(histories, known, groups, min(proved))
        _add_joinings(histories, known, groups, min(proved))
        _add_parts_changed(histories, known, groups, min(proved))
    return histories.settled()


def _add_withdrawals(histories: Histories, known: Known, groups: Collection[int], since: datetime) -> None:
    clause = known.clause(Kind.WITHDRAWN, Reach.GROUPS)
    members: dict[int, list[int]] = {}
    for group, slot in Group.slots.through.objects.filter(group_id__in=groups).values_list("group_id", "slot_id"):
        members.setdefault(slot, []).append(group)
    withdrawn = Fitting.objects.filter(removed_at__gt=since, slot__groups__in=groups).distinct()
    for row in fitting_rows(withdrawn):
        for move in moves_of(row, known):
            if move.kind is Kind.WITHDRAWN:
                histories.doubt(members[move.slot], clause.change(move.at, move.what))


def _add_joinings(histories: Histories, known: Known, groups: Collection[int], since: datetime) -> None:
    """A load joined, lifted or made again moves what its source drives; a recorded change speaks for itself."""
    clause = known.clause(Kind.LOAD, Reach.GROUPS)
    rows = Joining.objects.in_force().exclude(change__isnull=False, change__replaced_by=None)
    for group, code, at, kind in _at_links_of(rows.filter(done_at__gt=since), groups, "kind"):
        histories[group].doubt(clause.change(at, f"Link {code} was {kind} on {known.days.of(at)}."))


def _add_parts_changed(histories: Histories, known: Known, groups: Collection[int], since: datetime) -> None:
    clause = known.clause(Kind.CONDITIONED, Reach.GROUPS)
    rows = SignalCheck.objects.in_force().filter(done_at__gt=since).exclude(parts_changed="")
    for group, code, at, parts in _at_links_of(rows, groups, "parts_changed"):
        histories[group].doubt(clause.change(at, f"Parts changed at link {code} on {known.days.of(at)}: {parts}"))


def _at_links_of(rows: QuerySet[Any], groups: Collection[int], name: str) -> set[tuple[int, str, datetime, str]]:
    """Read group, code of the link, when, and one column, for the records at links of these groups; two reads."""
    slots = "interconnect__source__slot__groups"
    within = rows.filter(**{f"{slots}__in": groups, slots: F("interconnect__load__slot__groups")})
    named = rows.filter(interconnect__groups__in=groups)
    columns = ("interconnect__code", moment("done_at"), name)
    return {
        row
        for group, found in ((slots, within), ("interconnect__groups", named))
        for row in found.values_list(group, *columns).order_by()
    }
