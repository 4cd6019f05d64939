"""The workshop: a chassis on its way, what is in the stores, and how coils are made."""

from restoration.workshop.models.recipes import CoilRecipe, Winding
from restoration.workshop.models.steps import Photo, Step, StepKind
from restoration.workshop.models.stores import Grade, PartKind, StoresLine

__all__ = ["CoilRecipe", "Grade", "PartKind", "Photo", "Step", "StepKind", "StoresLine", "Winding"]
