"""The panel “Log book” on the pages of things: the last lines about each."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from restoration.common.panels import add_panel
from restoration.logbook.models import Entry

SHOWN = 8
ORDER = 90
# place of the panel: kind of the subject, and what its lines are kept under
SUBJECTS: dict[str, tuple[str, Callable[[Any], str]]] = {
    "chassis": ("chassis", lambda chassis: chassis.serial),
    "interconnect": ("link", lambda interconnect: interconnect.code),
    "rack": ("rack", lambda rack: rack.code),
    "slot": ("slot", lambda slot: slot.code),
    "design": ("design", lambda design: design.number),
    "signal": ("signal", lambda signal: signal.name),
    "rail": ("rail", lambda rail: rail.code),
    "earth": ("earth", lambda earth: earth.code),
    "person": ("person", lambda person: str(person.pk)),
}


def register() -> None:
    """Offer the panel for every kind of thing that lines are written about."""
    for place in SUBJECTS:
        add_panel(place, order=ORDER, name="Log book", render=_drawer(place))


def _drawer(place: str) -> Callable[[HttpRequest, Any], SafeString]:
    kind, code_of = SUBJECTS[place]

    def draw(request: HttpRequest, subject: Any) -> SafeString:
        return last_lines(request, kind, code_of(subject))

    return draw


def last_lines(request: HttpRequest, kind: str, code: str) -> SafeString:
    """Draw the newest lines about one thing, with a way to all of them; one query."""
    lines = list(Entry.objects.about(kind, code).newest_first()[: SHOWN + 1])
    context = {"lines": lines[:SHOWN], "more": len(lines) > SHOWN, "kind": kind, "code": code}
    return render_to_string("logbook/_last_lines.html", context, request=request)
