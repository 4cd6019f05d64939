"""A coil as it is wound: former, wire, turns in layers; and what that comes to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.coils.losses import wire_length_m
from restoration.engineering.coils.many_layers import (
    MOST_LAYERS,
    Block,
    Laid,
    block_h,
    layered_h,
    wheeler_multilayer_h,
)
from restoration.engineering.coils.sheet import (
    Layer,
    current_sheet_h,
    lundin_h,
    round_wire_h,
    wheeler_1928_h,
    wheeler_1982_h,
)
from restoration.engineering.refusals import refuse_unless

_DUST = 1e-9
MOST_TURNS = 100_000
"""More turns than this are taken for a slip."""


def millimetres(metres: float) -> str:
    """A length for a sentence: 12.5 mm.

    >>> millimetres(0.0125)
    '12.5 mm'
    """
    return f"{metres * 1e3:.4g} mm"


@dataclass(frozen=True)
class Wound:
    """Turns of covered wire on a round former, side by side or at a pitch, layer on layer, back and forth.

    The layers are filled one after another, `side_by_side` turns in each (none given: shared out evenly), what is left
    over in the last; each lies straight on the one below. Raises ValueError, in a sentence, for what cannot be wound.

    >>> coil = Wound(0.025, 0.0004572, 0.0005, 100)
    >>> coil.per_layer, round(coil.length_m, 4), round(coil.inductance_h * 1e6, 1)
    (100, 0.05, 103.3)
    >>> Wound(0.025, 0.0005, 0.0004, 100)
    Traceback (most recent call last):
    ValueError: Wire is not thinner with its covering than without; 0.4 mm covered and 0.5 mm bare were given.
    """

    former_m: float
    bare_m: float
    covered_m: float
    turns: int
    layers: int = 1
    pitch_m: float | None = None
    side_by_side: int | None = None

    def __post_init__(self) -> None:
        self._refuse_sizes()
        self._refuse_turns()
        self.laid()

    def _refuse_sizes(self) -> None:
        for value, words in ((self.former_m, "A former"), (self.bare_m, "A wire"), (self.covered_m, "A covered wire")):
            asked = f"{words} has a diameter above zero; {millimetres(value)} was given."
            refuse_unless(0.0 < value < math.inf, asked)
        told = f"{millimetres(self.covered_m)} covered and {millimetres(self.bare_m)} bare were given."
        thick = self.covered_m >= self.bare_m * (1.0 - _DUST)
        refuse_unless(thick, f"Wire is not thinner with its covering than without; {told}")
        told = f"{millimetres(self.pitch)} from turn to turn was given, and the wire is {millimetres(self.covered_m)}"
        lies = self.covered_m * (1.0 - _DUST) <= self.pitch < math.inf
        refuse_unless(lies, f"Turns lie side by side or further apart; {told} thick.")

    def _refuse_turns(self) -> None:
        asked = f"A coil has 1 to {MOST_TURNS:,} turns here; {self.turns} were given."
        refuse_unless(1 <= self.turns <= MOST_TURNS, asked)
        refuse_unless(
            1 <= self.layers <= MOST_LAYERS, f"A coil has 1 to {MOST_LAYERS} layers here; {self.layers} were given."
        )
        most = self.side_by_side
        refuse_unless(most is None or most >= 1, f"A layer has 1 turn or more; {most} were given.")
        filled = math.ceil(self.turns / self.per_layer)
        refuse_unless(
            filled == self.layers,
            f"{self.turns} turns, {self.per_layer} to a layer, fill {filled} layers; {self.layers} were given.",
        )

    @property
    def pitch(self) -> float:
        """From turn to turn: as given, or the covered wire."""
        return self.covered_m if self.pitch_m is None else self.pitch_m

    @property
    def per_layer(self) -> int:
        """Turns in a full layer."""
        shared = -(-self.turns // self.layers)
        return shared if self.side_by_side is None else min(self.side_by_side, self.turns)

    @property
    def length_m(self) -> float:
        """Length of the winding: turns of a full layer × pitch."""
        return self.per_layer * self.pitch

    @property
    def depth_m(self) -> float:
        """How deep the layers are together."""
        return self.layers * self.covered_m

    @property
    def mean_diameter_m(self) -> float:
        """Across the middle of the winding."""
        return self.former_m + self.depth_m

    def laid(self) -> tuple[Laid, ...]:
        """The layers from the inside out, each with where it starts."""
        return tuple(self._laid(number) for number in range(self.layers))

    def _laid(self, number: int) -> Laid:
        turns = min(self.per_layer, self.turns - number * self.per_layer)
        layer = Layer(turns, self.former_m + (2 * number + 1) * self.covered_m, turns * self.pitch)
        return Laid(layer, self.length_m - layer.length_m if number % 2 else 0.0)

    @property
    def inductance_h(self) -> float:
        """The best figure there is: sheets of current, each with each, with round wire."""
        return layered_h(self.laid(), self.bare_m)

    @property
    def wire_m(self) -> float:
        """Wire in the turns, without ends."""
        return sum(wire_length_m(each.layer) for each in self.laid())

    @property
    def block(self) -> Block:
        """The winding as an evenly filled block."""
        return Block(self.turns, self.mean_diameter_m / 2.0, self.length_m, self.depth_m)


@dataclass(frozen=True)
class Estimate:
    """An inductance by one formula, whether the coil lies within its bounds, and what they are."""

    name: str
    value_h: float
    holds: bool
    limits: str


def estimates(coil: Wound) -> tuple[Estimate, ...]:
    """The inductance by every formula that speaks of such a coil, the most trusted first.

    Formula and source: those of the functions named. Valid as each estimate tells: `holds` is False outside the
    bounds of its formula. Units: henries. Errors: none of its own.

    >>> [each.name for each in estimates(Wound(0.025, 0.0004572, 0.0005, 100))]
    ['current sheet and round wire', 'current sheet', 'Lundin 1985', 'Wheeler 1982', 'Wheeler 1928']
    >>> [each.name for each in estimates(Wound(0.025, 0.0004572, 0.0005, 100, layers=4))]
    ['layer by layer, round wire', 'layer by layer', 'evenly filled block', 'Wheeler, many layers']
    """
    return _of_one_layer(coil) if coil.layers == 1 else _of_many_layers(coil)


def _of_one_layer(coil: Wound) -> tuple[Estimate, ...]:
    layer = coil.laid()[0].layer
    sheet, shape = current_sheet_h(layer), layer.slenderness
    fine = layer.pitch_m <= 0.25 * layer.diameter_m
    round_h = sheet + round_wire_h(layer, coil.bare_m)
    return (
        Estimate("current sheet and round wire", round_h, fine, "a pitch up to a quarter of the diameter"),
        Estimate("current sheet", sheet, coil.turns >= 10, "exact for a sheet; ten turns or more, close together"),
        Estimate("Lundin 1985", lundin_h(layer), coil.turns >= 10, "within 3 in a million of the sheet"),
        Estimate("Wheeler 1982", wheeler_1982_h(layer), 0.01 <= shape <= 100.0, "within 0.1 % of the sheet"),
        Estimate("Wheeler 1928", wheeler_1928_h(layer), shape >= 0.4, "within 1 % from a length of 0.4 diameters on"),
    )


def _of_many_layers(coil: Wound) -> tuple[Estimate, ...]:
    laid, block = coil.laid(), coil.block
    terms = (6.0 * block.radius_m, 9.0 * block.length_m, 10.0 * block.depth_m)
    alike = max(terms) <= 3.0 * min(terms)
    full = coil.turns == coil.per_layer * coil.layers
    return (
        Estimate(
            "layer by layer, round wire", layered_h(laid, coil.bare_m), True, "turns laid straight, layer on layer"
        ),
        Estimate("layer by layer", layered_h(laid), coil.per_layer >= 10, "ten turns or more in a layer"),
        Estimate("evenly filled block", block_h(block), full and coil.layers >= 3, "three full layers or more"),
        Estimate(
            "Wheeler, many layers",
            wheeler_multilayer_h(block),
            alike and full,
            "about 1 % where the terms of its denominator are alike",
        ),
    )
