"""Pages of the builder's work, made for a phone first."""

import uuid

from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.acting import Act, answer_form
from restoration.common.pages import show
from restoration.common.posts import TokenForm, posted
from restoration.machine.models import Chassis
from restoration.people.access import needs, require, who
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
    found = mine(who(request))
    waiting = sum(way.next_act is not None for way in found)
    return show(request, "workshop/chassis_mine.html", {"ways": found, "waiting": waiting})


@needs(Permission.SEE_RECORDS)
def chassis_work(request: HttpRequest, serial: str) -> HttpResponse:
    """One chassis on its way: where it stands, and one large action."""
    way = way_of(_chassis(serial))
    may_build = who(request).may(Permission.BUILD_CHASSIS, owner_id=way.chassis.builder_id)
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
    form = StepForm(posted(request), me=who(request), kind=kind)

    def act() -> str:
        services.take_step(
            chassis=way.chassis,
            kind=kind,
            done_by=form.cleaned_data["done_by"],
            entered_by=who(request),
            at=form.cleaned_data["done_at"],
            text=form.cleaned_data["text"],
        )
        return _work(serial)

    name, press = STEPS[K(kind)]
    done = STORED[K(kind)].format(serial)
    refused = why_not(serial, way.steps, kind)
    return _answer(request, "step", way, form, act, done, name=name, press=press, refused=refused, kind=kind)


@needs(Permission.BUILD_CHASSIS)
def hand_over(request: HttpRequest, serial: str) -> HttpResponse:
    """A built chassis given to the site, with what goes along."""
    way = _own(request, serial)
    form = HandOverForm(posted(request), me=who(request))

    def act() -> str:
        given = form.cleaned_data
        services.hand_over(
            chassis=way.chassis,
            done_by=given["done_by"],
            entered_by=who(request),
            readings=given["readings"],
            snags=given["snags"],
            spare_parts=given["spare_parts"],
            at=given["done_at"],
        )
        return _work(serial)

    done = f"Chassis {serial} is handed over. Thank you."
    refused = why_not(serial, way.steps, K.HANDED_OVER)
    return _answer(request, "hand_over", way, form, act, done, refused=refused)


@needs(Permission.RECEIVE_CHASSIS)
def send_back(request: HttpRequest, serial: str) -> HttpResponse:
    """A chassis given back to its builder for rework."""
    way = way_of(_chassis(serial))
    form = StepForm(posted(request), me=who(request), kind=K.SENT_BACK)

    def act() -> str:
        services.take_step(
            chassis=way.chassis,
            kind=K.SENT_BACK,
            done_by=form.cleaned_data["done_by"],
            entered_by=who(request),
            at=form.cleaned_data["done_at"],
            text=form.cleaned_data["text"],
        )
        return _work(serial)

    done = f"Chassis {serial} goes back for rework."
    refused = why_not(serial, way.steps, K.SENT_BACK)
    names = {"name": "Send back for rework", "press": "Send it back", "kind": K.SENT_BACK}
    return _answer(request, "step", way, form, act, done, refused=refused, **names)


@needs(Permission.ALLOT_CHASSIS)
def chassis_allot(request: HttpRequest, serial: str) -> HttpResponse:
    """A chassis given to a builder."""
    way = way_of(_chassis(serial))
    form = AllotForm(posted(request))

    def act() -> str:
        given = form.cleaned_data
        services.allot(chassis=way.chassis, builder=given["builder"], by=who(request), text=given["text"])
        return _work(serial)

    refused = why_not(serial, way.steps, K.ALLOTTED)
    return _answer(request, "allot", way, form, act, f"Chassis {serial} is allotted.", refused=refused)


@needs(Permission.BUILD_CHASSIS)
def photo_add(request: HttpRequest, serial: str) -> HttpResponse:
    """A photograph, straight from the camera or chosen."""
    way = _own(request, serial)
    form = PhotoForm(posted(request), request.FILES if request.method == "POST" else None)

    def act() -> str:
        for photo in form.photos:
            services.add_photo(chassis=way.chassis, file=photo, caption=form.cleaned_data["caption"], by=who(request))
        return _work(serial)

    return _answer(request, "photo_add", way, form, act, f"The photograph of chassis {serial} is stored.")


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


def _chassis(serial: str) -> Chassis:
    return get_object_or_404(Chassis, serial=serial)


def _own(request: HttpRequest, serial: str) -> Way:
    """Load a chassis that one may move on: one's own, or any for who may do so with any."""
    way = way_of(_chassis(serial))
    require(request.user, Permission.BUILD_CHASSIS, owner_id=way.chassis.builder_id)
    return way


def _work(serial: str) -> str:
    return reverse("workshop:chassis-work", args=[serial])


def _answer(
    request: HttpRequest, page: str, way: Way, form: TokenForm, act: Act, done: str, **more: object
) -> HttpResponse:
    context = {"way": way, "chassis": way.chassis, **more}
    return answer_form(request, form, act, f"workshop/{page}.html", context, done=done)
