"""How many turns give a wanted inductance, and when they cannot be wound."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from restoration.engineering.coils.many_layers import MOST_LAYERS
from restoration.engineering.coils.wound import MOST_TURNS, Wound, millimetres
from restoration.engineering.plots import format_si
from restoration.engineering.refusals import refuse_unless
from restoration.engineering.wires.covering import turns_per_layer


@dataclass(frozen=True)
class Stuff:
    """What there is to wind with: the former, the wire without and with its covering, and how much of it.

    >>> Stuff(0.02, 0.0005, 0.00055).wire_m
    inf
    """

    former_m: float
    bare_m: float
    covered_m: float
    wire_m: float = math.inf


@dataclass(frozen=True)
class TurnsFound:
    """The whole number of turns that comes nearest, and the broken number that would be exact."""

    coil: Wound
    inductance_h: float
    exact_turns: float
    off: float


_Coil = Callable[[int], Wound]


def turns_close_wound(wanted_h: float, stuff: Stuff, room_m: float = math.inf) -> TurnsFound:
    """Turns side by side in one layer for a wanted inductance.

    Formula: the whole number whose `Wound.inductance_h` is nearest; the winding grows with its turns. Source: as
    `current_sheet_h` and `round_wire_h`. Valid as they are. Units: henries and metres. Errors: ValueError, in a
    sentence, where it cannot be wound: more turns than the room takes, or a coil longer than its wire.

    >>> found = turns_close_wound(100e-6, Stuff(0.025, 0.0004572, 0.0005))
    >>> found.coil.turns, round(found.inductance_h * 1e6, 2), round(found.exact_turns, 2)
    (97, 99.65, 97.28)
    >>> turns_close_wound(100e-6, Stuff(0.025, 0.0004572, 0.0005), room_m=0.04)
    Traceback (most recent call last):
    ValueError: 100 µH takes 97 turns in one layer, 48.5 mm long, and the winding length is 40 mm, which takes 80 ...
    """
    found = _nearest(wanted_h, lambda turns: _wound(stuff, turns), 1, MOST_TURNS)
    _refuse_no_room(found.coil, room_m, wanted_h)
    return _within_wire(found, stuff)


def turns_spread(wanted_h: float, stuff: Stuff, length_m: float) -> TurnsFound:
    """Turns spread evenly over a given length in one layer for a wanted inductance.

    Formula: the whole number whose `Wound.inductance_h` is nearest, pitch = length / turns. Source: as
    `current_sheet_h` and `round_wire_h`. Valid as they are. Units: henries and metres. Errors: ValueError, in a
    sentence, where it cannot be wound: more turns than the length takes, too few to be a coil, too little wire.

    >>> found = turns_spread(10e-6, Stuff(0.025, 0.0004572, 0.0005), 0.03)
    >>> found.coil.turns, round(found.coil.pitch * 1e3, 3), round(found.inductance_h * 1e6, 3)
    (25, 1.2, 9.706)
    """
    refuse_unless(0.0 < length_m < math.inf, f"A winding length is above zero; {length_m} m was given.")
    _refuse_no_wire(stuff)
    most = turns_per_layer(length_m, stuff.covered_m)
    thick = f"wire {millimetres(stuff.covered_m)} thick"
    refuse_unless(most >= 1, f"No turn of {thick} fits a winding {millimetres(length_m)} long.")
    least = max(1, math.ceil(length_m / (math.pi * (stuff.former_m + stuff.covered_m))))

    def coil(turns: int) -> Wound:
        return _wound(stuff, turns, pitch_m=max(length_m / turns, stuff.covered_m))

    def too_little(fullest: Wound) -> str:
        return (
            f"{_henries(wanted_h)} cannot be wound in one layer {millimetres(length_m)} long: it takes {most} turns,"
            f" {_henries(fullest.inductance_h)}. Take thinner wire, a thicker former, a longer winding or more layers."
        )

    return _within_wire(_nearest(wanted_h, coil, least, most, too_little), stuff)


def turns_in_layers(wanted_h: float, stuff: Stuff, length_m: float, depth_m: float = math.inf) -> TurnsFound:
    """Turns in full layers of a given length, one upon the other, for a wanted inductance.

    Formula: the whole number whose `Wound.inductance_h` is nearest, floor(length / covered wire) to a layer. Source:
    as `layered_h`. Valid as it is; hand-wound layers differ by 5 to 10 % (common practice), so trim the first one.
    Units: henries and metres. Errors: ValueError, in a sentence, where it cannot be wound: no turn fits the length,
    the layers are deeper than there is room, or too little wire.

    >>> found = turns_in_layers(10e-3, Stuff(0.02, 0.0002, 0.00023), 0.015)
    >>> found.coil.turns, found.coil.layers, round(found.inductance_h * 1e3, 3)
    (750, 12, 10.005)
    """
    _refuse_no_wire(stuff)
    side_by_side = turns_per_layer(length_m, stuff.covered_m)
    thick = f"wire {millimetres(stuff.covered_m)} thick"
    refuse_unless(side_by_side >= 1, f"No turn of {thick} fits a winding {millimetres(length_m)} long.")
    deep = min(depth_m / stuff.covered_m * (1.0 + 1e-9), MOST_LAYERS)
    refuse_unless(deep >= 1.0, f"No layer of {thick} fits a winding {millimetres(depth_m)} deep.")

    def coil(turns: int) -> Wound:
        return _in_layers(stuff, turns, side_by_side)

    most = min(side_by_side * math.floor(deep), MOST_TURNS)

    def too_little(fullest: Wound) -> str:
        return (
            f"{_henries(wanted_h)} cannot be wound here: {fullest.layers} layers of {side_by_side} turns are"
            f" {millimetres(fullest.depth_m)} deep and have {_henries(fullest.inductance_h)}. Take thinner wire, a"
            " thicker former, a longer winding or more depth."
        )

    return _within_wire(_nearest(wanted_h, coil, 1, most, too_little), stuff)


def _wound(stuff: Stuff, turns: int, pitch_m: float | None = None) -> Wound:
    return Wound(stuff.former_m, stuff.bare_m, stuff.covered_m, turns, 1, pitch_m)


def _in_layers(stuff: Stuff, turns: int, side_by_side: int) -> Wound:
    layers = -(-turns // side_by_side)
    return Wound(stuff.former_m, stuff.bare_m, stuff.covered_m, turns, layers, side_by_side=side_by_side)


def _too_many(fullest: Wound) -> str:
    return f"That takes more than {fullest.turns:,} turns, and more than these are taken for a slip."


def _nearest(
    wanted_h: float, coil: _Coil, least: int, most: int, too_little: Callable[[Wound], str] = _too_many
) -> TurnsFound:
    """The number of turns from least to most whose inductance comes nearest; it grows with the turns."""
    refuse_unless(0.0 < wanted_h < math.inf, f"A wanted inductance is above zero; {wanted_h} H was given.")
    first_h = coil(least).inductance_h
    refuse_unless(
        first_h <= wanted_h * 1.5,
        f"{_henries(wanted_h)} is less than {least} turn{'s' if least > 1 else ''} of this coil can have, "
        f"{_henries(first_h)}: take a thinner former or a longer winding.",
    )
    low = _below(wanted_h, coil, least, most)
    below_h = coil(low).inductance_h
    if low == most and below_h < wanted_h:
        raise ValueError(too_little(coil(most)))
    if below_h >= wanted_h:
        return TurnsFound(coil(low), below_h, float(low), below_h / wanted_h - 1.0)
    above_h = coil(low + 1).inductance_h
    exact = low + math.log(wanted_h / below_h) / math.log(above_h / below_h)
    turns, found_h = min(((low, below_h), (low + 1, above_h)), key=lambda pair: abs(pair[1] - wanted_h))
    return TurnsFound(coil(turns), found_h, exact, found_h / wanted_h - 1.0)


def _below(wanted_h: float, coil: _Coil, least: int, most: int) -> int:
    """The largest number of turns whose inductance is still below what is wanted, or the least there is."""
    low, high = least, least
    while high < most and coil(high).inductance_h < wanted_h:
        low, high = high, min(most, high * 2)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if coil(middle).inductance_h < wanted_h else (low, middle)
    return high if high == most and coil(high).inductance_h < wanted_h else low


def _refuse_no_wire(stuff: Stuff) -> None:
    _wound(stuff, 1)


def _refuse_no_room(coil: Wound, room_m: float, wanted_h: float) -> None:
    if coil.length_m <= room_m * (1.0 + 1e-9):
        return
    fits = turns_per_layer(room_m, coil.covered_m)
    raise ValueError(
        f"{_henries(wanted_h)} takes {coil.turns} turns in one layer, {millimetres(coil.length_m)} long, and the "
        f"winding length is {millimetres(room_m)}, which takes {fits} turns: take thinner wire, a thicker former or "
        "more layers."
    )


def _within_wire(found: TurnsFound, stuff: Stuff) -> TurnsFound:
    """Refuse a coil longer than its wire."""
    needed = found.coil.wire_m
    refuse_unless(
        needed <= stuff.wire_m,
        f"{found.coil.turns} turns take {needed:.3g} m of wire without the ends, and there are {stuff.wire_m:.3g} m: "
        "the coil would be longer than its wire.",
    )
    return found


def _henries(value_h: float) -> str:
    return format_si(value_h, "H").replace("\u00a0", " ")
