"""The history of interconnects: joined, rung out, checked, and what was done around them since."""

from collections import defaultdict
from collections.abc import Collection, Iterator
from datetime import datetime, timedelta
from typing import Any

from restoration.commissioning.facts.doubts import add_doubts, add_instrument_doubts
from restoration.commissioning.facts.history import Histories, History
from restoration.commissioning.facts.judged import CONCESSION, add_judged, add_record, judged_rows
from restoration.commissioning.facts.known import Clause, Known
from restoration.commissioning.facts.rows import PART, Part, moment, moment_kept, parts_of, stored_moment
from restoration.commissioning.facts.wiring import SAYS_SOMETHING, Around, Limit, Wiring
from restoration.commissioning.models import Change as RecordedChange
from restoration.engineering.doubt import Kind, Reach
from restoration.engineering.standing import Evidence, State
from restoration.faults.models import Fault, Reopening
from restoration.machine.models import Interconnect, WiringChange
from restoration.proving.models import Joining, RingOut, SignalCheck, SignalReading
from restoration.proving.models.signal_checks import End
from restoration.proving.models.wire_checks import JoiningKind

ITEM = "interconnect"
JOINTS = ((Kind.JOINED, Reach.LINK), (Kind.LOAD, Reach.LINK), (Kind.LOAD, Reach.SOURCE))
Checks = dict[int, tuple[int, datetime]]
JUST_AFTER = timedelta(microseconds=1)
WORDS = {"source": "source end", "load": "load end", "length_m": "length"}


def link_histories(ids: Collection[int] | None = None, *, now: datetime | None = None) -> Histories:
    """Gather what is recorded of these interconnects (or of all), in a fixed number of queries."""
    part, known = Part(ids), Known.at(now)
    wiring = Wiring.of(part)
    return _gathered(part, known, wiring, Around.of(known, None if ids is None else wiring))


def all_link_histories(*, now: datetime | None = None) -> Iterator[tuple[Part, Histories]]:
    """Gather what is recorded of every interconnect, part by part, so that memory does not grow with the wires."""
    known = Known.at(now)
    around = Around.of(known, None)
    for part in parts_of(Interconnect.objects.values_list("source_id", flat=True).order_by("source_id"), PART):
        yield part, _gathered(part, known, Wiring.of(part), around)


def _gathered(part: Part, known: Known, wiring: Wiring, around: Around) -> Histories:
    histories = Histories()
    _add_joinings(histories, known, part, wiring)
    add_judged(histories, known, part, ITEM, "rung out", "ring-out", RingOut, *CONCESSION)
    judged = _add_signal_checks(histories, known, part, wiring)
    _add_limits(histories, known, part, wiring, around, judged)
    _add_around(histories, known, wiring, around)
    _add_wiring_changes(histories, known, part)
    _add_faults(histories, known, part)
    add_doubts(histories, known, part, ITEM)
    add_instrument_doubts(histories, known, part, ITEM)
    return histories.settled()


def _add_joinings(histories: Histories, known: Known, part: Part, wiring: Wiring) -> None:
    rows = list(
        part.on_sources(Joining.objects.all(), ITEM)
        .values_list(
            "pk",
            "interconnect_id",
            "kind",
            stored_moment("done_at"),
            "done_by_id",
            "second_person_id",
            "remarks",
            "replaces_id",
        )
        .order_by()
    )
    passed_over = {replaces for *_, replaces in rows if replaces} | _told_by_changes(part)
    joint, own, beside = (known.clause(*at) for at in JOINTS)
    for row in rows:
        pk, link, kind, kept = row[:4]
        at = moment_kept(kept)
        if link in wiring.asked:
            record = _joining(known, row, at)
            histories[link].evidence.append(record)
            if pk not in passed_over:
                _doubt_own(histories[link], joint, own, record)
        if pk not in passed_over and (others := wiring.beside(link)):
            what = f"Link {wiring.links[link].code} on the same source was {kind} on {known.days.of(at)}."
            histories.doubt(others, beside.change(at, what))


def _told_by_changes(part: Part) -> set[int]:
    """The joinings for which a recorded change speaks."""
    changes = RecordedChange.objects.filter(joining__isnull=False, replaced_by=None)
    return set(part.on_sources(changes, "joining__interconnect").values_list("joining_id", flat=True).order_by())


def _joining(known: Known, row: tuple[Any, ...], at: datetime) -> Evidence:
    pk, _, kind, _, who, second, remarks, replaces = row
    lifted = kind == JoiningKind.LIFTED
    how = f": {remarks}" if lifted else f", viewed by {known.names[second]}."
    said = f"{kind.capitalize()} by {known.names[who]} on {known.days.of(at)}{how}"
    state = State.WITHDRAWN if lifted else State.PASSED
    return Evidence("joined", at, f"joining {pk}", state, said, f"joining {replaces}" if replaces else "", pk)


def _doubt_own(history: History, joint: Clause, load: Clause, record: Evidence) -> None:
    """What a joint puts in doubt of its own wire; as a load it speaks only of gates left over."""
    change = joint.change(record.at, record.said)
    history.doubt(change)
    rule = load.rule(record.at)
    if rule is not None and (change is None or not rule.gates <= change.gates):
        left = rule.gates - (change.gates if change else frozenset())
        history.doubt(load.change(record.at, record.said, only=left))


