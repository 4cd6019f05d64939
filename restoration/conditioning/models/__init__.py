"""What was reckoned about signals in place, and what was fitted because of it."""

from restoration.conditioning.models.constants import FittedConstant, WiringFit
from restoration.conditioning.models.notes import ModificationNote, NoteClass, NotePart
from restoration.conditioning.models.predictions import PredictedFigure, Prediction

__all__ = [
    "FittedConstant",
    "ModificationNote",
    "NoteClass",
    "NotePart",
    "PredictedFigure",
    "Prediction",
    "WiringFit",
]
