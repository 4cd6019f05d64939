"""Signals in place: one link as a physical case, what it will show, and what the site's own records say of its wires."""

from restoration.engineering.in_place.arrangement import BARE, Arrangement, Fitted
from restoration.engineering.in_place.case import LinkCase, OtherWire, WireConstants
from restoration.engineering.in_place.figures import Predicted, predict
from restoration.engineering.in_place.reading import PulseFigures

__all__ = [
    "BARE",
    "Arrangement",
    "Fitted",
    "LinkCase",
    "OtherWire",
    "Predicted",
    "PulseFigures",
    "WireConstants",
    "predict",
]
