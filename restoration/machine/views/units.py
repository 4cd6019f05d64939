"""Chassis: the physical units, where each is and where it was."""

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.filters import ChassisFilter
from restoration.machine.forms.units import ChassisEditForm, ChassisForm, chassis_as_stored
from restoration.machine.marks import marks_for, one_mark
from restoration.machine.models import Chassis, Fitting
from restoration.machine.views.form_page import FormPage, answer_on_page
from restoration.people.access import needs, who
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def chassis_list(request: HttpRequest) -> HttpResponse:
    standing = Fitting.objects.standing().select_related("slot__rack")
    chassis = Chassis.objects.select_related("design", "issue", "builder").prefetch_related(
        Prefetch("fittings", queryset=standing)
    )
    filter_set = ChassisFilter(request.GET, queryset=chassis, request=request)
    page_obj = part_of(request, narrowed(filter_set))
    marks = marks_for(chassis_ids=[unit.pk for unit in page_obj])
    rows = [(unit, marks.of_chassis(unit.pk), one_mark(marks.of_chassis(unit.pk))) for unit in page_obj]
    context = {"filter": filter_set, "page_obj": page_obj, "rows": rows}
    return show(request, "machine/chassis_list.html", context, fragment="rows")


@needs(Permission.SEE_RECORDS)
def chassis_detail(request: HttpRequest, serial: str) -> HttpResponse:
    spans = Fitting.objects.select_related("slot__rack", "fitted_by", "second_person", "removed_by")
    chassis = get_object_or_404(
        Chassis.objects.select_related("design", "issue", "builder").prefetch_related(
            "design__issues", Prefetch("fittings", queryset=spans.order_by("-fitted_at", "-pk"))
        ),
        serial=serial,
    )
    gates = marks_for(chassis_ids=[chassis.pk]).of_chassis(chassis.pk)
    context = {"chassis": chassis, "gates": gates, "standing": one_mark(gates), "fitting": chassis.fitting_now}
    return show(request, "machine/chassis_detail.html", context)


@needs(Permission.EDIT_MACHINE)
def chassis_add(request: HttpRequest) -> HttpResponse:
    form = ChassisForm(posted(request))

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("serial", "design", "builder", "remarks")}
        chassis = services.add_chassis(issue=given["design"].current_issue, by=who(request), **given)
        return chassis.get_absolute_url()

    page = FormPage(
        "Add a chassis",
        "Add the chassis",
        reverse("machine:chassis-list"),
        "A chassis is one unit, known by the serial stamped on it.",
        note="It is taken to be built to the current issue of its drawing; say so on its page if it is not.",
    )
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def chassis_edit(request: HttpRequest, serial: str) -> HttpResponse:
    chassis = get_object_or_404(Chassis.objects.select_related("design", "issue"), serial=serial)
    form = ChassisEditForm(posted(request), initial=chassis_as_stored(chassis), chassis=chassis)

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("version", "remarks", "issue")}
        services.edit_chassis(chassis=chassis, by=who(request), **given)
        return chassis.get_absolute_url()

    lead = "Remarks on this one unit, and the drawing issue that it was built to; its serial stays."
    page = FormPage(f"Edit chassis {chassis.serial}", "Store it", chassis.get_absolute_url(), lead)
    return answer_on_page(request, form, act, page, stored=chassis_as_stored)
