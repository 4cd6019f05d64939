"""Signals, and what each must show at the load end."""

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.acting import answer_form
from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.filters import SignalFilter
from restoration.machine.forms.signals import LimitsForm, SignalForm, limits_as_stored
from restoration.machine.marks import marks_for, one_mark
from restoration.machine.models import Interconnect, Signal
from restoration.machine.views.form_page import FormPage, answer_on_page
from restoration.machine.views.wiring import sources_of
from restoration.people.access import needs, who
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def signal_list(request: HttpRequest) -> HttpResponse:
    signals = (
        Signal.objects.annotate(
            link_count=Count("interconnects", distinct=True), source_count=Count("interconnects__source", distinct=True)
        )
        .prefetch_related("limits")
        .order_by("name")
    )
    filter_set = SignalFilter(request.GET, queryset=signals, request=request)
    context = {"filter": filter_set, "page_obj": part_of(request, narrowed(filter_set))}
    return show(request, "machine/signal_list.html", context, fragment="rows")


@needs(Permission.SEE_RECORDS)
def signal_detail(request: HttpRequest, name: str) -> HttpResponse:
    signal = get_object_or_404(Signal.objects.prefetch_related("limits"), name=name)
    links = part_of(request, Interconnect.objects.filter(signal=signal).with_ends().order_by("code"))
    marks = marks_for(interconnect_ids=[link.pk for link in links])
    rows = [(link, one_mark(marks.of_interconnect(link.pk))) for link in links]
    context = {"signal": signal, "page_obj": links, "rows": rows, "sources": sources_of(signal)}
    return show(request, "machine/signal_detail.html", context)


@needs(Permission.EDIT_MACHINE)
def signal_add(request: HttpRequest) -> HttpResponse:
    form = SignalForm(posted(request))

    def act() -> str:
        given = form.cleaned_data
        return services.add_signal(
            name=given["name"], remarks=given["remarks"], by=who(request)
        ).get_absolute_url()  # fmt: skip

    lead = "A signal is named once; its limits are stated on its own page."
    page = FormPage("Name a signal", "Name it", reverse("machine:signal-list"), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def signal_limits(request: HttpRequest, name: str) -> HttpResponse:
    signal = get_object_or_404(Signal, name=name)
    form = LimitsForm(posted(request), initial=limits_as_stored(signal))

    def act() -> str:
        remarks = form.cleaned_data["remarks"]
        services.set_limits(signal=signal, limits=form.limits(), remarks=remarks, by=who(request))
        return signal.get_absolute_url()

    return answer_form(request, form, act, "machine/signal_limits.html", {"signal": signal})
