"""Coils: inductance of one layer and of many, turns to wind, losses, self-resonance, damping."""

from restoration.engineering.coils.damped import (
    DampedFigures,
    DampedInductor,
    Drift,
    critical_ohm,
    current_part,
    damped_figures,
    damping_of,
    drift_of,
    settling_s,
    volts_per_ampere,
)
from restoration.engineering.coils.losses import Quality, quality, winding_ohm, wire_length_m, with_allowance_m
from restoration.engineering.coils.many_layers import (
    Block,
    Laid,
    block_h,
    layered_h,
    loops_h,
    wheeler_multilayer_h,
)
from restoration.engineering.coils.recipe import Recipe, RecipeFigures, figures_of
from restoration.engineering.coils.resonance import (
    Resonance,
    apparent_factor,
    medhurst_h,
    self_capacitance_f,
    self_resonance,
)
from restoration.engineering.coils.sheet import (
    Layer,
    current_sheet_h,
    lundin_h,
    nagaoka,
    rosa_b,
    round_wire_h,
    wheeler_1928_h,
    wheeler_1982_h,
)
from restoration.engineering.coils.turns import (
    Stuff,
    TurnsFound,
    turns_close_wound,
    turns_in_layers,
    turns_spread,
)
from restoration.engineering.coils.wound import Estimate, Wound, estimates
from restoration.engineering.second_order import overshoot_of

__all__ = [
    "Block",
    "DampedFigures",
    "DampedInductor",
    "Drift",
    "Estimate",
    "Laid",
    "Layer",
    "Quality",
    "Recipe",
    "RecipeFigures",
    "Resonance",
    "Stuff",
    "TurnsFound",
    "Wound",
    "apparent_factor",
    "block_h",
    "critical_ohm",
    "current_part",
    "current_sheet_h",
    "damped_figures",
    "damping_of",
    "drift_of",
    "estimates",
    "figures_of",
    "layered_h",
    "loops_h",
    "lundin_h",
    "medhurst_h",
    "nagaoka",
    "overshoot_of",
    "quality",
    "rosa_b",
    "round_wire_h",
    "self_capacitance_f",
    "self_resonance",
    "settling_s",
    "turns_close_wound",
    "turns_in_layers",
    "turns_spread",
    "volts_per_ampere",
    "wheeler_1928_h",
    "wheeler_1982_h",
    "wheeler_multilayer_h",
    "winding_ohm",
    "wire_length_m",
    "with_allowance_m",
]
