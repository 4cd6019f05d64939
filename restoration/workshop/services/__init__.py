"""Acts of the workshop, by noun."""

from restoration.workshop.order import stage_of
from restoration.workshop.services.photos import add_photo
from restoration.workshop.services.recipes import RecipeGiven, add_recipe, edit_recipe
from restoration.workshop.services.steps import allot, hand_over, take_step
from restoration.workshop.services.stores import (
    MOST_PARTS,
    ListedPart,
    PartGiven,
    add_to_stores,
    bring_in_stores,
    edit_stores_line,
    put_into_stores,
    take_from_stores,
)

__all__ = [
    "MOST_PARTS",
    "ListedPart",
    "PartGiven",
    "RecipeGiven",
    "add_photo",
    "add_recipe",
    "add_to_stores",
    "allot",
    "bring_in_stores",
    "edit_recipe",
    "edit_stores_line",
    "hand_over",
    "put_into_stores",
    "stage_of",
    "take_from_stores",
    "take_step",
]
