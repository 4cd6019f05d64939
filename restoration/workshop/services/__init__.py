"""Acts of the workshop, by noun."""

from restoration.workshop.order import stage_of
from restoration.workshop.services.photos import add_photo
from restoration.workshop.services.steps import allot, hand_over, take_step

__all__ = ["add_photo", "allot", "hand_over", "stage_of", "take_step"]
