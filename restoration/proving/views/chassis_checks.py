"""Pages on which a chassis is received, checked cold and tested on the bench."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from restoration.common.acting import Act, answer_form
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine.models import Chassis
from restoration.machine.records import Result
from restoration.people.access import needs, who
from restoration.people.roles import Permission
from restoration.proving.forms.chassis_checks import BenchTestForm, ColdCheckForm, ReceiveForm
from restoration.proving.models import BenchTest, ColdCheck, ReceivingCheck
from restoration.proving.services import check_cold, receive_chassis, test_on_bench
from restoration.proving.services.bench_tests import why_no_bench_test
from restoration.proving.services.chassis_checks import SHORT_BELOW_OHM, why_no_cold_check, why_not_received
from restoration.proving.services.concessions import why_no_concession
from restoration.proving.sheet import bench_sheet
from restoration.proving.views.acts import to_be_corrected


@needs(Permission.RECEIVE_CHASSIS)
def receive(request: HttpRequest, serial: str) -> HttpResponse:
    """Record that a chassis came in."""
    chassis = load_chassis(serial)
    replaces = to_be_corrected(request, ReceivingCheck, chassis=chassis)
    form = ReceiveForm(posted(request), me=who(request), replaces=replaces)

    def act() -> str:
        record = receive_chassis(chassis=chassis, **form.facts(), **form.heading())
        messages.success(request, f"Recorded: chassis {serial} looked over at the door. Result: {record.result}.")
        return chassis.get_absolute_url()

    refused = "" if replaces else why_not_received(chassis)
    return _answer(request, "receive", chassis, form, act, refused=refused)


@needs(Permission.CHECK_COLD)
def cold_check(request: HttpRequest, serial: str) -> HttpResponse:
    """Record that a chassis was looked over with no power on it."""
    chassis = load_chassis(serial)
    form = ColdCheckForm(
        posted(request), me=who(request), replaces=to_be_corrected(request, ColdCheck, chassis=chassis)
    )

    def act() -> str:
        record = check_cold(chassis=chassis, **form.facts(), **form.heading())
        messages.success(request, f"Recorded: chassis {serial} checked cold. Result: {record.result}.")
        return chassis.get_absolute_url()

    refused = why_no_cold_check(chassis)
    return _answer(request, "cold_check", chassis, form, act, refused=refused, short_ohm=SHORT_BELOW_OHM)


@needs(Permission.BENCH_TEST)
def bench_test(request: HttpRequest, serial: str) -> HttpResponse:
    """Record a test on the bench, figure by figure."""
    chassis = load_chassis(serial)
    replaces = to_be_corrected(request, BenchTest, chassis=chassis)
    points = list(chassis.design.bench_points.all())
    form = BenchTestForm(posted(request), me=who(request), replaces=replaces, points=points)

    def act() -> str:
        test = test_on_bench(chassis=chassis, **form.facts(), **form.heading())
        messages.success(request, f"Recorded: chassis {serial} tested on the bench. Result: {test.result}.")
        return test.get_absolute_url()

    return _answer(request, "bench_test", chassis, form, act, refused=why_no_bench_test(chassis))


@needs(Permission.SEE_RECORDS)
def bench_test_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """The certificate of a bench test, on one sheet."""
    tests = BenchTest.objects.with_people().select_related(
        "chassis__design", "instrument", "replaces", "replaced_by", "concession__given_by"
    )
    test = get_object_or_404(tests.prefetch_related("readings"), pk=pk)
    may_accept = who(request).may(Permission.ACCEPT_ON_CONCESSION)
    context = {
        "test": test,
        "chassis": test.chassis,
        "sheet": bench_sheet(test),
        "may_accept": may_accept and not why_no_concession(test),
        "may_correct": who(request).may(Permission.BENCH_TEST) and not hasattr(test, "replaced_by"),
        "instrument_was_due": _was_due(test),
        "failed": test.result != Result.PASSED,
    }
    return show(request, "proving/bench_test_detail.html", context)


def _was_due(test: BenchTest) -> bool:
    due = test.instrument.check_due_on if test.instrument else None
    return due is not None and due < timezone.localdate(test.done_at)


def load_chassis(serial: str) -> Chassis:
    """Find a chassis by its serial, with its drawing and builder."""
    return get_object_or_404(Chassis.objects.select_related("design", "issue", "builder"), serial=serial)


def _answer(request: HttpRequest, page: str, chassis: Chassis, form: Any, act: Act, **more: object) -> HttpResponse:
    context = {"chassis": chassis, "replaces": form.replaces, **more}
    return answer_form(request, form, act, f"proving/{page}.html", context)