def _add_signal_checks(
    histories: Histories, known: Known, part: Part, wiring: Wiring
) -> dict[int, tuple[int, datetime]]:
    """Add the checks; return link and time of each, by its row id."""
    judged: dict[int, tuple[int, datetime]] = {}
    rows = part.on_sources(SignalCheck.objects.all(), ITEM)
    parts_changed = []
    replaced = set()
    for row in judged_rows(rows, "interconnect_id", *CONCESSION, "parts_changed"):
        link, pk, kept, _, _, replaces, *_, parts = row
        if link in wiring.asked:
            judged[pk] = link, add_record(histories, known, ITEM, "signal-checked", "signal check", row[:-1]).at
        if replaces:
            replaced.add(replaces)
        if parts:
            parts_changed.append((pk, link, moment_kept(kept), parts))
    for pk, link, at, parts in parts_changed:
        if pk not in replaced:
            _add_parts_changed(histories, known, wiring, link, at, parts)
    return judged


def _add_parts_changed(histories: Histories, known: Known, wiring: Wiring, link: int, at: datetime, parts: str) -> None:
    own, beside = known.clause(Kind.CONDITIONED, Reach.LINK), known.clause(Kind.CONDITIONED, Reach.SOURCE)
    if link in wiring.asked:
        histories[link].doubt(own.change(at, f"Parts changed at it on {known.days.of(at)}: {parts}"))
    what = f"Parts changed at link {wiring.links[link].code} on the same source on {known.days.of(at)}: {parts}"
    histories.doubt(wiring.beside(link), beside.change(at, what))


def _add_limits(
    histories: Histories,
    known: Known,
    part: Part,
    wiring: Wiring,
    around: Around,
    checks: Checks,
) -> None:
    """A check judged by other limits than those in force now is in doubt while it is the newest.

    Nobody writes down when limits changed; the rule of today is asked, because today's limits are.
    """
    rule = known.clause(Kind.LIMITS, Reach.LINK).of_today()
    judged: dict[int, set[Limit]] = defaultdict(set)
    readings = part.of(SignalReading.objects.filter(SAYS_SOMETHING, end=End.LOAD), ITEM, "check_made__interconnect")
    rows = readings.values_list("check_made_id", "quantity", "least", "most").order_by()
    for row in rows.iterator(chunk_size=2000):
        judged[row[0]].add(row[1:])
    for check, by in judged.items():
        link, at = checks[check]
        if by != around.limits.get(wiring.links[link].signal or 0, set()):
            what = "The limits of its signal are other than those it was judged by."
            histories[link].doubt_record(f"signal check {check}", rule.change(at + JUST_AFTER, what))


def _add_around(histories: Histories, known: Known, wiring: Wiring, around: Around) -> None:
    """Add what came and went at the slots of each link, and at its source."""
    for pk in wiring.asked:
        link = wiring.links[pk]
        changes = histories[pk].changes
        for slot in {link.source_slot, link.load_slot}:
            if slot in around.at_slot:
                changes += around.at_slot[slot]
    taken = known.clause(Kind.OTHER_ENDS, Reach.SOURCE)
    for source in around.taken_off.keys() & wiring.on_source.keys():
        for gone in around.taken_off[source]:
            others = [pk for pk in wiring.on_source[source] if pk != gone.link and pk in wiring.asked]
            what = f"Link {gone.code} was taken off the same source on {known.days.of(gone.at)}."
            histories.doubt(others, taken.change(gone.at, what))


def _add_wiring_changes(histories: Histories, known: Known, part: Part) -> None:
    """What the wire list changed: the wire itself, its ends, or only its signal."""
    rows = part.of(WiringChange.objects.all(), ITEM, ITEM)
    columns = ("interconnect_id", moment("changed_at"), "fields", "touches_wire")
    for pk, at, fields, touches_wire in rows.values_list(*columns).order_by().iterator(chunk_size=2000):
        names = ", ".join(WORDS.get(name, name) for name in fields)
        if touches_wire:
            kind = Kind.OTHER_ENDS if {"source", "load"} & set(fields) else Kind.WIRE_LIST
            what = f"On the wire list its {names} was changed on {known.days.of(at)}."
            histories[pk].doubt(known.clause(kind, Reach.LINK).change(at, what))
        elif "signal" in fields:
            what = f"On the wire list it was given another signal on {known.days.of(at)}."
            histories[pk].doubt(known.clause(Kind.LIMITS, Reach.LINK).change(at, what))


def _add_faults(histories: Histories, known: Known, part: Part) -> None:
    clause = known.clause(Kind.FAULT, Reach.LINK)
    faults = part.of(Fault.objects.all(), ITEM, ITEM).values_list(
        "pk", "interconnect_id", moment("opened_at"), moment("from_check__done_at")
    )
    for number, pk, at, checked_at in faults.order_by():
        # A fault that a check itself found says nothing new of that check; it doubts those before it.
        since = min(at, checked_at) if checked_at else at
        histories[pk].doubt(clause.change(since, f"Fault {number} was logged on it on {known.days.of(at)}."))
    returns = part.of(Reopening.objects.all(), ITEM, "fault__interconnect").values_list(
        "fault_id", "fault__interconnect_id", moment("seen_at")
    )
    for number, pk, at in returns.order_by():
        histories[pk].doubt(clause.change(at, f"Fault {number} came back on {known.days.of(at)}."))
