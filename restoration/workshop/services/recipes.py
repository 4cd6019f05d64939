"""Writing down how a coil is made."""

import math
from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from restoration.common.versions import EditedMeanwhile, save_version
from restoration.logbook.services import write_line
from restoration.machine.models import Design
from restoration.people.models import Person
from restoration.workshop.coils.reckoning import recipe_of, winding_words
from restoration.workshop.models import CoilRecipe, Winding

LARGEST_M = 1.0  # across a former or along a winding; beyond it a slip is taken for granted


@dataclass(frozen=True)
class RecipeGiven:
    """How a coil is made, in SI units, tolerances as parts of one; the fields are those of the recipe."""

    title: str
    former_m: float
    bare_m: float
    covered_m: float
    turns: int
    winding: str = Winding.SINGLE
    layers: int = 1
    winding_length_m: float | None = None
    pitch_m: float | None = None
    wire: str = ""
    wanted_h: float | None = None
    tolerance: float | None = None
    body_ohm: float | None = None
    body_tolerance: float | None = None
    body_w: float | None = None
    stray_f: float | None = None
    purpose: str = ""
    finish: str = ""
    remarks: str = ""


@transaction.atomic
def add_recipe(*, code: str, given: RecipeGiven, by: Person | None, designs: Iterable[Design] = ()) -> CoilRecipe:
    """Write down a coil that nobody wrote down yet; refused, in a sentence, where it cannot be wound."""
    recipe = _checked(CoilRecipe(code=code), given)
    try:
        with transaction.atomic():
            recipe.save(force_insert=True)
    except IntegrityError:
        _refuse_taken(code)
        raise
    recipe.designs.set(on_it := list(designs))
    _write(recipe, by, "coil recipe added", "wrote down", {"designs": [design.number for design in on_it]})
    return recipe


@transaction.atomic
def edit_recipe(
    *, recipe: CoilRecipe, version: int, given: RecipeGiven, by: Person | None, designs: Iterable[Design] = ()
) -> CoilRecipe:
    """Write anew how a coil is made, keeping what it was in the log; refused if someone else did so meanwhile."""
    if recipe.version != version:
        raise EditedMeanwhile(recipe)
    before = {name: getattr(recipe, name) for name in vars(given)}
    were, are = [design.number for design in recipe.designs.order_by("number")], list(designs)
    _checked(copy(recipe), given)
    save_version(recipe, version=version, **vars(given))
    recipe.designs.set(are)
    changed: dict[str, Any] = {name: [before[name], now] for name, now in vars(given).items() if before[name] != now}
    if were != (numbers := sorted(design.number for design in are)):
        changed["designs"] = [were, numbers]
    _write(recipe, by, "coil recipe changed", "wrote anew", {"changed": changed})
    return recipe


def _checked(row: CoilRecipe, given: RecipeGiven) -> CoilRecipe:
    """Give the row these facts if such a coil can be wound."""
    for name, words in (("former_m", "the diameter of a former"), ("winding_length_m", "a winding length")):
        _refuse_size(name, words, getattr(given, name))
    if given.body_w is not None and not 0.0 < given.body_w < math.inf:
        raise ValidationError({"body_w": f"{given.body_w:g} W was given; the rating of a body is above zero."})
    for name, value in vars(given).items():
        setattr(row, name, value)
    try:
        recipe_of(row)
    except ValueError as impossible:
        raise ValidationError(str(impossible)) from impossible
    row.full_clean(validate_unique=False)
    if row.pk is None:
        _refuse_taken(row.code)
    return row


def _refuse_size(name: str, words: str, given_m: float | None) -> None:
    if given_m is not None and not 0.0 < given_m <= LARGEST_M:
        sentence = f"{given_m * 1e3:g} mm was given; {words} is above 0 and at most {LARGEST_M * 1e3:g} mm."
        raise ValidationError({name: sentence})


def _refuse_taken(code: str) -> None:
    if CoilRecipe.objects.filter(code=code).exists():
        raise ValidationError({"code": f"There is a coil {code} already; the code of a coil is used once."})


def _write(recipe: CoilRecipe, by: Person | None, act: str, did: str, details: dict[str, Any]) -> None:
    write_line(
        act=act,
        sentence=f"{by or 'The command line'} {did} how coil {recipe.code} is made: {winding_words(recipe)}.",
        by=by,
        subject_kind="coil",
        subject_code=recipe.code,
        details=details,
    )
