"""What this app shows on the pages of a chassis and of a design, which belong to the machine."""

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from restoration.common.panels import add_panel
from restoration.machine.models import Chassis, Design
from restoration.people.roles import Permission, may
from restoration.workshop.coils.reckoning import winding_words
from restoration.workshop.models import CoilRecipe, Step, StepKind
from restoration.workshop.order import may_follow
from restoration.workshop.reading import NextAct, Way, photos_of, way_of

NEWEST_PHOTOS = 8


def register() -> None:
    """Put the way and the acts of a chassis on its page."""
    add_panel("chassis", order=10, name="way", render=way_panel)
    add_panel("chassis-actions", order=10, name="way", render=acts_panel)
    add_panel("chassis-actions", order=90, name="way back", render=way_back_panel)
    add_panel("design", order=60, name="coils", render=coils_panel)


def way_panel(request: HttpRequest, chassis: Chassis) -> SafeString:
    """Draw where a chassis stands on its way, and its newest photographs."""
    context = {"way": way_of(chassis), "photos": list(photos_of(chassis)[:NEWEST_PHOTOS])}
    return render_to_string("workshop/_panel_way.html", context, request=request)


def acts_panel(request: HttpRequest, chassis: Chassis) -> SafeString:
    """Draw what this person may do next with a chassis."""
    way = way_of(chassis)
    return render_to_string("workshop/_panel_acts.html", {"chassis": chassis, "acts": acts(request, way)})


def way_back_panel(request: HttpRequest, chassis: Chassis) -> SafeString:
    """Draw, after all that leads on, the way back to the builder."""
    person = request.user if request.user.is_authenticated else None
    back = NextAct("Send it back for rework", "workshop:send-back")
    open_to = may(person, Permission.RECEIVE_CHASSIS) and may_follow(Step.objects.of(chassis), StepKind.SENT_BACK)
    return render_to_string("workshop/_panel_acts.html", {"chassis": chassis, "acts": [back] if open_to else []})


def coils_panel(request: HttpRequest, design: Design) -> SafeString:
    """List the coils that a drawing calls for, each leading to its card."""
    coils = [(coil, winding_words(coil)) for coil in CoilRecipe.objects.filter(designs=design).order_by("code")]
    return render_to_string("workshop/coils/_panel.html", {"coils": coils}, request=request)


def acts(request: HttpRequest, way: Way) -> list[NextAct]:
    """List what this person may do next: allot it, go on with it."""
    person = request.user if request.user.is_authenticated else None
    found = []
    if may(person, Permission.ALLOT_CHASSIS) and may_follow(way.steps, StepKind.ALLOTTED):
        again = " to another" if way.chassis.builder_id else ""
        found.append(NextAct(f"Allot it{again}", "workshop:chassis-allot"))
    if way.next_act and may(person, Permission.BUILD_CHASSIS, owner_id=way.chassis.builder_id):
        found.append(NextAct("Go on with it", "workshop:chassis-work"))
    return found
