"""The wave at both ends of a wire."""

import math

import numpy as np

from restoration.engineering.figures import NANOSECONDS, OHMS, PICOFARADS, VOLTS
from restoration.engineering.lines.reflection import Lattice, lattice
from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource, Samples, link_volts
from restoration.sums.catalogue.bouncing.shared import IMPEDANCE, NO_LOSS, ONE_LOAD, POINTS, SOURCE_OHM
from restoration.sums.declared import Answer, Column, Quantity, Result, Span, Sum, Table, Value, shown
from restoration.sums.drawing import waves

TRANSITS_DRAWN = 9
LOOKED_AT = 6  # arrivals in the table


def _both_ends(
    *, step_v: float, source_ohm: float, series_ohm: float, rise_s: float, impedance_ohm: float, delay_s: float,
    load_ohm: float | None, load_f: float | None,
) -> Answer:  # fmt: skip
    steps = lattice(step_v, source_ohm + series_ohm, impedance_ohm, load_ohm or math.inf, count=LOOKED_AT)
    span_s = TRANSITS_DRAWN * delay_s + 2 * rise_s
    source = PulseSource(0.0, step_v, duration_s=10 * span_s, rise_s=rise_s, fall_s=rise_s, resistance_ohm=source_ohm)
    load = LinkLoad(load_ohm or math.inf, load_f or 0.0)
    link = LinkModel(source, LosslessLine(impedance_ohm, delay_s), load, series_ohm)
    times = np.linspace(-0.5 * delay_s, span_s, POINTS)
    volts = link_volts(link, times)
    peak = _furthest(link, times)
    return Answer(
        f"At the load the level goes to {shown(peak, 'V')} at its furthest and settles at {shown(steps.final_v, 'V')}.",
        (
            Result("load_reflection", "Reflected at the load", steps.reflection_at_load, "%"),
            Result("source_reflection", "Reflected at the source", steps.reflection_at_source, "%"),
            Result("launched_v", "Launched into the wire", steps.source_v[0], "V"),
            Result("peak_v", "Furthest level at the load", peak, "V", "in the time drawn"),
            Result("settled_v", "Settled level", steps.final_v, "V"),
        ),
        tables=(_lattice_table(steps),),
        figure=waves(
            f"Level at the source end and at the load, to {shown(peak, 'V')}",
            "A step sent down the wire, seen at both of its ends.",
            times,
            {"load": volts.load_v, "source end": volts.line_start_v},
        ),
    )


def _furthest(link: LinkModel, times: Samples) -> float:
    """The furthest level at the load; the corners of the wave, which lie between the times drawn, are looked at too."""
    begins = link.line.delay_s * np.arange(1, TRANSITS_DRAWN + 1, 2)
    corners = np.concatenate((begins, begins + link.source.rise_s))
    looked_at = np.unique(np.concatenate((times, corners[corners <= times[-1]])))
    load_v = link_volts(link, looked_at).load_v
    return float(load_v[np.argmax(np.abs(load_v))])


def _lattice_table(steps: Lattice) -> Table:
    """The levels after each arrival, for a sudden step and the resistances alone."""
    rows: list[tuple[Value, ...]] = []
    rows += [
        (2 * at + 1, at_load, at_source)
        for at, (at_load, at_source) in enumerate(zip(steps.load_v, steps.source_v, strict=True))
    ]
    columns = (
        Column("delays", "delays gone"), Column("load_v", "at the load", "V"),
        Column("source_v", "at the source end", "V"),
    )  # fmt: skip
    return Table("A sudden step going to and fro, resistances alone", columns, tuple(rows))


BOTH_ENDS = Sum(
    slug="reflection",
    title="The wave at both ends of a wire",
    question="What does a step become at the load when the wire sends part of it back?",
    inputs=(
        Quantity(
            name="step_v", label="Step of the source with nothing on it", unit=VOLTS, example="30 V", span=Span.ANY
        ),
        SOURCE_OHM,
        Quantity(name="series_ohm", label="Series resistor at the source", unit=OHMS, example="0", span=Span.ZERO_UP),
        Quantity(
            name="rise_s", label="Edge, from foot to top", unit=NANOSECONDS, example="20 ns", span=Span.ZERO_UP,
            help="A reading from 10 to 90 % is 0.8 of it.",
        ),
        IMPEDANCE,
        Quantity(name="delay_s", label="Delay of the wire, one way", unit=NANOSECONDS, example="18.4 ns"),
        Quantity(
            name="load_ohm", label="Resistance of the load", unit=OHMS, example="", optional=True,
            help="Left empty: an open end, as a grid is.",
        ),
        Quantity(
            name="load_f", label="Capacitance of the load", unit=PICOFARADS, example="20p", optional=True,
            span=Span.ZERO_UP,
        ),
    ),
    compute=_both_ends,
    formula=(
        "reflected part = (R − Z0) / (R + Z0), at either end",
        "launched part = Z0 / (R source + Z0)",
        "each arrival adds the wave and what is reflected of it",
    ),
    source="L. V. Bewley's lattice, 1933, and F. H. Branin, Proc. IEEE 55, 1967 (both from memory).",
    assumptions=(NO_LOSS, "The edge is straight.", "The table is of a sudden step and resistances alone."),
    limits=(ONE_LOAD, "Valve stages that clip or draw grid current are not linear, and are not covered."),
    leads_to_ht=True,
)  # fmt: skip
