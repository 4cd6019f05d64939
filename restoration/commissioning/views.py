"""Today's sheet, readiness, and chassis going in and out."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.commissioning import services
from restoration.commissioning.forms import FitForm, WithdrawForm
from restoration.commissioning.readiness import readiness_of, sentence
from restoration.commissioning.today import sheet_for
from restoration.common.acting import answer_form
from restoration.common.lists import part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine.models import Fitting, Rack, Slot
from restoration.people.access import needs, who
from restoration.people.roles import Permission

RACKS_A_PART = 12


@needs(Permission.SEE_RECORDS)
def today(request: HttpRequest) -> HttpResponse:
    """What waits for this person, what is in doubt, and what changed lately."""
    return show(request, "commissioning/today.html", {"today": sheet_for(who(request))})


@needs(Permission.SEE_RECORDS)
def readiness(request: HttpRequest) -> HttpResponse:
    """Every rack, and what holds it."""
    page = part_of(request, Rack.objects.in_order(), size=RACKS_A_PART)
    racks = list(page.object_list)
    rows = [(rack, answer, sentence(answer)) for rack, answer in zip(racks, readiness_of(racks), strict=True)]
    return show(request, "commissioning/readiness.html", {"rows": rows, "page_obj": page})


@needs(Permission.SEE_RECORDS)
def rack_readiness(request: HttpRequest, code: str) -> HttpResponse:
    """One rack: which gates stand, what is in doubt, what is missing, nearest first."""
    rack = get_object_or_404(Rack, code=code)
    answer = readiness_of([rack])[0]
    context = {"rack": rack, "answer": answer, "sentence": sentence(answer)}
    return show(request, "commissioning/rack_readiness.html", context)


@needs(Permission.FIT_CHASSIS)
def fit(request: HttpRequest, code: str) -> HttpResponse:
    """Fit a chassis in a slot by reading both labels."""
    slot = _slot(code)
    form = FitForm(posted(request), me=who(request), slot=slot)

    def act() -> str:
        given = form.cleaned_data
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
        messages.success(request, f"Chassis {given['chassis'].serial} is in slot {slot.code}.")
        return slot.get_absolute_url()

    return answer_form(request, form, act, "commissioning/fit.html", {"slot": slot, "standing": _fitted(slot)})


@needs(Permission.FIT_CHASSIS)
def withdraw(request: HttpRequest, code: str) -> HttpResponse:
    """Take the chassis out of a slot."""
    slot = _slot(code)
    form = WithdrawForm(posted(request), me=who(request))

    def act() -> str:
        given = form.cleaned_data
        services.withdraw_chassis(
            slot=slot,
            why=given["why"],
            removed_by=given["done_by"],
            entered_by=who(request),
            at=given["done_at"],
            seen=given["seen"],
        )
        messages.success(request, f"Slot {slot.code} is empty now.")
        return slot.get_absolute_url()

    return answer_form(request, form, act, "commissioning/withdraw.html", {"slot": slot, "standing": _fitted(slot)})


def _slot(code: str) -> Slot:
    return get_object_or_404(Slot.objects.select_related("rack", "design"), code=code)


def _fitted(slot: Slot) -> Fitting | None:
    return slot.fittings.standing().select_related("chassis").first()
