"""Pages on which a link is joined, lifted and rung out."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from restoration.common.acting import Act, answer_form
from restoration.common.posts import posted
from restoration.machine.models import Interconnect
from restoration.people.access import needs, who
from restoration.people.roles import Permission
from restoration.proving.forms.wire_checks import JoinForm, LiftForm, RingOutForm
from restoration.proving.in_place import empty_slots
from restoration.proving.models import Joining, RingOut
from restoration.proving.services.wire_checks import (
    SHORT_BELOW_OHM,
    THROUGH_UP_TO_OHM,
    is_joined,
    join_wire,
    lift_wire,
    ring_out,
)
from restoration.proving.views.acts import load_link, to_be_corrected
from restoration.proving.wording import ohms


@needs(Permission.JOIN_WIRE)
def join(request: HttpRequest, code: str) -> HttpResponse:
    """Record that both ends were joined, or made again."""
    link = load_link(code)
    joined = is_joined(link, timezone.now())
    replaces = to_be_corrected(request, Joining, interconnect=link)
    form = JoinForm(posted(request), me=who(request), replaces=replaces, joined=joined and replaces is None)

    def act() -> str:
        given = form.cleaned_data
        record = join_wire(interconnect=link, kind=given["kind"], remarks=given["remarks"], **form.heading())
        messages.success(request, f"Recorded: link {link.code} {record.kind}, viewed by {record.second_person}.")
        return link.get_absolute_url()

    return _answer(request, "join", link, form, act, joined=joined)


@needs(Permission.JOIN_WIRE)
def lift(request: HttpRequest, code: str) -> HttpResponse:
    """Record that an end was opened on purpose."""
    link = load_link(code)
    form = LiftForm(posted(request), me=who(request), replaces=to_be_corrected(request, Joining, interconnect=link))

    def act() -> str:
        lift_wire(interconnect=link, remarks=form.cleaned_data["remarks"], **form.heading())
        messages.success(request, f"Recorded: link {link.code} lifted.")
        return link.get_absolute_url()

    return _answer(request, "lift", link, form, act)


@needs(Permission.JOIN_WIRE)
def ring(request: HttpRequest, code: str) -> HttpResponse:
    """Record that a wire was rung out."""
    link = load_link(code)
    form = RingOutForm(posted(request), me=who(request), replaces=to_be_corrected(request, RingOut, interconnect=link))

    def act() -> str:
        names = ("resistance_ohm", "to_chassis_ohm", "both_labels_read", "test_v", "remarks")
        figures = {name: form.cleaned_data[name] for name in names}
        record = ring_out(interconnect=link, **figures, **form.heading())
        said = (
            f"Recorded: link {link.code} rung out, {ohms(record.resistance_ohm)} end to end. Result: {record.result}."
        )
        messages.success(request, said)
        return link.get_absolute_url()

    rule = {"through_ohm": THROUGH_UP_TO_OHM, "short_ohm": SHORT_BELOW_OHM, "joined": is_joined(link, timezone.now())}
    return _answer(request, "ring_out", link, form, act, **rule)


def _answer(request: HttpRequest, page: str, link: Interconnect, form: Any, act: Act, **more: object) -> HttpResponse:
    context = {"link": link, "replaces": form.replaces, "empty_slots": empty_slots(link, timezone.now()), **more}
    return answer_form(request, form, act, f"proving/{page}.html", context)
