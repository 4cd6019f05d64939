"""Signals in place: a link as a physical case, what it will show, what the site's records say of its wires."""

from restoration.engineering.in_place.arrangement import BARE, Arrangement, Fitted
from restoration.engineering.in_place.case import LinkCase, OtherWire, WireConstants
from restoration.engineering.in_place.comparing import Explanation, Factor, Measured, emf_from_bench, explain
from restoration.engineering.in_place.constants import NOMINAL, Constant, SiteConstants
from restoration.engineering.in_place.figures import Predicted, predict
from restoration.engineering.in_place.fitting import fit
from restoration.engineering.in_place.intervals import Interval, predict_interval
from restoration.engineering.in_place.reading import PulseFigures
from restoration.engineering.in_place.records import Record

__all__ = [
    "BARE",
    "NOMINAL",
    "Arrangement",
    "Constant",
    "Explanation",
    "Factor",
    "Fitted",
    "Interval",
    "LinkCase",
    "Measured",
    "OtherWire",
    "Predicted",
    "PulseFigures",
    "Record",
    "SiteConstants",
    "WireConstants",
    "emf_from_bench",
    "explain",
    "fit",
    "predict",
    "predict_interval",
]
