"""Coils: their list, the card that one is wound by, and what is filled in."""

from dataclasses import dataclass

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.acting import REFUSED, answer_form
from restoration.common.lists import part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.engineering.figures import HERTZ, read_figure
from restoration.logbook.models import Entry
from restoration.machine.models import Design
from restoration.people.access import needs, who
from restoration.people.roles import Permission
from restoration.workshop import services
from restoration.workshop.coils.drawing import draw
from restoration.workshop.coils.forms import RecipeEditForm, RecipeForm, recipe_as_stored
from restoration.workshop.coils.reckoning import Card, card_of, frequency_words, winding_words
from restoration.workshop.models import CoilRecipe

NEWEST_LINES = 6
FORM = "workshop/coils/form.html"
BY_NUMBER = Prefetch("designs", Design.objects.order_by("number"))


@dataclass(frozen=True)
class Line:
    """One coil in the list: its recipe, its winding in words, and what it comes to."""

    recipe: CoilRecipe
    winding: str
    card: Card


@needs(Permission.SEE_RECORDS)
def coil_list(request: HttpRequest) -> HttpResponse:
    """The coils that are written down, by their codes."""
    page_obj = part_of(request, CoilRecipe.objects.prefetch_related(BY_NUMBER).order_by("code"))
    lines = [Line(recipe, winding_words(recipe), card_of(recipe)) for recipe in page_obj]
    return show(request, "workshop/coils/list.html", {"page_obj": page_obj, "lines": lines})


@needs(Permission.SEE_RECORDS)
def coil_card(request: HttpRequest, code: str) -> HttpResponse:
    """The card of a coil: what the maker winds by, what it should come to, and room for what was measured."""
    recipe = get_object_or_404(CoilRecipe.objects.prefetch_related(BY_NUMBER), code=code)
    asked = request.GET.get("at", "").strip()
    frequency_hz, wrong = _frequency(asked)
    card = card_of(recipe, frequency_hz)
    told_hz = frequency_hz or (card.figures.quality.frequency_hz if card.figures else None)
    context = {
        "recipe": recipe,
        "winding": winding_words(recipe),
        "card": card,
        "drawing": draw(card.coil) if card.coil else None,
        "at": asked if wrong or not told_hz else frequency_words(told_hz),
        "wrong": wrong,
        "story": Entry.objects.about("coil", code).newest_first()[:NEWEST_LINES],
    }
    return show(request, "workshop/coils/card.html", context, status=REFUSED if wrong else 200)


def _frequency(asked: str) -> tuple[float | None, str]:
    """The frequency to tell Q at, or why what was asked for is none."""
    if not asked:
        return None, ""
    try:
        frequency_hz = read_figure(asked, HERTZ)
    except ValueError as wrong:
        return None, str(wrong)
    return (frequency_hz, "") if frequency_hz > 0.0 else (None, f"A frequency is above zero; {asked[:40]} was given.")


@needs(Permission.WRITE_RECIPES)
def coil_add(request: HttpRequest) -> HttpResponse:
    """Write down a coil."""
    form = RecipeForm(posted(request))

    def act() -> str:
        given = form.cleaned_data
        recipe = services.add_recipe(code=given["code"], given=form.given(), by=who(request), designs=given["designs"])
        return recipe.get_absolute_url()

    return answer_form(request, form, act, FORM, {"back": reverse("workshop:coils")})


@needs(Permission.WRITE_RECIPES)
def coil_edit(request: HttpRequest, code: str) -> HttpResponse:
    """Write anew how a coil is made."""
    recipe = get_object_or_404(CoilRecipe, code=code)
    form = RecipeEditForm(posted(request), initial=recipe_as_stored(recipe))

    def act() -> str:
        given = form.cleaned_data
        services.edit_recipe(
            recipe=recipe,
            version=given["version"],
            given=form.given(),
            by=who(request),
            designs=given["designs"],
        )
        return recipe.get_absolute_url()

    context = {"recipe": recipe, "back": recipe.get_absolute_url()}
    return answer_form(request, form, act, FORM, context, stored=recipe_as_stored)
