"""Following a signal along the wiring, hop by hop, upstream or downstream."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse

from restoration.common.pages import show
from restoration.machine.following.asked import ALL, HOPS, MOST_HOPS, Asked, read_asked
from restoration.machine.following.drawing import draw
from restoration.machine.following.listing import listed
from restoration.machine.following.sheet import sheet_of
from restoration.machine.wiring import Place, find_place, place_of_link
from restoration.people.access import needs
from restoration.people.roles import Permission


@dataclass(frozen=True)
class HopChoice:
    """One choice of how far to follow."""

    value: str
    word: str
    is_chosen: bool


def hop_choices(asked: Asked) -> list[HopChoice]:
    """How far a signal may be followed."""
    near = [
        HopChoice(str(hops), f"{hops} hop{'s' if hops > 1 else ''}", hops == asked.hops) for hops in _offered(asked)
    ]
    return [*near, HopChoice(ALL, "to the end", asked.hops is None)]


def _offered(asked: Asked) -> list[int]:
    return sorted({1, 2, HOPS, 6, MOST_HOPS, asked.hops or HOPS})


@needs(Permission.SEE_RECORDS)
def follow(request: HttpRequest) -> HttpResponse:
    asked, wrong = read_asked(request.GET)
    context = {"asked": asked, "wrong": wrong, "hop_choices": hop_choices(asked)}
    if wrong:
        return show(request, "machine/follow.html", context, status=422)
    if not asked.says_where:
        return show(request, "machine/follow.html", context)
    try:
        place = _place(asked)
    except ValidationError as refusal:
        return show(request, "machine/follow.html", {**context, "wrong": refusal.messages}, status=404)
    sheet = sheet_of(asked, place)
    return show(
        request, "machine/follow_sheet.html", {**context, "sheet": sheet, "drawing": draw(sheet), "hops": listed(sheet)}
    )


def _place(asked: Asked) -> Place:
    return place_of_link(asked.link) if asked.link else find_place(asked.place)
