"""Pages of the builder's work, made for a phone first."""

import uuid
from collections.abc import Callable
from typing import cast

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse

from restoration.common.pages import show
from restoration.common.posts import TokenForm, store_once
from restoration.machine.models import Chassis
from restoration.people.access import needs, require
from restoration.people.models import Person
from restoration.people.roles import Permission
from restoration.workshop import services
from restoration.workshop.forms import AllotForm, HandOverForm, PhotoForm, StepForm
from restoration.workshop.models import Photo, StepKind
from restoration.workshop.order import why_not
from restoration.workshop.reading import Way, mine, photos_of, way_of

K = StepKind
# The steps that a builder takes with a page of their own; the others have pages that ask for more.
STEPS = {
    K.IN_HAND: ("Take in hand", "I take it in hand"),
    K.NOTE: ("A note", "Write it down"),
    K.STUCK: ("Stuck", "Tell the site"),
    K.GOING_ON: ("Getting on again", "I am getting on again"),
    K.BUILT: ("Built", "It is built"),
}
STORED = {
    K.IN_HAND: "Chassis {} is in hand.",
    K.NOTE: "Your note on chassis {} is stored.",
    K.STUCK: "The site knows that you are stuck with chassis {}.",
    K.GOING_ON: "Chassis {} is going on again.",
    K.BUILT: "Chassis {} is built. Hand it over when it leaves you.",
}


@needs(Permission.SEE_RECORDS)
def chassis_mine(request: HttpRequest) -> HttpResponse:
    """The chassis that one builds oneself."""
    found = mine(_me(request))
    waiting = sum(way.next_act is not None for way in found)
    return show(request, "workshop/chassis_mine.html", {"ways": found, "waiting": waiting})


@needs(Permission.SEE_RECORDS)
def chassis_work(request: HttpRequest, serial: str) -> HttpResponse:
    """One chassis on its way: where it stands, and one large action."""
    way = way_of(_chassis(serial))
    may_build = _me(request).may(Permission.BUILD_CHASSIS, owner_id=way.chassis.builder_id)
    context = {
        "way": way,
        "chassis": way.chassis,
        "photos": photos_of(way.chassis),
        "may_build": may_build,
        "form_token": uuid.uuid4(),
    }
    return show(request, "workshop/chassis_work.html", context)


@needs(Permission.BUILD_CHASSIS)
def step_add(request: HttpRequest, serial: str, kind: str) -> HttpResponse:
    """A step of one's own chassis."""
    if kind not in STEPS:
        raise Http404(f"There is no step “{kind}” of a chassis.")
    way = _own(request, serial)
    form = StepForm(_sent(request), me=_me(request), kind=kind)

    def act() -> str:
        services.take_step(
            chassis=way.chassis,
            kind=kind,
            done_by=form.cleaned_data["done_by"],
            entered_by=_me(request),
            at=form.cleaned_data["done_at"],
            text=form.cleaned_data["text"],
        )
        return _work(serial)

    name, press = STEPS[K(kind)]
    done = STORED[K(kind)].format(serial)
    answer = _stored(request, form, act, done)
    refused = why_not(serial, way.steps, kind)
    return answer or _page(request, "step", way, form, name=name, press=press, refused=refused, kind=kind)


@needs(Permission.BUILD_CHASSIS)
def hand_over(request: HttpRequest, serial: str) -> HttpResponse:
    """A built chassis given to the site, with what goes along."""
    way = _own(request, serial)
    form = HandOverForm(_sent(request), me=_me(request))

    def act() -> str:
        given = form.cleaned_data
        services.hand_over(
            chassis=way.chassis,
            done_by=given["done_by"],
            entered_by=_me(request),
            readings=given["readings"],
            snags=given["snags"],
            spare_parts=given["spare_parts"],
            at=given["done_at"],
        )
        return _work(serial)

    answer = _stored(request, form, act, f"Chassis {serial} is handed over. Thank you.")
    return answer or _page(request, "hand_over", way, form, refused=why_not(serial, way.steps, K.HANDED_OVER))


