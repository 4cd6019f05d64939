"""The series resistor that stops a wire from ringing."""

import math

import numpy as np

from restoration.engineering.figures import NANOSECONDS, PERCENT, PICOFARADS, VOLTS
from restoration.engineering.lines.lumped import damping_ohm, lumped_ring, ratio_for_overshoot
from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource, Samples, link_volts
from restoration.engineering.preferred_values import neighbours
from restoration.sums.catalogue.bouncing.shared import (
    DELAY_PER_METRE,
    IMPEDANCE,
    LENGTH,
    NO_LOSS,
    ONE_LOAD,
    POINTS,
    SOURCE_OHM,
)
from restoration.sums.declared import Answer, Quantity, Result, Span, Sum, shown
from restoration.sums.drawing import waves


def _damping(
    *, length_m: float, impedance_ohm: float, delay_s_per_m: float, load_f: float | None, source_ohm: float,
    step_v: float, rise_s: float, overshoot: float,
) -> Answer:  # fmt: skip
    delay_s = length_m * delay_s_per_m
    henries, farads = impedance_ohm * delay_s, delay_s / impedance_ohm + (load_f or 0.0)
    ring = lumped_ring(henries, farads, source_ohm)
    wanted = ratio_for_overshoot(overshoot)
    total_ohm = damping_ohm(wanted, henries, farads)
    series_ohm = max(0.0, total_ohm - source_ohm)
    fitted_ohm = neighbours("E24", series_ohm)[1] if series_ohm else 0.0
    times, without, damped = _with_and_without(
        PulseSource(0.0, step_v, 1.0, rise_s, rise_s, source_ohm),
        LosslessLine(impedance_ohm, delay_s), LinkLoad(math.inf, load_f or 0.0), fitted_ohm,
    )  # fmt: skip
    found, left = (max(0.0, float((volts / step_v).max()) - 1) for volts in (without, damped))
    said = (
        f"{shown(fitted_ohm, 'Ω')} in series at the source" if fitted_ohm else "The source alone is resistance enough"
    )
    return Answer(
        f"{said}: the overshoot goes from {shown(found, '%')} to {shown(left, '%')}, the wire taken as a line.",
        (
            Result("series_ohm", "Series resistor, by the lumped wire", series_ohm, "Ω"),
            Result("fitted_ohm", "Next of E24 above", fitted_ohm, "Ω"),
            Result("total_ohm", "All resistance in series", total_ohm, "Ω", "the source's included"),
            Result("ringing_hz", "Rings at, as a lump", ring.undamped_hz, "Hz"),
            Result("damping_ratio", "Damping ratio without it", ring.damping_ratio),
            Result("lumped_overshoot", "Overshoot without it, as a lump", ring.overshoot_after(rise_s), "%"),
            Result("line_overshoot", "Overshoot without it, as a line", found, "%"),
            Result("line_overshoot_left", "Overshoot with it, as a line", left, "%"),
            Result("added_rise_s", "Slows the edge, about", 2.2 * fitted_ohm * farads, "s", "2.2 R C, 10 to 90 %"),
        ),
        figure=waves(
            f"Level at the load without and with {shown(fitted_ohm, 'Ω')} in series",
            "The load without the resistor and with it, the wire taken as a line.",
            times,
            {"with": damped, "without": without},
        ),
    )  # fmt: skip


def _with_and_without(
    source: PulseSource, line: LosslessLine, load: LinkLoad, series_ohm: float
) -> tuple[Samples, Samples, Samples]:
    """Times, and levels at the load without and with the series resistor."""
    slowest_s = (source.resistance_ohm + series_ohm) * (load.capacitance_f + line.delay_s / line.impedance_ohm)
    times = np.linspace(-line.delay_s, source.rise_s + 16 * line.delay_s + 5 * slowest_s, POINTS)
    without, damped = (link_volts(LinkModel(source, line, load, each), times).load_v for each in (0.0, series_ohm))
    return times, without, damped


DAMPING = Sum(
    slug="damping",
    title="Damping a ringing wire",
    question="Which series resistor at the source stops this wire from ringing?",
    inputs=(
        LENGTH,
        IMPEDANCE,
        DELAY_PER_METRE,
        Quantity(
            name="load_f", label="Capacitance of the load", unit=PICOFARADS, example="50p", optional=True,
            span=Span.ZERO_UP,
        ),
        SOURCE_OHM,
        Quantity(name="step_v", label="Step of the source", unit=VOLTS, example="30 V"),
        Quantity(name="rise_s", label="Edge, from foot to top", unit=NANOSECONDS, example="50 ns", span=Span.ZERO_UP),
        Quantity(name="overshoot", label="Overshoot that may be left", unit=PERCENT, example="5 %"),
    ),
    compute=_damping,
    formula=(
        "L = Z0 · delay; C = delay / Z0 + load",
        "f = 1 / 2π√(LC); ζ = (R/2) √(C/L); overshoot = exp(−πζ / √(1 − ζ²))",
        "R in all = 2ζ √(L/C), the source's included",
    ),
    source="Second-order circuit theory; as a line by ramps and reflections. A starting value, as is common practice.",
    assumptions=(NO_LOSS, "The load takes no steady current.", "The overshoot asked for is that of a sudden step."),
    limits=("The lump holds while the edge is long beside the delay; beside it stands the result as a line.", ONE_LOAD),
    leads_to_ht=True,
)  # fmt: skip
