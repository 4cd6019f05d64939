"""What this app shows on the page of a chassis, which belongs to the machine."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.safestring import SafeString

from restoration.common.panels import add_panel
from restoration.machine.models import Chassis
from restoration.machine.records import Result
from restoration.people.roles import Permission, may
from restoration.proving.models import BenchTest, ColdCheck, ReceivingCheck
from restoration.proving.services.bench_tests import why_no_bench_test
from restoration.proving.services.chassis_checks import why_no_cold_check, why_not_received
from restoration.proving.wording import ohms

MARKS = {
    Result.PASSED: "passed",
    Result.FAILED: "failed",
    Result.TOO_CLOSE: "failed",
    Result.CANNOT_TELL: "failed",
}


@dataclass(frozen=True)
class ShownRecord:
    """One record of a chassis as its page shows it."""

    name: str
    record: Any
    mark: str
    said: str
    address: str = ""
    page: str = ""

    @property
    def done_at(self) -> datetime:
        """When it was made."""
        moment: datetime = self.record.done_at
        return moment


@dataclass(frozen=True)
class ChassisAct:
    """Something this person may do next with a chassis."""

    words: str
    page: str


def register() -> None:
    """Put the records and the acts of a chassis on its page."""
    add_panel("chassis", order=30, name="records", render=records_panel)
    add_panel("chassis-actions", order=30, name="records", render=acts_panel)


def records_panel(request: HttpRequest, chassis: Chassis) -> SafeString:
    """Draw what was recorded of a chassis, the newest first."""
    person = request.user if request.user.is_authenticated else None
    context = {"chassis": chassis, "records": shown_records(chassis), "may": _pages_open_to(person)}
    return render_to_string("proving/_panel_chassis.html", context, request=request)


def shown_records(chassis: Chassis) -> list[ShownRecord]:
    """Read every record of a chassis, in a constant number of queries; corrected ones stay, marked void."""
    tests = BenchTest.objects.of(chassis).with_people().select_related("replaced_by", "concession")
    found = [
        *(_received(row) for row in _of(ReceivingCheck, chassis)),
        *(_cold(row) for row in _of(ColdCheck, chassis)),
        *(_tested(row) for row in tests),
    ]
    return sorted(found, key=lambda shown: (shown.done_at, shown.record.pk), reverse=True)


def _of(model: Any, chassis: Chassis) -> Any:
    return model.objects.of(chassis).with_people().select_related("replaced_by")


def _mark(record: Any) -> str:
    if hasattr(record, "replaced_by"):
        return "void"
    if hasattr(record, "concession"):
        return "on concession"
    return MARKS[Result(record.result)]


def _received(row: ReceivingCheck) -> ShownRecord:
    said = ["papers complete" if row.papers_complete else "papers missing", row.damage or "no damage seen"]
    return ShownRecord("Received", row, _mark(row), ", ".join(said), page="proving:receive")


def _cold(row: ColdCheck) -> ShownRecord:
    said = [
        "agrees with the drawing" if row.agrees_with_drawing else "does not agree with the drawing",
        "joints good" if row.joints_good else "joints not good",
        f"HT to chassis {ohms(row.ht_to_chassis_ohm)}",
        f"heaters to chassis {ohms(row.heater_to_chassis_ohm)}",
        *([f"beware: {row.hazards}"] if row.hazards else []),
    ]
    return ShownRecord("Checked cold", row, _mark(row), ", ".join(said), page="proving:cold-check")


def _tested(row: BenchTest) -> ShownRecord:
    said = f"on concession: {row.concession.reason}" if hasattr(row, "concession") else ""
    address = reverse("proving:bench-test-detail", args=[row.pk])
    return ShownRecord("Tested on the bench", row, _mark(row), said, address=address, page="proving:bench-test")


PAGES = {
    "proving:receive": Permission.RECEIVE_CHASSIS,
    "proving:cold-check": Permission.CHECK_COLD,
    "proving:bench-test": Permission.BENCH_TEST,
}


def _pages_open_to(person: Any) -> frozenset[str]:
    return frozenset(page for page, permission in PAGES.items() if may(person, permission))


def acts_panel(request: HttpRequest, chassis: Chassis) -> SafeString:
    """Draw what this person may do next: receive it, check it cold, test it."""
    person = request.user if request.user.is_authenticated else None
    pages = _pages_open_to(person)
    reasons = {
        ChassisAct("Receive it", "proving:receive"): why_not_received,
        ChassisAct("Check it cold", "proving:cold-check"): why_no_cold_check,
        ChassisAct("Test it on the bench", "proving:bench-test"): why_no_bench_test,
    }
    acts = [act for act, why_not in reasons.items() if act.page in pages and not why_not(chassis)]
    return render_to_string("proving/_panel_chassis_acts.html", {"chassis": chassis, "acts": acts})
