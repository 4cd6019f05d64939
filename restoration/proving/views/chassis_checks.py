"""Pages on which a chassis is received, checked cold and tested on the bench."""

from typing import Any

from django.contrib import messages
from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone

from restoration.common.pages import show
from restoration.machine.models import Chassis
from restoration.machine.records import Result
from restoration.people.access import needs
from restoration.people.roles import Permission
from restoration.proving.forms.chassis_checks import BenchTestForm, ColdCheckForm, ReceiveForm
from restoration.proving.models import BenchTest, ColdCheck, ReceivingCheck
from restoration.proving.services import check_cold, receive_chassis, test_on_bench
from restoration.proving.services.bench_tests import why_no_bench_test
from restoration.proving.services.chassis_checks import SHORT_BELOW_OHM, why_no_cold_check, why_not_received
from restoration.proving.services.concessions import why_no_concession
from restoration.proving.sheet import bench_sheet
from restoration.proving.views.acts import me_of, sent, stored_address


@needs(Permission.RECEIVE_CHASSIS)
def receive(request: HttpRequest, serial: str) -> HttpResponse:
    """Record that a chassis came in."""
    chassis = load_chassis(serial)
    replaces = record_to_correct(request, ReceivingCheck, chassis)
    form = ReceiveForm(sent(request), me=me_of(request), replaces=replaces)

    def act() -> str:
        record = receive_chassis(chassis=chassis, **form.facts(), **form.heading())
        messages.success(request, f"Recorded: chassis {serial} looked over at the door. Result: {record.result}.")
        return chassis.get_absolute_url()

    address = stored_address(form, act)
    refused = "" if replaces else why_not_received(chassis)
    return redirect(address) if address else _show(request, "receive", chassis, form, {"refused": refused})


@needs(Permission.CHECK_COLD)
def cold_check(request: HttpRequest, serial: str) -> HttpResponse:
    """Record that a chassis was looked over with no power on it."""
    chassis = load_chassis(serial)
    form = ColdCheckForm(sent(request), me=me_of(request), replaces=record_to_correct(request, ColdCheck, chassis))

    def act() -> str:
        record = check_cold(chassis=chassis, **form.facts(), **form.heading())
        messages.success(request, f"Recorded: chassis {serial} checked cold. Result: {record.result}.")
        return chassis.get_absolute_url()

    address = stored_address(form, act)
    more = {"refused": why_no_cold_check(chassis), "short_ohm": SHORT_BELOW_OHM}
    return redirect(address) if address else _show(request, "cold_check", chassis, form, more)


@needs(Permission.BENCH_TEST)
def bench_test(request: HttpRequest, serial: str) -> HttpResponse:
    """Record a test on the bench, figure by figure."""
    chassis = load_chassis(serial)
    replaces = record_to_correct(request, BenchTest, chassis)
    points = list(chassis.design.bench_points.all())
    form = BenchTestForm(sent(request), me=me_of(request), replaces=replaces, points=points)

    def act() -> str:
        test = test_on_bench(chassis=chassis, **form.facts(), **form.heading())
        messages.success(request, f"Recorded: chassis {serial} tested on the bench. Result: {test.result}.")
        return test.get_absolute_url()

    address = stored_address(form, act)
    refused = why_no_bench_test(chassis)
    return redirect(address) if address else _show(request, "bench_test", chassis, form, {"refused": refused})


@needs(Permission.SEE_RECORDS)
def bench_test_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """The certificate of a bench test, on one sheet."""
    tests = BenchTest.objects.with_people().select_related(
        "chassis__design", "instrument", "replaces", "replaced_by", "concession__given_by"
    )
    test = get_object_or_404(tests.prefetch_related("readings"), pk=pk)
    may_accept = me_of(request).may(Permission.ACCEPT_ON_CONCESSION)
    context = {
        "test": test,
        "chassis": test.chassis,
        "sheet": bench_sheet(test),
        "may_accept": may_accept and not why_no_concession(test),
        "may_correct": me_of(request).may(Permission.BENCH_TEST) and not hasattr(test, "replaced_by"),
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


def record_to_correct(request: HttpRequest, model: type[Model], chassis: Chassis) -> Any:
    """Find the record that `?replaces=` names; it must be one of this chassis."""
    number = request.GET.get("replaces")
    if not number:
        return None
    if not number.isdecimal() or len(number) > 18:
        raise Http404(f"There is no record of the number {number[:40]}.")
    return get_object_or_404(model, pk=int(number), chassis=chassis)


def _show(request: HttpRequest, page: str, chassis: Chassis, form: Any, more: dict[str, Any]) -> HttpResponse:
    context = {"chassis": chassis, "form": form, "replaces": form.replaces, **more}
    return show(request, f"proving/{page}.html", context, status=422 if form.is_bound else 200)
