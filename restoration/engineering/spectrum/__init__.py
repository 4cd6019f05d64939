"""Hum told from the ripple a machine makes itself: the lines of both rates in one record, and where that cannot be.

Hum keeps the mains and its harmonics; own ripple keeps the machine's repetition rate and its harmonics. Two lines
nearer than one over the length of the record cannot be told apart in it, and a line above half the sampling rate folds
down, perhaps onto one of the other's.
"""

from restoration.engineering.spectrum.frequencies import (
    MAINS,
    OWN,
    folded_hz,
    harmonics_near,
    needed_duration_s,
)
from restoration.engineering.spectrum.peaks import Peak, strongest
from restoration.engineering.spectrum.telling import Cause, Line, Ripple, tell_ripple

__all__ = [
    "MAINS",
    "OWN",
    "Cause",
    "Line",
    "Peak",
    "Ripple",
    "folded_hz",
    "harmonics_near",
    "needed_duration_s",
    "strongest",
    "tell_ripple",
]
