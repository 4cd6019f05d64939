"""What this app shows on the pages of a link and of a slot, which belong to the machine."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import OuterRef, QuerySet, Subquery
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.safestring import SafeString

from restoration.common.panels import add_panel
from restoration.machine.models import Interconnect, Slot
from restoration.machine.records import Result
from restoration.people.roles import Permission, may
from restoration.proving.check_page import RESULT_MARKS, ends_shown, lead_of, outcome_again
from restoration.proving.models import Joining, RingOut, SignalCheck
from restoration.proving.models.wire_checks import JoiningKind
from restoration.proving.views.signal_checks import load_check
from restoration.proving.wording import ohms

LISTED = 60  # records of one link on its page; the log book has them all
JOINING_MARKS = {JoiningKind.JOINED: "passed", JoiningKind.REMADE: "passed", JoiningKind.LIFTED: "withdrawn"}


@dataclass(frozen=True)
class ShownRecord:
    """One record of a link as its page lists it."""

    name: str
    record: Any
    mark: str
    said: str
    page: str
    address: str = ""

    @property
    def done_at(self) -> datetime:
        """When it was done."""
        moment: datetime = self.record.done_at
        return moment

    @property
    def replaced_by(self) -> Any:
        """The correction that took its place, if there is one."""
        return getattr(self.record, "replaced_by", None)


def register() -> None:
    """Put the records and the acts of a link on its page, and a count of them on that of a slot."""
    add_panel("interconnect", order=20, name="signal check", render=signal_panel)
    add_panel("interconnect", order=60, name="records", render=records_panel)
    add_panel("interconnect-actions", order=20, name="records", render=acts_panel)
    add_panel("slot", order=30, name="links", render=slot_panel)


def _person(request: HttpRequest) -> Any:
    return request.user if request.user.is_authenticated else None


def signal_panel(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """Draw the newest signal check in force: what it came to, its trace, its figures."""
    newest = SignalCheck.objects.of(interconnect).in_force().values_list("pk", flat=True).last()
    if newest is None:
        return SafeString("")
    check = load_check(newest)
    context = {
        "check": check,
        "mark": "on concession" if hasattr(check, "concession") else RESULT_MARKS[check.result],
        "lead": lead_of(check, outcome_again(check)),
        "ends": [end for end in ends_shown(check) if end.end == "load"],
    }
    return render_to_string("proving/_panel_signal_check.html", context, request=request)


def records_panel(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """List every joining, ring-out and signal check, the newest first; corrected ones stay, struck through."""
    records = shown_records(interconnect)
    person = _person(request)
    pages = {page for page, permission in PERMISSIONS.items() if may(person, permission)}
    context = {"link": interconnect, "records": records[:LISTED], "more": len(records) - LISTED, "pages": pages}
    return render_to_string("proving/_panel_link_records.html", context, request=request)


PERMISSIONS = {
    "proving:join": Permission.JOIN_WIRE,
    "proving:lift": Permission.JOIN_WIRE,
    "proving:ring-out": Permission.JOIN_WIRE,
    "proving:signal-check-add": Permission.CHECK_SIGNAL,
}


def shown_records(interconnect: Interconnect) -> list[ShownRecord]:
    """Read the records of a link, in a constant number of queries."""
    found = [
        *(_joining(row) for row in _newest(Joining, interconnect, "replaced_by")),
        *(_ring_out(row) for row in _newest(RingOut, interconnect, "replaced_by", "concession")),
        *(_signal_check(row) for row in _newest(SignalCheck, interconnect, "replaced_by", "concession")),
    ]
    return sorted(found, key=lambda shown: (shown.done_at, shown.record.pk), reverse=True)


def _newest(model: Any, interconnect: Interconnect, *related: str) -> Any:
    records = model.objects.of(interconnect).with_people().select_related(*related)
    return records.order_by("-done_at", "-pk")[: LISTED + 1]


def _mark(record: Any, own: str) -> str:
    if hasattr(record, "replaced_by"):
        return "void"
    return "on concession" if hasattr(record, "concession") else own


def _joining(row: Joining) -> ShownRecord:
    kind = JoiningKind(row.kind)
    page = "proving:lift" if kind == JoiningKind.LIFTED else "proving:join"
    return ShownRecord(str(kind.label).capitalize(), row, _mark(row, JOINING_MARKS[kind]), "", page)


def _ring_out(row: RingOut) -> ShownRecord:
    said = f"{row.result}, {ohms(row.resistance_ohm)} end to end, {ohms(row.to_chassis_ohm)} to the chassis"
    return ShownRecord("Rung out", row, _mark(row, RESULT_MARKS[row.result]), said, "proving:ring-out")


def _signal_check(row: SignalCheck) -> ShownRecord:
    said = f"{row.result}, parts changed: {row.parts_changed.rstrip('.')}" if row.parts_changed else row.result
    mark = _mark(row, RESULT_MARKS[row.result])
    return ShownRecord("Signal check", row, mark, said, "proving:signal-check-add", row.get_absolute_url())


@dataclass(frozen=True)
class LinkAct:
    """Something this person may do with a link."""

    words: str
    page: str


JOIN = LinkAct("Join it", "proving:join")
RING_OUT = LinkAct("Ring it out", "proving:ring-out")
CHECK = LinkAct("Record a signal check", "proving:signal-check-add")
REMAKE = LinkAct("Make a joint again", "proving:join")
LIFT = LinkAct("Lift it", "proving:lift")


def acts_of(interconnect: Interconnect) -> list[LinkAct]:
    """List what may be done with a link, the next thing first."""
    now = timezone.now()
    joining = Joining.objects.newest_at(interconnect, now)
    if joining is None or joining.kind == JoiningKind.LIFTED:
        return [JOIN, CHECK]
    ring_out = RingOut.objects.newest_at(interconnect, now)
    is_rung = ring_out is not None and ring_out.result == Result.PASSED and ring_out.done_at >= joining.done_at
    return [CHECK, RING_OUT, REMAKE, LIFT] if is_rung else [RING_OUT, CHECK, REMAKE, LIFT]


def acts_panel(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """Draw what this person may do with a link: the next thing large."""
    person = _person(request)
    acts = [act for act in acts_of(interconnect) if may(person, PERMISSIONS[act.page])]
    return render_to_string("proving/_panel_link_acts.html", {"link": interconnect, "acts": acts})


@dataclass(frozen=True)
class SlotCounts:
    """How far the links of a slot have come, by their newest records in force."""

    links: int
    joined: int
    rung_out: int
    checked: int
    failed: tuple[str, ...]


def slot_counts(slot: Slot) -> SlotCounts:
    """Count the links of a slot by their newest records, in one query."""
    newest = {
        "kind": _newest_word(Joining, "kind"),
        "rung": _newest_word(RingOut, "result"),
        "checked": _newest_word(SignalCheck, "result"),
    }
    rows = list(
        Interconnect.objects.touching_slot(slot).annotate(**newest).values_list("code", *newest).order_by("code")
    )
    kinds, rung, checked = (Counter(row[place] for row in rows) for place in (1, 2, 3))
    failed = tuple(code for code, _, *results in rows if Result.FAILED in results)
    joined = kinds[JoiningKind.JOINED] + kinds[JoiningKind.REMADE]
    return SlotCounts(len(rows), joined, rung[Result.PASSED], checked[Result.PASSED], failed)


def _newest_word(model: Any, field: str) -> Subquery:
    records: QuerySet[Any] = model.objects.in_force().filter(interconnect=OuterRef("pk")).order_by("-done_at", "-pk")
    return Subquery(records.values(field)[:1])


def slot_panel(request: HttpRequest, slot: Slot) -> SafeString:
    """Draw how far the links of a slot have come, and name those that failed."""
    return render_to_string("proving/_panel_slot_links.html", {"slot": slot, "counts": slot_counts(slot)})
