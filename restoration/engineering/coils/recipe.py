"""What a recipe comes to: everything that a maker's card says of a coil before it is wound."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.coils.damped import DampedInductor, Drift, drift_of
from restoration.engineering.coils.losses import Quality, quality, winding_ohm, with_allowance_m
from restoration.engineering.coils.resonance import (
    LEAST_SHAPE,
    MOST_SHAPE,
    Resonance,
    self_capacitance_f,
    self_resonance,
)
from restoration.engineering.coils.wound import Estimate, Wound, estimates, millimetres
from restoration.engineering.refusals import refuse_unless
from restoration.engineering.wires.copper import copper_factor
from restoration.engineering.wires.covering import turns_per_layer

USUAL_DRIFT = 0.2
"""Drift of an old resistor to reckon with where none is stated: 10 to 20 % is common, some drift to several times
their value (common practice, no source)."""

WARM_C = 50.0
"""A temperature inside a rack at which the resistance is told too: common practice, no source."""

_DUST = 1e-9


@dataclass(frozen=True)
class Recipe:
    """How a coil is made: the winding, the room for it, what is wanted, and the resistor that it is wound on.

    `room_m` is the winding length that the former leaves; `stray_f` what the coil works into beside its own
    capacitance. Raises ValueError, in a sentence, where the turns do not fit and for numbers that cannot be meant.

    >>> Recipe(Wound(0.006, 0.0002, 0.00023, 200), room_m=0.02)
    Traceback (most recent call last):
    ValueError: 200 turns in one layer are 46 mm long, and the winding length is 20 mm, which takes 86 turns to a layer.
    """

    coil: Wound
    room_m: float | None = None
    wanted_h: float | None = None
    tolerance: float | None = None
    body_ohm: float | None = None
    body_tolerance: float | None = None
    stray_f: float | None = None

    def __post_init__(self) -> None:
        for value, words, unit in (
            (self.room_m, "A winding length", "m"),
            (self.wanted_h, "A wanted inductance", "H"),
            (self.body_ohm, "The resistance of a body", "Ω"),
        ):
            fine = value is None or 0.0 < value < math.inf
            refuse_unless(fine, f"{words} is above zero and finite; {value} {unit} was given.")
        for value, words in ((self.tolerance, "A tolerance"), (self.body_tolerance, "The tolerance of a body")):
            fine = value is None or 0.0 <= value < 1.0
            refuse_unless(fine, f"{words} is from 0 to below 100 %; {100.0 * (value or 0.0):g} % was given.")
        stray_f = self.stray_f or 0.0
        asked = f"What a coil works into is zero or more and finite; {stray_f} F was given."
        refuse_unless(0.0 <= stray_f < math.inf, asked)
        self._refuse_no_room()

    def _refuse_no_room(self) -> None:
        coil = self.coil
        if self.room_m is None or coil.length_m <= self.room_m * (1.0 + _DUST):
            return
        turns = coil.turns if coil.layers == 1 else coil.per_layer
        fits = turns_per_layer(self.room_m, coil.pitch)
        raise ValueError(
            f"{turns} turns in one layer are {millimetres(coil.length_m)} long, and the winding length is "
            f"{millimetres(self.room_m)}, which takes {fits} turns to a layer."
        )


@dataclass(frozen=True)
class RecipeFigures:
    """What a recipe comes to. What cannot be known is None, and `unknown` says why.

    `off_wanted` is the part by which the inductance lies beside what is wanted, `meets` whether within the tolerance.
    `spread` are the least and the largest of the estimates that hold. `quality` has the frequency it is told at.
    """

    inductance_h: float
    estimates: tuple[Estimate, ...]
    spread_h: tuple[float, float]
    off_wanted: float | None
    meets: bool | None
    resistance_ohm: float
    warm_ohm: float
    wire_m: float
    cut_m: float
    own_f: float | None
    across_f: float | None
    resonance: Resonance | None
    working: Resonance | None
    quality: Quality
    drift: Drift | None
    unknown: tuple[str, ...]

    @property
    def spread(self) -> float:
        """Half the way between the estimates, as part of the inductance."""
        return (self.spread_h[1] - self.spread_h[0]) / 2.0 / self.inductance_h


def figures_of(recipe: Recipe, frequency_hz: float | None = None) -> RecipeFigures:
    """Everything that a card says of a coil before it is wound.

    Formula: inductance as `Wound.inductance_h` and `estimates`; resistance as `winding_ohm` at 20 °C and at 50 °C; Q
    at the frequency, or at a tenth of the self-resonance, or at 1 kHz where that is not known; self-capacitance as
    `self_capacitance_f`, one layer only; damping as `drift_of` with the body, what it works into, and a drift of its
    tolerance or a fifth, whichever is more. Source: as those. Valid as they are: advice, to be verified by
    measurement. Units: SI. Errors: ValueError for a frequency not above zero.

    >>> told = figures_of(Recipe(Wound(0.0125, 0.0002032, 0.00023, 120), body_ohm=2200.0, stray_f=30e-12))
    >>> round(told.inductance_h * 1e6, 1), round(told.drift.nominal.overshoot, 3), told.meets
    (68.5, 0.321, None)
    """
    coil = recipe.coil
    every = estimates(coil)
    best_h = every[0].value_h
    held = [each.value_h for each in every if each.holds] or [best_h]
    wire_m = coil.wire_m
    cold_ohm = winding_ohm(wire_m, coil.bare_m)
    own_f, unknown = _own_capacitance(coil)
    across_f = None if own_f is None and not recipe.stray_f else (own_f or 0.0) + (recipe.stray_f or 0.0)
    resonance = None if own_f is None else self_resonance(best_h, own_f)
    drift, why = _drift(recipe, best_h, across_f, cold_ohm)
    off = None if recipe.wanted_h is None else best_h / recipe.wanted_h - 1.0
    return RecipeFigures(
        inductance_h=best_h,
        estimates=every,
        spread_h=(min(held), max(held)),
        off_wanted=off,
        meets=None if off is None or recipe.tolerance is None else abs(off) <= recipe.tolerance + _DUST,
        resistance_ohm=cold_ohm,
        warm_ohm=cold_ohm * copper_factor(WARM_C),
        wire_m=wire_m,
        cut_m=with_allowance_m(wire_m),
        own_f=own_f,
        across_f=across_f,
        resonance=resonance,
        working=None if across_f is None else self_resonance(best_h, across_f),
        quality=quality(best_h, cold_ohm, coil.bare_m, frequency_hz or _usual_hz(resonance)),
        drift=drift,
        unknown=unknown + why,
    )


def _own_capacitance(coil: Wound) -> tuple[float | None, tuple[str, ...]]:
    if coil.layers > 1:
        return None, ("The self-capacitance of several layers follows no formula that can be trusted: measure it.",)
    layer = coil.laid()[0].layer
    if not LEAST_SHAPE <= layer.slenderness <= MOST_SHAPE:
        outside = f"Its length is {layer.slenderness:.3g} diameters, and Medhurst's table goes from 0.1 to 50"
        return None, (f"{outside}: measure the self-capacitance.",)
    return self_capacitance_f(layer), ()


def _usual_hz(resonance: Resonance | None) -> float:
    """A frequency to tell Q at: a tenth of the self-resonance, rounded down to 1, 2 or 5."""
    if resonance is None:
        return 1e3
    tenth = resonance.frequency_hz / 10.0
    decade = 10.0 ** math.floor(math.log10(tenth))
    return max(step for step in (1.0, 2.0, 5.0) if step * decade <= tenth * (1.0 + _DUST)) * decade


def _drift(
    recipe: Recipe, inductance_h: float, across_f: float | None, cold_ohm: float
) -> tuple[Drift | None, tuple[str, ...]]:
    if recipe.body_ohm is None:
        return None, ()
    if across_f is None:
        return None, ("How it rings is not known: say what capacitance it works into.",)
    inductor = DampedInductor(inductance_h, across_f, recipe.body_ohm, cold_ohm)
    return drift_of(inductor, max(recipe.body_tolerance or 0.0, USUAL_DRIFT)), ()
