"""Wire by its gauge, and its resistance."""

import math

from restoration.engineering.coils import winding_ohm
from restoration.engineering.figures import HERTZ, MILLIMETRES, NUMBER
from restoration.engineering.wires import Wire, covered_m, ohm_per_metre, skin_factor, turns_per_layer
from restoration.engineering.wires.gauges import awg_of
from restoration.sums.catalogue.coils.shared import COPPER, TEMPERATURE, WIRE
from restoration.sums.declared import Answer, Quantity, Result, Sum, shown
from restoration.sums.units import WireInput, covering_choice


def _gauge(*, wire: Wire, covering: str, length_m: float, temperature_c: float, frequency_hz: float | None) -> Answer:
    thick, per_metre = covered_m(wire.bare_m, covering), ohm_per_metre(wire.bare_m, temperature_c)
    skin = skin_factor(wire.bare_m, frequency_hz, temperature_c) if frequency_hz else None
    return Answer(
        f"{wire.name} is {shown(wire.bare_m, 'm')} bare and {shown(thick, 'm')} covered: "
        f"{turns_per_layer(length_m, thick)} turns lie in {shown(length_m, 'm')}.",
        (
            Result("bare_m", "Bare diameter", wire.bare_m, "m"),
            Result("covered_m", "Over its covering", thick, "m", "to plan with; measure the wire"),
            Result("area_m2", "Area of copper", math.pi / 4 * wire.bare_m**2, "m²"),
            Result("ohm_per_m", "Resistance of each metre", per_metre, "Ω/m"),
            Result("turns", "Turns in a layer", turns_per_layer(length_m, thick), "turns"),
            Result("awg", "In American gauges", awg_of(wire.bare_m), "AWG"),
            Result("skin_factor", "At this frequency its resistance is, times", skin, "", "one straight wire alone"),
        ),
    )


GAUGE = Sum(
    slug="wire-table",
    title="Wire by its gauge",
    question="How thick is this wire, what resistance has it, and how many turns lie side by side?",
    inputs=(
        WIRE,
        covering_choice(),
        Quantity(name="length_m", label="Length of the winding", unit=MILLIMETRES, example="40 mm"),
        TEMPERATURE,
        Quantity(name="frequency_hz", label="Frequency", unit=HERTZ, example="1 MHz", optional=True),
    ),
    compute=_gauge,
    formula=("AWG: d = 0.005 in · 92^((36 − n)/39)", "SWG: a table", "turns = length / covered diameter, whole ones"),
    source=f"ASTM B258; BS 3737 (withdrawn) as published; {COPPER}; coverings from memory.",
    assumptions=("Round, solid, annealed copper.",),
    limits=(
        "A real wire differs from its gauge by its tolerance.",
        "In a close winding the resistance at high frequencies is a multiple of a straight wire's.",
    ),
)  # fmt: skip


def _copper(*, wire: Wire, turns: float, diameter_m: float, temperature_c: float) -> Answer:
    length_m = turns * math.pi * diameter_m
    cold, warm = (winding_ohm(length_m, wire.bare_m, at) for at in (20.0, temperature_c))
    return Answer(
        f"{shown(length_m, 'm')} of {wire.name} have {shown(warm, 'Ω')} at {temperature_c:g} °C.",
        (
            Result("length_m", "Length of the wire", length_m, "m"),
            Result("resistance_ohm", "Resistance", warm, "Ω"),
            Result("cold_ohm", "Resistance at 20 °C", cold, "Ω"),
            Result("factor", "Warm over cold", warm / cold),
            Result("ohm_per_m", "Resistance of each metre", ohm_per_metre(wire.bare_m, temperature_c), "Ω/m"),
        ),
    )


COPPER_SUM = Sum(
    slug="copper",
    title="Resistance of a winding",
    question="What resistance have these turns of copper wire, cold and warm?",
    inputs=(
        WireInput(name="wire", label="Wire", example="AWG 26", help="26 SWG, AWG 30, or the bare diameter: 0.2 mm."),
        Quantity(name="turns", label="Turns", unit=NUMBER, example="100"),
        Quantity(name="diameter_m", label="Mean diameter of a turn", unit=MILLIMETRES, example="25 mm"),
        TEMPERATURE,
    ),
    compute=_copper,
    formula=("R = ρ · N π D / (π d² / 4) · (1 + 0.00393 (t − 20 °C))",),
    source=COPPER + ".",
    assumptions=("Round, solid, annealed copper.", "The rise along the winding, far below the tolerance, is left out."),
    limits=("From −50 to 200 °C.", "For steady current; see “Wire by its gauge” for high frequencies."),
)  # fmt: skip
