"""Pages on which a link is joined, lifted and rung out."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from restoration.common.pages import show
from restoration.machine.models import Fitting, Interconnect, Slot
from restoration.people.access import needs
from restoration.people.roles import Permission
from restoration.proving.forms.wire_checks import JoinForm, LiftForm, RingOutForm
from restoration.proving.models import Joining, RingOut
from restoration.proving.services.wire_checks import (
    SHORT_BELOW_OHM,
    THROUGH_UP_TO_OHM,
    is_joined,
    join_wire,
    lift_wire,
    ring_out,
)
from restoration.proving.views.acts import load_link, me_of, sent, stored_address, to_be_corrected
from restoration.proving.wording import ohms


@needs(Permission.JOIN_WIRE)
def join(request: HttpRequest, code: str) -> HttpResponse:
    """Record that both ends were joined, or made again."""
    link = load_link(code)
    joined = is_joined(link, timezone.now())
    replaces = to_be_corrected(request, Joining, link)
    form = JoinForm(sent(request), me=me_of(request), replaces=replaces, joined=joined and replaces is None)

    def act() -> str:
        given = form.cleaned_data
        record = join_wire(interconnect=link, kind=given["kind"], remarks=given["remarks"], **form.heading())
        messages.success(request, f"Recorded: link {link.code} {record.kind}, viewed by {record.second_person}.")
        return link.get_absolute_url()

    address = stored_address(form, act)
    return redirect(address) if address else _show(request, "join", link, form, {"joined": joined})


@needs(Permission.JOIN_WIRE)
def lift(request: HttpRequest, code: str) -> HttpResponse:
    """Record that an end was opened on purpose."""
    link = load_link(code)
    form = LiftForm(sent(request), me=me_of(request), replaces=to_be_corrected(request, Joining, link))

    def act() -> str:
        lift_wire(interconnect=link, remarks=form.cleaned_data["remarks"], **form.heading())
        messages.success(request, f"Recorded: link {link.code} lifted.")
        return link.get_absolute_url()

    address = stored_address(form, act)
    return redirect(address) if address else _show(request, "lift", link, form, {})


@needs(Permission.JOIN_WIRE)
def ring(request: HttpRequest, code: str) -> HttpResponse:
    """Record that a wire was rung out."""
    link = load_link(code)
    form = RingOutForm(sent(request), me=me_of(request), replaces=to_be_corrected(request, RingOut, link))

    def act() -> str:
        names = ("resistance_ohm", "to_chassis_ohm", "both_labels_read", "test_v", "remarks")
        figures = {name: form.cleaned_data[name] for name in names}
        record = ring_out(interconnect=link, **figures, **form.heading())
        said = (
            f"Recorded: link {link.code} rung out, {ohms(record.resistance_ohm)} end to end. Result: {record.result}."
        )
        messages.success(request, said)
        return link.get_absolute_url()

    address = stored_address(form, act)
    rule = {"through_ohm": THROUGH_UP_TO_OHM, "short_ohm": SHORT_BELOW_OHM, "joined": is_joined(link, timezone.now())}
    return redirect(address) if address else _show(request, "ring_out", link, form, rule)


def _show(request: HttpRequest, page: str, link: Interconnect, form: Any, more: dict[str, Any]) -> HttpResponse:
    context = {"link": link, "form": form, "replaces": form.replaces, "empty_slots": empty_slots(link), **more}
    return show(request, f"proving/{page}.html", context, status=422 if form.is_bound else 200)


def empty_slots(link: Interconnect) -> list[Slot]:
    """List the slots at the ends of a link in which nothing is fitted now."""
    ends = {slot.pk: slot for slot in (link.source.slot, link.load.slot)}
    fitted = set(Fitting.objects.standing().filter(slot__in=ends).values_list("slot_id", flat=True))
    return [slot for key, slot in ends.items() if key not in fitted]
