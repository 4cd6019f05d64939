"""The changes so far on the machine's pages, and the way to record one."""

from collections.abc import Callable
from typing import Any

from django.db.models import Q
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.http import urlencode
from django.utils.safestring import SafeString

from restoration.commissioning.models import Change
from restoration.common.panels import Render, add_panel

SHOWN = 5
Words = Callable[[Any], dict[str, str]]


def _slot(slot: Any) -> dict[str, str]:
    return {"slot": slot.code}


def _chassis(chassis: Any) -> dict[str, str]:
    return {"chassis": chassis.serial}


def _link(link: Any) -> dict[str, str]:
    return {"link": link.code}


def _rack(rack: Any) -> dict[str, str]:
    return {"rack": rack.code}


def _rail(rail: Any) -> dict[str, str]:
    return {"rail": rail.code}


def _earth(earth: Any) -> dict[str, str]:
    return {"earth": earth.code}


def _design(design: Any) -> dict[str, str]:
    return {"design": design.number}


def _of(field: str) -> Callable[[Any], Q]:
    return lambda thing: Q(**{field: thing})


def _of_chassis(chassis: Any) -> Q:
    return Q(chassis=chassis) | Q(taken_out__chassis=chassis)


# Place of the page, what its address is called in the list of changes, and which changes are its own.
PLACES: dict[str, tuple[Words, Callable[[Any], Q]]] = {
    "slot": (_slot, _of("slot")),
    "chassis": (_chassis, _of_chassis),
    "interconnect": (_link, _of("interconnect")),
    "rack": (_rack, _of("racks")),
    "rail": (_rail, _of("rail")),
    "earth": (_earth, _of("earth")),
    "design": (_design, _of("issue__design")),
}
ACTIONS = {
    "slot": "slot-actions",
    "chassis": "chassis-actions",
    "interconnect": "interconnect-actions",
    "rack": "rack-actions",
}
IN_A_ROW = frozenset({"chassis-actions", "interconnect-actions", "slot-actions"})


def changes_so_far(words: Words, which: Callable[[Any], Q]) -> Render:
    """Give what draws the newest changes of a thing; one read."""

    def render(request: HttpRequest, thing: Any) -> SafeString:
        found = Change.objects.filter(which(thing)).select_related("replaced_by").newest_first()[: SHOWN + 1]
        changes = list(found)
        context = {"changes": changes[:SHOWN], "has_more": len(changes) > SHOWN, "more": urlencode(words(thing))}
        return render_to_string("commissioning/_changes_so_far.html", context, request)

    return render


def record_one(words: Words, *, wrapped: bool) -> Render:
    """Give what draws the way to record a change of a thing."""

    def render(request: HttpRequest, thing: Any) -> SafeString:
        context = {"words": urlencode(words(thing)), "wrapped": wrapped}
        return render_to_string("commissioning/_record_change.html", context, request)

    return render


def instrument_acts(request: HttpRequest, instrument: Any) -> SafeString:
    """The way to say that an instrument was out of limits, and to what was said of it before."""
    return render_to_string("commissioning/_instrument_acts.html", {"instrument": instrument}, request)


def register() -> None:
    """Put each panel in its place."""
    for place, (words, which) in PLACES.items():
        add_panel(place, order=80, name="changes so far", render=changes_so_far(words, which))
        at = ACTIONS.get(place, place)
        add_panel(at, order=81, name="record a change", render=record_one(words, wrapped=at not in IN_A_ROW))
    add_panel("instrument-actions", order=80, name="found out of limits", render=instrument_acts)
