"""Inductance of a winding, and the turns for one."""

import math

from restoration.engineering.coils import (
    Block,
    Stuff,
    TurnsFound,
    Wound,
    block_h,
    estimates,
    self_capacitance_f,
    self_resonance,
    turns_close_wound,
    turns_in_layers,
    turns_spread,
    wheeler_multilayer_h,
    winding_ohm,
    with_allowance_m,
)
from restoration.engineering.figures import METRES, MICROHENRIES, MILLIMETRES
from restoration.engineering.wires import Wire, covered_m
from restoration.sums.catalogue.coils.shared import BY_HAND, FORMER, WIRE
from restoration.sums.declared import Answer, Choice, Column, Count, Quantity, Result, Sum, Table, Value, shown
from restoration.sums.units import covering_choice


def _coil_results(coil: Wound) -> list[Result]:
    wire_m = with_allowance_m(coil.wire_m)
    return [
        Result("inductance_h", "Inductance", coil.inductance_h, "H"),
        Result("length_m", "Length of the winding", coil.length_m, "m"),
        Result("wire_m", "Wire to cut", wire_m, "m", "5 % more, and 30 cm for ends"),
        Result("resistance_ohm", "Resistance at 20 °C", winding_ohm(coil.wire_m, coil.bare_m), "Ω"),
    ]


def _own_resonance(coil: Wound) -> tuple[list[Result], tuple[str, ...]]:
    """Self-capacitance and self-resonance of a single layer, or why they are not known."""
    try:
        own_f = self_capacitance_f(coil.laid()[0].layer)
    except ValueError as refusal:
        return [], (f"Its self-capacitance is not known: {refusal}",)
    rings = self_resonance(coil.inductance_h, own_f)
    return [
        Result("self_f", "Self-capacitance", own_f, "F", "one end earthed"),
        Result("self_resonance_hz", "Rings by itself at", rings.frequency_hz, "Hz"),
        Result("measure_below_hz", "Measure it below", rings.measure_below_hz, "Hz"),
    ], ()


def _single(*, turns: int, former_m: float, wire: Wire, covering: str, pitch_m: float | None) -> Answer:
    coil = Wound(former_m, wire.bare_m, covered_m(wire.bare_m, covering), turns, 1, pitch_m)
    resonance, says = _own_resonance(coil)
    rows: list[tuple[Value, ...]] = [
        (each.name, each.value_h, "yes" if each.holds else "no", each.limits) for each in estimates(coil)
    ]
    columns = (
        Column("formula", "formula"),
        Column("inductance_h", "gives", "H"),
        Column("holds", "within its bounds"),
        Column("limits", "its bounds"),
    )
    return Answer(
        f"{turns} turns make {shown(coil.inductance_h, 'H')}, {shown(coil.length_m, 'm')} long.",
        (*_coil_results(coil), *resonance),
        says,
        (Table("The same coil by every formula", columns, tuple(rows)),),
    )  # fmt: skip


SINGLE = Sum(
    slug="coil",
    title="A coil of one layer",
    question="What inductance have these turns on this former?",
    inputs=(
        Count(name="turns", label="Turns", example="100", most=100_000),
        FORMER,
        WIRE,
        covering_choice(),
        Quantity(
            name="pitch_m", label="From turn to turn", unit=MILLIMETRES, example="", optional=True,
            help="Left empty: side by side.",
        ),
    ),
    compute=_single,
    formula=(
        "L = μ0 N² A / l · K, K Nagaoka's coefficient by elliptic integrals, with Rosa's correction for round wire",
        "short forms: Wheeler r² N² / (9 r + 10 l) µH in inches; Lundin; Wheeler 1982",
        "self-capacitance = H · D, H by Medhurst's table",
    ),
    source=(
        "Nagaoka 1909, Rosa 1906, Wheeler 1928 and 1982, Lundin 1985 (from memory), checked against Grover; "
        "Medhurst 1947."
    ),
    assumptions=("A round former, turns laid straight, no iron and no metal near.",),
    limits=("Wheeler's short form is 1 % good from a length of 0.4 diameters on, and 11 % low at a tenth.", BY_HAND),
)  # fmt: skip