@needs(Permission.RECEIVE_CHASSIS)
def send_back(request: HttpRequest, serial: str) -> HttpResponse:
    """A chassis given back to its builder for rework."""
    way = way_of(_chassis(serial))
    form = StepForm(_sent(request), me=_me(request), kind=K.SENT_BACK)

    def act() -> str:
        services.take_step(
            chassis=way.chassis,
            kind=K.SENT_BACK,
            done_by=form.cleaned_data["done_by"],
            entered_by=_me(request),
            at=form.cleaned_data["done_at"],
            text=form.cleaned_data["text"],
        )
        return _work(serial)

    answer = _stored(request, form, act, f"Chassis {serial} goes back for rework.")
    refused = why_not(serial, way.steps, K.SENT_BACK)
    names = {"name": "Send back for rework", "press": "Send it back", "kind": K.SENT_BACK}
    return answer or _page(request, "step", way, form, refused=refused, **names)


@needs(Permission.ALLOT_CHASSIS)
def chassis_allot(request: HttpRequest, serial: str) -> HttpResponse:
    """A chassis given to a builder."""
    way = way_of(_chassis(serial))
    form = AllotForm(_sent(request))

    def act() -> str:
        given = form.cleaned_data
        services.allot(chassis=way.chassis, builder=given["builder"], by=_me(request), text=given["text"])
        return _work(serial)

    answer = _stored(request, form, act, f"Chassis {serial} is allotted.")
    return answer or _page(request, "allot", way, form, refused=why_not(serial, way.steps, K.ALLOTTED))


@needs(Permission.BUILD_CHASSIS)
def photo_add(request: HttpRequest, serial: str) -> HttpResponse:
    """A photograph, straight from the camera or chosen."""
    way = _own(request, serial)
    form = PhotoForm(_sent(request), request.FILES if request.method == "POST" else None)

    def act() -> str:
        for photo in form.photos:
            services.add_photo(chassis=way.chassis, file=photo, caption=form.cleaned_data["caption"], by=_me(request))
        return _work(serial)

    answer = _stored(request, form, act, f"The photograph of chassis {serial} is stored.")
    return answer or _page(request, "photo_add", way, form)


@needs(Permission.SEE_RECORDS)
def photo_image(request: HttpRequest, pk: int) -> FileResponse:
    """A photograph, as large as it is kept."""
    return _jpeg(get_object_or_404(Photo, pk=pk).image)


@needs(Permission.SEE_RECORDS)
def photo_small(request: HttpRequest, pk: int) -> FileResponse:
    """A photograph for lists."""
    return _jpeg(get_object_or_404(Photo, pk=pk).small)


def _jpeg(kept: FieldFile) -> FileResponse:
    if not kept.name or not kept.storage.exists(kept.name):
        raise Http404("The file of this photograph is not where it was put.")
    answer = FileResponse(kept.open("rb"), content_type="image/jpeg")
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer


def _me(request: HttpRequest) -> Person:
    return cast(Person, request.user)


def _sent(request: HttpRequest) -> QueryDict | None:
    """Give what was posted, even if nothing was filled in; None where the form is only looked at."""
    return request.POST if request.method == "POST" else None


def _chassis(serial: str) -> Chassis:
    return get_object_or_404(Chassis, serial=serial)


def _own(request: HttpRequest, serial: str) -> Way:
    """Load a chassis that one may move on: one's own, or any for who may do so with any."""
    way = way_of(_chassis(serial))
    require(request.user, Permission.BUILD_CHASSIS, owner_id=way.chassis.builder_id)
    return way


def _work(serial: str) -> str:
    return reverse("workshop:chassis-work", args=[serial])


def _stored(request: HttpRequest, form: TokenForm, act: Callable[[], str], done: str) -> HttpResponse | None:
    """Store a sent form once and lead on; nothing where the form is to be shown (again)."""
    if request.method != "POST" or not form.is_valid():
        return None
    try:
        address = store_once(form.cleaned_data["form_token"], act)
    except ValidationError as refused:
        form.add_error(None, refused)
        return None
    messages.success(request, done)
    return redirect(address)


def _page(request: HttpRequest, page: str, way: Way, form: TokenForm, **more: object) -> HttpResponse:
    context = {"way": way, "chassis": way.chassis, "form": form, **more}
    status = 422 if form.is_bound else 200
    return show(request, f"workshop/{page}.html", context, status=status)
