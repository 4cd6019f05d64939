"""Designs: drawings, their issues, and the figures a chassis should show on the bench."""

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.acting import answer_form
from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.filters import DesignFilter
from restoration.machine.forms.designs import BenchPointFormSet, DesignEditForm, DesignForm, IssueForm, bench_rows
from restoration.machine.models import Chassis, Design, Fitting
from restoration.machine.views.ends import ends_in_words
from restoration.machine.views.form_page import EVERY_ROW_IS_READ, FormPage, RowsTogether, answer_on_page
from restoration.machine.views.stages import stages_in_words
from restoration.people.access import needs, who
from restoration.people.roles import Permission

SHOWN = 60  # slots or chassis of one design on its page; the rest stand in their lists


@needs(Permission.SEE_RECORDS)
def design_list(request: HttpRequest) -> HttpResponse:
    designs = (
        Design.objects.annotate(slot_count=Count("slots", distinct=True), chassis_count=Count("chassis", distinct=True))
        .prefetch_related("issues")
        .order_by("number")
    )
    filter_set = DesignFilter(request.GET, queryset=designs, request=request)
    context = {"filter": filter_set, "page_obj": part_of(request, narrowed(filter_set))}
    return show(request, "machine/design_list.html", context, fragment="rows")


@needs(Permission.SEE_RECORDS)
def design_detail(request: HttpRequest, number: str) -> HttpResponse:
    design = get_object_or_404(Design.objects.prefetch_related("issues", "bench_points"), number=number)
    older = Chassis.objects.filter(design=design).exclude(issue=None).filter(issue__is_current=False)
    counts = {
        "slots": design.slots.count(),
        "chassis": design.chassis.count(),
        "fitted": Fitting.objects.standing().filter(chassis__design=design).count(),
    }
    context = {
        "design": design,
        "issues": list(reversed(design.issues.all())),
        "slots": design.slots.select_related("rack").from_the_top()[:SHOWN],
        "chassis": design.chassis.select_related("issue", "builder").order_by("serial")[:SHOWN],
        "counts": counts,
        "older": older.order_by("serial")[:SHOWN],
        "ends": ends_in_words(design),
        **stages_in_words(design),
    }
    return show(request, "machine/design_detail.html", context)


@needs(Permission.EDIT_MACHINE)
def design_add(request: HttpRequest) -> HttpResponse:
    form = DesignForm(posted(request))

    def act() -> str:
        given = form.cleaned_data
        design = services.add_design(
            number=given["number"], title=given["title"], remarks=given["remarks"], by=who(request)
        )
        return design.get_absolute_url()

    lead = "A design is a drawing: its number, and what is built to it."
    page = FormPage("Add a design", "Add the design", reverse("machine:design-list"), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def design_edit(request: HttpRequest, number: str) -> HttpResponse:
    design = get_object_or_404(Design, number=number)
    form = DesignEditForm(posted(request), initial={"title": design.title, "remarks": design.remarks})

    def act() -> str:
        given = form.cleaned_data
        services.edit_design(design=design, title=given["title"], remarks=given["remarks"], by=who(request))
        return design.get_absolute_url()

    lead = "The number stays; a drawing that changes what is built is issued anew instead."
    page = FormPage(f"Edit design {design.number}", "Store it", design.get_absolute_url(), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def issue_add(request: HttpRequest, number: str) -> HttpResponse:
    design = get_object_or_404(Design.objects.prefetch_related("issues"), number=number)
    form = IssueForm(posted(request))

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("letter", "issued_on", "reason")}
        services.add_issue(design=design, by=who(request), **given)
        return design.get_absolute_url()

    current = design.current_issue
    note = f"The current issue is {current.letter}; it is superseded by the new one." if current else ""
    lead = "The new issue is current from then on; chassis built to an earlier one keep theirs."
    page = FormPage(f"Issue {design.number} anew", "Issue it", design.get_absolute_url(), lead, note)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def bench_points(request: HttpRequest, number: str) -> HttpResponse:
    design = get_object_or_404(Design, number=number)
    rows = BenchPointFormSet(posted(request), initial=bench_rows(design), prefix="point", form_kwargs=EVERY_ROW_IS_READ)
    wrong = "One of the figures cannot be stored as it is written; see the rows below."
    form = RowsTogether(rows, posted(request), wrong=wrong)

    def act() -> str:
        points = [point for row in rows.forms if (point := row.figure())]
        services.set_bench_points(design=design, points=points, by=who(request))
        return design.get_absolute_url()

    context = {"design": design, "rows": rows}
    return answer_form(request, form, act, "machine/bench_points.html", context)
