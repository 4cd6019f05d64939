"""The history of interconnects: joined, rung out, checked, and what was done around them since."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import datetime

from django.utils import timezone

from restoration.commissioning.facts.history import (
    CONCESSION,
    Histories,
    day,
    judged_record,
    judged_rows,
    only,
    ran_out,
)
from restoration.engineering.standing import Change, Evidence, State
from restoration.faults.models import Fault, Reopening
from restoration.machine.models import Fitting, Interconnect, WiringChange
from restoration.proving.models import Joining, RingOut, SignalCheck
from restoration.proving.models.wire_checks import JoiningKind

AFTER_THE_JOINT = frozenset({"rung out", "signal-checked"})
WHOLE_WIRE = AFTER_THE_JOINT | {"joined"}
SIGNAL = frozenset({"signal-checked"})


def link_histories(ids: Collection[int] | None = None, *, now: datetime | None = None) -> Histories:
    """Gather what is recorded of these interconnects (or of all), in a fixed number of queries."""
    histories, now = Histories(), now or timezone.now()
    links = list(
        only(Interconnect.objects.all(), "pk", ids)
        .values_list("pk", "source_id", "source__slot_id", "load__slot_id")
        .order_by()
    )
    on_source: dict[int, list[int]] = defaultdict(list)
    at_slot: dict[int, list[int]] = defaultdict(list)
    for pk, source, source_slot, load_slot in links:
        on_source[source].append(pk)
        for slot in {source_slot, load_slot}:
            at_slot[slot].append(pk)
    whole = ids is None
    _add_joinings(histories, on_source, whole)
    for row in judged_rows(RingOut, "interconnect_id", ids, *CONCESSION):
        history = histories[row["interconnect_id"]]
        history.evidence.append(judged_record("rung out", "ring-out", row))
        history.changes += ran_out("rung out", "ring-out", row, now)
    _add_signal_checks(histories, on_source, whole, now)
    _add_fittings(histories, at_slot, whole)
    _add_wiring_changes(histories, ids)
    _add_faults(histories, ids)
    return histories


def _doubt(histories: Histories, links: Iterable[int], change: Change) -> None:
    for pk in links:
        histories[pk].changes.append(change)


def _add_joinings(histories: Histories, on_source: dict[int, list[int]], whole: bool) -> None:
    rows = only(Joining.objects.all(), "interconnect__source_id", None if whole else on_source.keys()).values_list(
        "pk",
        "interconnect_id",
        "interconnect__code",
        "interconnect__source_id",
        "kind",
        "done_at",
        "done_by__display_name",
        "second_person__display_name",
        "remarks",
        "replaces_id",
    )
    wanted = {pk for links in on_source.values() for pk in links}
    for number, pk, code, source, kind, at, who, seen_by, why, replaces in rows.order_by():
        lifted = kind == JoiningKind.LIFTED
        state = State.WITHDRAWN if lifted else State.PASSED
        said = f"{kind.capitalize()} by {who} on {day(at)}" + (f": {why}" if lifted else f", viewed by {seen_by}.")
        if pk in wanted:
            replaced = f"joining {replaces}" if replaces else ""
            histories[pk].evidence.append(Evidence("joined", at, f"joining {number}", state, said, replaced, number))
            if kind != JoiningKind.JOINED:
                histories[pk].changes.append(Change(AFTER_THE_JOINT, at, said))
        if not lifted:
            others = [other for other in on_source[source] if other != pk]
            word = f"Link {code} on the same source was {kind} on {day(at)}."
            _doubt(histories, others, Change(SIGNAL, at, word))


def _add_signal_checks(histories: Histories, on_source: dict[int, list[int]], whole: bool, now: datetime) -> None:
    wanted = {pk for links in on_source.values() for pk in links}
    checks = only(SignalCheck.objects.all(), "interconnect__source_id", None if whole else on_source.keys())
    rows = checks.values(
        "pk",
        "interconnect_id",
        "interconnect__code",
        "interconnect__source_id",
        "done_at",
        "done_by__display_name",
        "result",
        "replaces_id",
        "parts_changed",
        *CONCESSION,
    )
    for row in rows.order_by():
        pk = row["interconnect_id"]
        if pk in wanted:
            histories[pk].evidence.append(judged_record("signal-checked", "signal check", row))
            histories[pk].changes += ran_out("signal-checked", "signal check", row, now)
        if row["parts_changed"]:
            others = [other for other in on_source[row["interconnect__source_id"]] if other != pk]
            what = f"Parts changed at link {row['interconnect__code']} on the same source on {day(row['done_at'])}"
            _doubt(histories, others, Change(SIGNAL, row["done_at"], f"{what}: {row['parts_changed']}"))


def _add_fittings(histories: Histories, at_slot: dict[int, list[int]], whole: bool) -> None:
    rows = only(Fitting.objects.all(), "slot_id", None if whole else at_slot.keys()).values_list(
        "slot_id", "slot__code", "chassis__serial", "fitted_at", "removed_at"
    )
    earlier: set[int] = set()
    for slot, code, serial, fitted_at, removed_at in rows.order_by("fitted_at", "pk"):
        if slot in earlier:
            what = f"Chassis {serial} was fitted in slot {code} on {day(fitted_at)}, after another stood there."
            _doubt(histories, at_slot[slot], Change(AFTER_THE_JOINT, fitted_at, what))
        if removed_at:
            what = f"Chassis {serial} was withdrawn from slot {code} on {day(removed_at)}."
            _doubt(histories, at_slot[slot], Change(AFTER_THE_JOINT, removed_at, what))
        earlier.add(slot)


def _add_wiring_changes(histories: Histories, ids: Collection[int] | None) -> None:
    rows = only(WiringChange.objects.filter(touches_wire=True), "interconnect_id", ids)
    for pk, at, fields in rows.values_list("interconnect_id", "changed_at", "fields").order_by():
        gates = WHOLE_WIRE if {"source", "load"} & set(fields) else AFTER_THE_JOINT
        histories[pk].changes.append(Change(gates, at, f"The wire list changed its {', '.join(fields)} on {day(at)}."))


def _add_faults(histories: Histories, ids: Collection[int] | None) -> None:
    for number, pk, at in only(Fault.objects.all(), "interconnect_id", ids).values_list(
        "pk", "interconnect_id", "opened_at"
    ):
        histories[pk].changes.append(Change(SIGNAL, at, f"Fault {number} was logged on it on {day(at)}."))
    for number, pk, at in only(Reopening.objects.all(), "fault__interconnect_id", ids).values_list(
        "fault_id", "fault__interconnect_id", "seen_at"
    ):
        histories[pk].changes.append(Change(SIGNAL, at, f"Fault {number} came back on {day(at)}."))
