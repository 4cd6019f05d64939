"""The history of interconnects: joined, rung out, checked, and what was done around them since."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Q
from django.utils import timezone

from restoration.commissioning.facts.history import CONCESSION, Histories, day, judged_rows, only
from restoration.engineering.standing import Change, Evidence, State
from restoration.faults.models import Fault, Reopening
from restoration.machine.models import Fitting, Interconnect, SignalLimit, WiringChange
from restoration.proving.models import Joining, RingOut, SignalCheck, SignalReading
from restoration.proving.models.signal_checks import End
from restoration.proving.models.wire_checks import JoiningKind

AFTER_THE_JOINT = frozenset({"rung out", "signal-checked"})
WHOLE_WIRE = AFTER_THE_JOINT | {"joined"}
SIGNAL = frozenset({"signal-checked"})
JUST_AFTER = timedelta(microseconds=1)
WORDS = {"source": "source end", "load": "load end", "length_m": "length"}


@dataclass
class Wiring:
    """The interconnects asked about: which share a source, which end at a slot, what signal each carries."""

    is_whole: bool
    signal_of: dict[int, int | None] = field(default_factory=dict)
    on_source: dict[int, list[int]] = field(default_factory=lambda: defaultdict(list))
    at_slot: dict[int, list[int]] = field(default_factory=lambda: defaultdict(list))
    from_painted: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))

    @classmethod
    def of(cls, ids: Collection[int] | None) -> "Wiring":
        """Read the interconnects of these ids, or all."""
        wiring = cls(is_whole=ids is None)
        rows = only(Interconnect.objects.all(), "pk", ids).values_list(
            "pk", "signal_id", "source_id", "source__slot_id", "load__slot_id", "source__slot__code", "source__code"
        )
        for pk, signal, source, source_slot, load_slot, slot, terminal in rows.order_by():
            wiring.signal_of[pk] = signal
            wiring.on_source[source].append(pk)
            wiring.from_painted[f"{slot}:{terminal}"].append(pk)
            for end in {source_slot, load_slot}:
                wiring.at_slot[end].append(pk)
        return wiring

    @property
    def sources(self) -> Collection[int] | None:
        """The sources to read records of; None for all."""
        return None if self.is_whole else self.on_source.keys()

    def beside(self, pk: int, source: int) -> list[int]:
        """The other loads of a source."""
        return [other for other in self.on_source[source] if other != pk]


def link_histories(ids: Collection[int] | None = None, *, now: datetime | None = None) -> Histories:
    """Gather what is recorded of these interconnects (or of all), in a fixed number of queries."""
    histories, now, wiring = Histories(), now or timezone.now(), Wiring.of(ids)
    _add_joinings(histories, wiring)
    for row in judged_rows(RingOut, "interconnect_id", ids, *CONCESSION):
        histories.add_judged(row["interconnect_id"], "rung out", "ring-out", row, now)
    _add_signal_checks(histories, wiring, now)
    _add_limits(histories, wiring, ids)
    _add_fittings(histories, wiring)
    _add_wiring_changes(histories, wiring, ids)
    _add_faults(histories, ids)
    return histories.settled()


def _doubt(histories: Histories, links: Iterable[int], change: Change) -> None:
    for pk in links:
        histories[pk].changes.append(change)


def _add_joinings(histories: Histories, wiring: Wiring) -> None:
    rows = list(
        only(Joining.objects.all(), "interconnect__source_id", wiring.sources)
        .values(
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
        .order_by()
    )
    replaced = {row["replaces_id"] for row in rows}
    for row in rows:
        if row["interconnect_id"] in wiring.signal_of:
            _add_joining(histories, row, is_replaced=row["pk"] in replaced)
        if row["pk"] not in replaced:
            what = f"Link {row['interconnect__code']} on the same source was {row['kind']} on {day(row['done_at'])}."
            others = wiring.beside(row["interconnect_id"], row["interconnect__source_id"])
            _doubt(histories, others, Change(SIGNAL, row["done_at"], what))


def _add_joining(histories: Histories, row: dict[str, Any], *, is_replaced: bool) -> None:
    lifted, at = row["kind"] == JoiningKind.LIFTED, row["done_at"]
    how = f": {row['remarks']}" if lifted else f", viewed by {row['second_person__display_name']}."
    said = f"{row['kind'].capitalize()} by {row['done_by__display_name']} on {day(at)}{how}"
    state = State.WITHDRAWN if lifted else State.PASSED
    replaces = f"joining {row['replaces_id']}" if row["replaces_id"] else ""
    history = histories[row["interconnect_id"]]
    history.evidence.append(Evidence("joined", at, f"joining {row['pk']}", state, said, replaces, row["pk"]))
    if not is_replaced:
        history.changes.append(Change(AFTER_THE_JOINT, at, said))


def _add_signal_checks(histories: Histories, wiring: Wiring, now: datetime) -> None:
    checks = only(SignalCheck.objects.all(), "interconnect__source_id", wiring.sources)
    rows = list(
        checks.values(
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
        ).order_by()
    )
    replaced = {row["replaces_id"] for row in rows}
    for row in rows:
        pk = row["interconnect_id"]
        if pk in wiring.signal_of:
            histories.add_judged(pk, "signal-checked", "signal check", row, now)
        if row["parts_changed"] and row["pk"] not in replaced:
            others = wiring.beside(pk, row["interconnect__source_id"])
            what = f"Parts changed at link {row['interconnect__code']} on the same source on {day(row['done_at'])}"
            _doubt(histories, others, Change(SIGNAL, row["done_at"], f"{what}: {row['parts_changed']}"))


def _add_limits(histories: Histories, wiring: Wiring, ids: Collection[int] | None) -> None:
    """A check judged by other limits than those in force now is in doubt while it is the newest."""
    limits: dict[int, set[tuple[Any, ...]]] = defaultdict(set)
    wanted = {signal for signal in wiring.signal_of.values() if signal}
    says_something = Q(least__isnull=False) | Q(most__isnull=False)
    in_use = SignalLimit.objects.filter(says_something)
    for signal, *limit in only(in_use, "signal_id", None if wiring.is_whole else wanted).values_list(
        "signal_id", "quantity", "least", "most"
    ):
        limits[signal].add(tuple(limit))
    judged: dict[tuple[int, int, datetime], set[tuple[Any, ...]]] = defaultdict(set)
    readings = SignalReading.objects.filter(says_something, end=End.LOAD)
    for check, link, at, *limit in only(readings, "check_made__interconnect_id", ids).values_list(
        "check_made_id", "check_made__interconnect_id", "check_made__done_at", "quantity", "least", "most"
    ):
        judged[check, link, at].add(tuple(limit))
    for (check, link, at), by in judged.items():
        if by != limits[wiring.signal_of[link] or 0]:
            change = Change(SIGNAL, at + JUST_AFTER, "The limits of its signal are other than those it was judged by.")
            histories[link].if_newest.setdefault(f"signal check {check}", []).append(change)


def _add_fittings(histories: Histories, wiring: Wiring) -> None:
    rows = only(Fitting.objects.all(), "slot_id", None if wiring.is_whole else wiring.at_slot.keys()).values_list(
        "slot_id", "slot__code", "chassis__serial", "fitted_at", "removed_at"
    )
    earlier: set[int] = set()
    for slot, code, serial, fitted_at, removed_at in rows.order_by("fitted_at", "pk"):
        again = ", which had been emptied before" if slot in earlier else ""
        gates = AFTER_THE_JOINT if slot in earlier else SIGNAL
        what = f"Chassis {serial} was fitted in slot {code} on {day(fitted_at)}{again}."
        _doubt(histories, wiring.at_slot[slot], Change(gates, fitted_at, what))
        if removed_at:
            what = f"Chassis {serial} was withdrawn from slot {code} on {day(removed_at)}."
            _doubt(histories, wiring.at_slot[slot], Change(AFTER_THE_JOINT, removed_at, what))
        earlier.add(slot)


def _add_wiring_changes(histories: Histories, wiring: Wiring, ids: Collection[int] | None) -> None:
    rows = only(WiringChange.objects.all(), "interconnect_id", ids)
    for pk, at, fields, touches_wire in rows.values_list("interconnect_id", "changed_at", "fields", "touches_wire"):
        names = ", ".join(WORDS.get(name, name) for name in fields)
        if touches_wire:
            gates = WHOLE_WIRE if {"source", "load"} & set(fields) else AFTER_THE_JOINT
            histories[pk].changes.append(Change(gates, at, f"On the wire list its {names} was changed on {day(at)}."))
        elif "signal" in fields:
            what = f"On the wire list it was given another signal on {day(at)}."
            histories[pk].changes.append(Change(SIGNAL, at, what))
    moved = WiringChange.objects.filter(fields__has_key="source").values_list(
        "interconnect_id", "interconnect__code", "changed_at", "fields"
    )
    for pk, code, at, fields in moved:
        former = str(fields["source"][0])
        others = [other for other in wiring.from_painted.get(former, []) if other != pk]
        what = f"Link {code} was taken off the same source on {day(at)}."
        _doubt(histories, others, Change(SIGNAL, at, what))


def _add_faults(histories: Histories, ids: Collection[int] | None) -> None:
    faults = only(Fault.objects.all(), "interconnect_id", ids)
    for number, pk, at, checked_at in faults.values_list(
        "pk", "interconnect_id", "opened_at", "from_check__done_at"
    ).order_by():
        # A fault that a check itself found says nothing new of that check; it doubts those before it.
        since = min(at, checked_at) if checked_at else at
        histories[pk].changes.append(Change(SIGNAL, since, f"Fault {number} was logged on it on {day(at)}."))
    returns = only(Reopening.objects.all(), "fault__interconnect_id", ids)
    for number, pk, at in returns.values_list("fault_id", "fault__interconnect_id", "seen_at").order_by():
        histories[pk].changes.append(Change(SIGNAL, at, f"Fault {number} came back on {day(at)}."))
