"""What the recipe of a coil comes to: rows turned into what is reckoned, and figures into words."""

from dataclasses import dataclass

from restoration.engineering.coils import (
    Drift,
    Recipe,
    RecipeFigures,
    Stuff,
    TurnsFound,
    Wound,
    figures_of,
    turns_close_wound,
    turns_in_layers,
    turns_spread,
)
from restoration.engineering.plots import format_part, format_si
from restoration.engineering.wires import turns_per_layer
from restoration.workshop.models import CoilRecipe, Winding

AS_MADE = "marked"


def wound_of(recipe: CoilRecipe) -> Wound:
    """The winding of a recipe; ValueError with a sentence where it cannot be wound."""
    pitch_m = recipe.pitch_m or recipe.covered_m
    side_by_side = None
    if recipe.winding == Winding.MULTI and recipe.winding_length_m:
        side_by_side = turns_per_layer(recipe.winding_length_m, pitch_m)
    return Wound(
        recipe.former_m,
        recipe.bare_m,
        recipe.covered_m,
        recipe.turns,
        recipe.layers,
        recipe.pitch_m,
        side_by_side,
    )


def recipe_of(recipe: CoilRecipe) -> Recipe:
    """The recipe as it is reckoned with; ValueError with a sentence where it is impossible."""
    if recipe.winding == Winding.SINGLE and recipe.layers != 1:
        raise ValueError(f"A single layer is one layer; {recipe.layers} were given: choose multilayer, or one layer.")
    return Recipe(
        wound_of(recipe),
        recipe.winding_length_m,
        recipe.wanted_h,
        recipe.tolerance,
        recipe.body_ohm,
        recipe.body_tolerance,
        recipe.stray_f,
    )


def winding_words(recipe: CoilRecipe) -> str:
    """The winding in a few words: 120 turns of 36 SWG, close wound in one layer on 12.5 mm."""
    turns = f"{recipe.turns} turn{'' if recipe.turns == 1 else 's'}"
    wire = recipe.wire or f"{length_words(recipe.bare_m)} wire"
    lies = f"{length_words(recipe.pitch_m)} from turn to turn" if recipe.pitch_m else "close wound"
    layers = "one layer" if recipe.layers == 1 else f"{recipe.layers} layers"
    return f"{turns} of {wire}, {lies} in {layers} on {length_words(recipe.former_m)}"


def length_words(metres: float | None) -> str:
    """A length on a card: 0.2032 mm, 27.6 mm, 5.92 m."""
    if metres is None:
        return "not said"
    return f"{metres * 1e3:.4g}\u00a0mm" if metres < 1.0 else f"{metres:.3g}\u00a0m"


def seek_turns(
    wanted_h: float, stuff: Stuff, room_m: float | None, *, winding: str, is_spread: bool = False
) -> TurnsFound:
    """The turns that come nearest to a wanted inductance; ValueError with a sentence where none can be wound."""
    if winding == Winding.SINGLE and not is_spread:
        return turns_close_wound(wanted_h, stuff, *([] if room_m is None else [room_m]))
    if room_m is None:
        raise ValueError("Give the winding length, so that the turns can be reckoned.")
    seek = turns_spread if winding == Winding.SINGLE else turns_in_layers
    return seek(wanted_h, stuff, room_m)


def capacitance_words(farads: float | None) -> str:
    """A capacitance in picofarads, as the trade has them: 0.4 pF."""
    return "not known" if farads is None else f"{farads * 1e12:.3g}\u00a0pF"


def frequency_words(hertz: float) -> str:
    """A frequency as one would type it: 2 MHz."""
    number, _, unit = format_si(hertz, "Hz", 6).partition("\u00a0")
    return f"{number.rstrip('0').rstrip('.') if '.' in number else number} {unit}"


@dataclass(frozen=True)
class Row:
    """One figure to be measured: its name, what is predicted of it, and at what it is measured."""

    name: str
    predicted: str
    how: str = ""


@dataclass(frozen=True)
class Swing:
    """How the coil rings with its resistor at one value."""

    body: str
    value: str
    damping: str
    overshoot: str
    settling: str


