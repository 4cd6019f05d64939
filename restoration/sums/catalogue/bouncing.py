"""Sums for a wire on which the pulse rings or bounces."""

import math

import numpy as np

from restoration.engineering.figures import NANOSECONDS, OHMS, PICOFARADS, VOLTS
from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource, link_volts
from restoration.sums.declared import Answer, Column, Group, Quantity, Result, Span, Sum, Table, shown
from restoration.sums.drawing import waves

TRANSITS_DRAWN = 9
POINTS = 600
LOOKED_AT = 6  # arrivals in the table


def _both_ends(
    *,
    step_v: float,
    source_ohm: float,
    series_ohm: float,
    rise_s: float,
    impedance_ohm: float,
    delay_s: float,
    load_ohm: float | None,
    load_f: float | None,
) -> Answer:
    load = LinkLoad(load_ohm or math.inf, load_f or 0.0)
    span_s = TRANSITS_DRAWN * delay_s + 2 * rise_s
    source = PulseSource(0.0, step_v, duration_s=10 * span_s, rise_s=rise_s, fall_s=rise_s, resistance_ohm=source_ohm)
    link = LinkModel(source, LosslessLine(impedance_ohm, delay_s), load, series_ohm)
    times = np.linspace(-0.5 * delay_s, span_s, POINTS)
    volts = link_volts(link, times)
    settled = step_v / (1 + link.driving_ohm * load.conductance_s)
    peak = float(volts.load_v[np.argmax(np.abs(volts.load_v))])
    return Answer(
        f"At the load the level goes to {shown(peak, 'V')} at its furthest and settles at {shown(settled, 'V')}.",
        (
            Result("load_reflection", "Reflected at the load", link.reflection_at_load),
            Result("source_reflection", "Reflected at the source", link.reflection_at_source),
            Result("peak_v", "Furthest level at the load", peak, "V"),
            Result("settled_v", "Settled level", settled, "V"),
            Result("delay_s", "One transit", delay_s, "s"),
        ),
        tables=(_lattice(link, step_v),),
        figure=waves(
            f"Level at the source end and at the load, to {shown(peak, 'V')}",
            "A step sent down the wire, seen at both of its ends.",
            times,
            {"load": volts.load_v, "source end": volts.line_start_v},
        ),
    )


def _lattice(link: LinkModel, step_v: float) -> Table:
    """The levels after each arrival, for a step and the resistances alone."""
    launched = step_v * link.line.impedance_ohm / (link.driving_ohm + link.line.impedance_ohm)
    at_load, at_source = 0.0, launched
    rows: list[tuple[float | int, ...]] = []
    wave = launched
    for arrival in range(1, LOOKED_AT + 1):
        at_load += wave * (1 + link.reflection_at_load)
        wave *= link.reflection_at_load
        rows.append((arrival, at_load, at_source))
        at_source += wave * (1 + link.reflection_at_source)
        wave *= link.reflection_at_source
    columns = (
        Column("arrival", "arrival"),
        Column("load_v", "at the load", "V"),
        Column("source_v", "at the source end", "V"),
    )
    return Table("Levels as the wave goes to and fro", columns, tuple(rows))


BOTH_ENDS = Sum(
    slug="reflection",
    title="The wave at both ends of a wire",
    question="What does a step become at the load when the wire sends part of it back?",
    inputs=(
        Quantity(
            name="step_v",
            label="Step of the source with nothing on it",
            unit=VOLTS,
            example="30 V",
            span=Span.ANY,
        ),
        Quantity(name="source_ohm", label="Resistance of the source", unit=OHMS, example="150"),
        Quantity(name="series_ohm", label="Series resistor at the source", unit=OHMS, example="0", span=Span.ZERO_UP),
        Quantity(
            name="rise_s",
            label="Edge, from foot to top",
            unit=NANOSECONDS,
            example="20 ns",
            span=Span.ZERO_UP,
            help="A reading from 10 to 90 % is 0.8 of it.",
        ),
        Quantity(name="impedance_ohm", label="Characteristic impedance of the wire", unit=OHMS, example="280"),
        Quantity(name="delay_s", label="Delay of the wire, one way", unit=NANOSECONDS, example="18.4 ns"),
        Quantity(
            name="load_ohm",
            label="Resistance of the load",
            unit=OHMS,
            example="",
            optional=True,
            help="Left empty: an open end, as a grid is.",
        ),
        Quantity(name="load_f", label="Capacitance of the load", unit=PICOFARADS, example="20p", optional=True),
    ),
    compute=_both_ends,
    formula=(
        "reflected part = (R − Z0) / (R + Z0), at either end",
        "launched part = Z0 / (R source + Z0)",
        "each arrival adds the wave and what is reflected of it",
    ),
    source=(
        "F. H. Branin, Proc. IEEE 55, 1967 (from memory), for the wave in time; "
        "the lattice of arrivals is common practice."
    ),
    assumptions=(
        "The wire loses nothing and is the same all along.",
        "The edge is straight.",
        "The table is of a sudden step and resistances alone.",
    ),
    limits=(
        "One wire from one source to one load.",
        "Valve stages that clip or draw grid current are not linear, and are not covered.",
    ),
    leads_to_ht=True,
)

GROUP = Group(2, "The pulse rings or bounces", (BOTH_ENDS,))
