"""Wires: gauges by name, copper and its resistance, coverings, turns side by side."""

from restoration.engineering.wires.copper import (
    COPPER_OHM_M,
    COPPER_PER_KELVIN,
    copper_factor,
    ohm_per_metre,
    skin_depth_m,
    skin_factor,
)
from restoration.engineering.wires.covering import COVERINGS, Covering, covered_m, turns_per_layer
from restoration.engineering.wires.gauges import SWG_IN, Wire, awg_m, awg_of, swg_m, wire_named

__all__ = [
    "COPPER_OHM_M",
    "COPPER_PER_KELVIN",
    "COVERINGS",
    "SWG_IN",
    "Covering",
    "Wire",
    "awg_m",
    "awg_of",
    "copper_factor",
    "covered_m",
    "ohm_per_metre",
    "skin_depth_m",
    "skin_factor",
    "swg_m",
    "turns_per_layer",
    "wire_named",
]
