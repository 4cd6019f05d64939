"""Signals in place: a link as a physical case, what it will show, what the site's records say of its wires."""

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
