"""Pulse measurement after IEEE 181 and IEC 60469: levels, edges, times, aberrations, each with its uncertainty."""

from restoration.engineering.pulses.delay import Delay, measure_delay
from restoration.engineering.pulses.measuring import SETTLING_BAND, measure
from restoration.engineering.pulses.record import Polarity, PulseMeasurement, Transition, as_json
from restoration.engineering.pulses.uncertainty import Accuracy

__all__ = [
    "SETTLING_BAND",
    "Accuracy",
    "Delay",
    "Polarity",
    "PulseMeasurement",
    "Transition",
    "as_json",
    "measure",
    "measure_delay",
]
