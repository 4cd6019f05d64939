"""Today's sheet, readiness, the gates, and chassis going in and out."""

from collections.abc import Callable

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from restoration.commissioning import gates, services
from restoration.commissioning.forms import FitForm, WithdrawForm
from restoration.commissioning.readiness import readiness_of, sentence
from restoration.commissioning.today import sheet_for
from restoration.common.pages import show
from restoration.common.posts import posted, store_once
from restoration.machine.models import Rack, Slot
from restoration.people.access import needs, who
from restoration.people.doers import DoerForm
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def today(request: HttpRequest) -> HttpResponse:
    """What waits for this person, what is in doubt, and what changed lately."""
    return show(request, "commissioning/today.html", {"today": sheet_for(who(request))})


@needs(Permission.SEE_RECORDS)
def readiness(request: HttpRequest) -> HttpResponse:
    """Every rack, and what holds it."""
    racks = list(Rack.objects.in_order())
    rows = [(rack, answer, sentence(answer)) for rack, answer in zip(racks, readiness_of(racks), strict=True)]
    return show(request, "commissioning/readiness.html", {"rows": rows, "gates": gates})


@needs(Permission.SEE_RECORDS)
def rack_readiness(request: HttpRequest, code: str) -> HttpResponse:
    """One rack: which gates stand, what is in doubt, what is missing, nearest first."""
    rack = get_object_or_404(Rack, code=code)
    answer = readiness_of([rack])[0]
    context = {"rack": rack, "answer": answer, "sentence": sentence(answer)}
    return show(request, "commissioning/rack_readiness.html", context)


@needs(Permission.SEE_RECORDS)
def gate_list(request: HttpRequest) -> HttpResponse:
    """Every gate, its evidence, who may sign and what opens it again."""
    tables = [("A chassis", gates.CHASSIS), ("An interconnect", gates.INTERCONNECT)]
    return show(request, "commissioning/gates.html", {"tables": tables})


@needs(Permission.FIT_CHASSIS)
def fit(request: HttpRequest, code: str) -> HttpResponse:
    """Fit a chassis in a slot by reading both labels."""
    slot = get_object_or_404(Slot.objects.select_related("rack", "design"), code=code)
    form = FitForm(posted(request), me=who(request), slot=slot)
    if form.is_valid():
        given = form.cleaned_data

        def act() -> str:
            services.fit_chassis(
                slot=slot,
                chassis=given["chassis"],
                slot_label_read=given["slot_label_read"],
                chassis_label_read=given["chassis_label_read"],
                fitted_by=given["done_by"],
                second_person=given["second_person"],
                entered_by=who(request),
                at=given["done_at"],
                remarks=given["remarks"],
            )
            return slot.get_absolute_url()

        answer = _stored(request, form, act, f"Chassis {given['chassis'].serial} is in slot {slot.code}.")
        if answer:
            return answer
    context = {"slot": slot, "form": form, "standing": slot.fittings.standing().select_related("chassis").first()}
    return show(request, "commissioning/fit.html", context, status=422 if form.is_bound else 200)


@needs(Permission.FIT_CHASSIS)
def withdraw(request: HttpRequest, code: str) -> HttpResponse:
    """Take the chassis out of a slot."""
    slot = get_object_or_404(Slot.objects.select_related("rack", "design"), code=code)
    form = WithdrawForm(posted(request), me=who(request))
    if form.is_valid():
        given = form.cleaned_data

        def act() -> str:
            services.withdraw_chassis(
                slot=slot,
                why=given["why"],
                removed_by=given["done_by"],
                entered_by=who(request),
                at=given["done_at"],
            )
            return slot.get_absolute_url()

        answer = _stored(request, form, act, f"Slot {slot.code} is empty now.")
        if answer:
            return answer
    context = {"slot": slot, "form": form, "standing": slot.fittings.standing().select_related("chassis").first()}
    return show(request, "commissioning/withdraw.html", context, status=422 if form.is_bound else 200)


def _stored(request: HttpRequest, form: DoerForm, act: Callable[[], str], done: str) -> HttpResponse | None:
    """Store the act once and go back to the slot, or put the gates' refusal on the form."""
    try:
        address = store_once(form.cleaned_data["form_token"], act)
    except ValidationError as refused:
        form.add_error(None, refused)
        return None
    messages.success(request, done)
    return redirect(address)