def _multi(*, turns: int, former_m: float, length_m: float, depth_m: float) -> Answer:
    block = Block(turns, (former_m + depth_m) / 2, length_m, depth_m)
    exact, short = block_h(block), wheeler_multilayer_h(block)
    wire_m = turns * 2 * math.pi * block.radius_m
    terms = (6 * block.radius_m, 9 * length_m, 10 * depth_m)
    bounds = "within" if max(terms) <= 3 * min(terms) else "beyond"
    return Answer(
        f"{turns} turns make {shown(exact, 'H')}; Wheeler's short formula says {shown(short, 'H')}.",
        (
            Result("inductance_h", "Inductance of the filled block", exact, "H"),
            Result("wheeler_h", "By Wheeler's short formula", short, "H"),
            Result("wheeler_off", "Which is off by", short / exact - 1, "%", f"{bounds} its bounds"),
            Result("mean_diameter_m", "Mean diameter", 2 * block.radius_m, "m"),
            Result("wire_m", "Wire in the turns", wire_m, "m"),
            Result("area_m2", "Room for each turn", length_m * depth_m / turns, "m²"),
        ),
    )  # fmt: skip


MULTI = Sum(
    slug="coil-layers",
    title="A coil of many layers",
    question="What inductance has a winding of this length and depth?",
    inputs=(
        Count(name="turns", label="Turns", example="500", most=100_000),
        Quantity(
            name="former_m", label="Inner diameter of the winding", unit=MILLIMETRES, example="10 mm",
            help="The former's diameter.",
        ),
        Quantity(name="length_m", label="Length of the winding", unit=MILLIMETRES, example="10 mm"),
        Quantity(name="depth_m", label="Depth of the winding", unit=MILLIMETRES, example="10 mm"),
    ),
    compute=_multi,
    formula=(
        "the mean of the mutual inductance of all pairs of loops in the section",
        "Wheeler: 0.8 a² N² / (6 a + 9 b + 10 c) µH in inches, a mean radius, b length, c depth",
    ),
    source="Maxwell's loops by elliptic integrals; H. A. Wheeler, 1928 (from memory); checked against Lyle's figures.",
    assumptions=("The current fills the section evenly.", "No iron and no metal near."),
    limits=("Wheeler's formula is about 1 % good where its three terms are alike.", BY_HAND),
)  # fmt: skip

WAYS = {
    "side by side": "one layer, side by side",
    "spread": "one layer, spread over the length",
    "layers": "layer on layer",
}


def _found(way: str, wanted_h: float, stuff: Stuff, length_m: float | None, depth_m: float | None) -> TurnsFound:
    if way == "side by side":
        return turns_close_wound(wanted_h, stuff, length_m or math.inf)
    if length_m is None:
        raise ValueError("length_m is needed for turns that are spread or in layers; it was left empty.")
    if way == "spread":
        return turns_spread(wanted_h, stuff, length_m)
    return turns_in_layers(wanted_h, stuff, length_m, depth_m or math.inf)


def _turns(
    *, wanted_h: float, former_m: float, wire: Wire, covering: str, way: str, length_m: float | None,
    depth_m: float | None, wire_m: float | None,
) -> Answer:  # fmt: skip
    stuff = Stuff(former_m, wire.bare_m, covered_m(wire.bare_m, covering), wire_m or math.inf)
    found = _found(way, wanted_h, stuff, length_m, depth_m)
    layers = f" in {found.coil.layers} layers" if found.coil.layers > 1 else ""
    return Answer(
        f"{found.coil.turns} turns{layers} make {shown(found.inductance_h, 'H')}, {shown(found.off, '%')} off.",
        (
            Result("turns", "Turns", found.coil.turns, "turns"),
            Result("exact_turns", "Turns that would be exact", found.exact_turns, "turns"),
            Result("off", "Off by", found.off, "%"),
            Result("layers", "Layers", found.coil.layers, "layers"),
            Result("pitch_m", "From turn to turn", found.coil.pitch, "m"),
            *_coil_results(found.coil),
        ),
    )


TURNS = Sum(
    slug="turns",
    title="Turns for a wanted inductance",
    question="How many turns of this wire on this former make the inductance wanted?",
    inputs=(
        Quantity(name="wanted_h", label="Inductance wanted", unit=MICROHENRIES, example="100 µH"),
        FORMER,
        WIRE,
        covering_choice(),
        Choice(name="way", label="Wound", example="side by side", options=tuple(WAYS.items())),
        Quantity(
            name="length_m", label="Length there is for the winding", unit=MILLIMETRES, example="60 mm", optional=True
        ),
        Quantity(name="depth_m", label="Depth there is for layers", unit=MILLIMETRES, example="", optional=True),
        Quantity(name="wire_m", label="Wire that there is", unit=METRES, example="", optional=True),
    ),
    compute=_turns,
    formula=("the whole number of turns whose inductance is nearest to the one wanted",),
    source="Current sheet with Rosa's correction, layer by layer; see “A coil of one layer”.",
    assumptions=(
        "A round former, turns laid straight.",
        "The covering is as thick as such coverings are: measure the wire.",
    ),
    limits=(BY_HAND,),
)  # fmt: skip
