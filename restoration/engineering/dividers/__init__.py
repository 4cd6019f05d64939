"""Dividers: volts, tolerances, pairs that can be had, heat, and the capacitances that keep a pulse flat."""

from restoration.engineering.dividers.circuit import (
    Divider,
    DividerFigures,
    Halving,
    charged_part,
    halving,
    parallel,
    solve,
)
from restoration.engineering.dividers.compensation import StepResponse, compensation, uncompensated
from restoration.engineering.dividers.pairs import Pair, best_pairs
from restoration.engineering.dividers.ratings import RatingCheck, check_rating, pulse_watts
from restoration.engineering.dividers.tolerances import Spread, corners, sensitivities, spread

__all__ = [
    "Divider",
    "DividerFigures",
    "Halving",
    "Pair",
    "RatingCheck",
    "Spread",
    "StepResponse",
    "best_pairs",
    "charged_part",
    "check_rating",
    "compensation",
    "corners",
    "halving",
    "parallel",
    "pulse_watts",
    "sensitivities",
    "solve",
    "spread",
    "uncompensated",
]