@dataclass(frozen=True)
class Card:
    """Everything that the card of a coil says beside the recipe itself; `refused` where it cannot be reckoned."""

    coil: Wound | None = None
    figures: RecipeFigures | None = None
    refused: str = ""
    rows: tuple[Row, ...] = ()
    swings: tuple[Swing, ...] = ()
    nearest: str = ""

    @property
    def verdict(self) -> str:
        """Whether the drift of the resistor matters, in a sentence that breaks in no figure."""
        drift = self.figures.drift if self.figures else None
        return drift.verdict.replace(" %", "\u00a0%") if drift else ""

    @property
    def wanted(self) -> str:
        """What is wanted against what is predicted, in a sentence; nothing where nothing is wanted."""
        told = self.figures
        if told is None or told.off_wanted is None:
            return ""
        side = "above" if told.off_wanted >= 0 else "below"
        off = f"Predicted is {format_part(abs(told.off_wanted))} {side} what is wanted"
        if told.meets is None:
            return f"{off}."
        return f"{off}, {'within' if told.meets else 'outside'} its tolerance."


def card_of(recipe: CoilRecipe, frequency_hz: float | None = None) -> Card:
    """What a recipe comes to, in words for its card."""
    try:
        reckoned = recipe_of(recipe)
    except ValueError as impossible:
        return Card(refused=str(impossible))
    figures = figures_of(reckoned, frequency_hz)
    return Card(
        reckoned.coil,
        figures,
        rows=_rows(recipe, figures),
        swings=_swings(recipe, figures.drift),
        nearest="" if figures.meets is not False else _nearest(recipe),
    )


def _nearest(recipe: CoilRecipe) -> str:
    """What would come nearest, where the turns of a recipe do not meet what is wanted."""
    stuff = Stuff(recipe.former_m, recipe.bare_m, recipe.covered_m)
    try:
        found = seek_turns(
            recipe.wanted_h or 0.0,
            stuff,
            recipe.winding_length_m,
            winding=recipe.winding,
            is_spread=recipe.pitch_m is not None,
        )
    except ValueError as impossible:
        return str(impossible)
    layers = "" if found.coil.layers == 1 else f" in {found.coil.layers} layers"
    return f"With {found.coil.turns} turns{layers} it would be {format_si(found.inductance_h, 'H')}."


def _rows(recipe: CoilRecipe, figures: RecipeFigures) -> tuple[Row, ...]:
    below = figures.resonance or figures.working
    how = f"below {format_si(below.measure_below_hz, 'Hz')}" if below else "at a low frequency"
    q, drift = figures.quality, figures.drift
    rows = [
        Row("Inductance", format_si(figures.inductance_h, "H"), how),
        Row("Resistance", format_si(figures.resistance_ohm, "Ω"), "at 20 °C"),
        Row("Q", f"at most {q.with_skin:.3g}", f"at {frequency_words(q.frequency_hz)}"),
        Row("Self-capacitance", capacitance_words(figures.own_f), "one end earthed"),
        Row("Self-resonance", format_si(figures.resonance.frequency_hz if figures.resonance else None, "Hz"), "alone"),
    ]
    if recipe.body_ohm is not None:
        overshoot = format_part(drift.nominal.overshoot) if drift else "not known"
        rows.append(
            Row("Overshoot", overshoot, f"into {capacitance_words(figures.across_f)}" if drift else "in its jig")
        )
    return (*rows, Row("Insulation", "", "MΩ at volts"))


def _swings(recipe: CoilRecipe, drift: Drift | None) -> tuple[Swing, ...]:
    if drift is None or recipe.body_ohm is None:
        return ()
    off = f"{100 * drift.drift:g}\u00a0%"
    parts = (
        (f"−{off}", 1.0 - drift.drift, drift.low),
        (AS_MADE, 1.0, drift.nominal),
        (f"+{off}", 1.0 + drift.drift, drift.high),
    )
    return tuple(
        Swing(
            body,
            format_si(recipe.body_ohm * factor, "Ω"),
            f"{told.damping:.3g}",
            format_part(told.overshoot),
            format_si(told.settling_s, "s"),
        )
        for body, factor, told in parts
    )
