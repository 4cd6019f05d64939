"""Sums for a pulse that arrives too large."""

import math

import numpy as np

from restoration.engineering.dividers import (
    Divider,
    best_pairs,
    charged_part,
    check_rating,
    compensation,
    corners,
    halving,
    parallel,
    solve,
    spread,
    uncompensated,
)
from restoration.engineering.figures import MILLIAMPERES, NANOSECONDS, OHMS, PERCENT, PICOFARADS, VOLTS
from restoration.engineering.plots import format_part
from restoration.engineering.preferred_values import SERIES, nearest, neighbours, tolerance_of, values_between
from restoration.engineering.rise_time import rc_rise_s
from restoration.sums.declared import Answer, Choice, Column, Group, Quantity, Result, Span, Sum, Table, shown
from restoration.sums.drawing import waves
from restoration.sums.units import PartValue, series_choice

KIRCHHOFF = "Kirchhoff's laws and Thevenin's theorem."
UNIT_OF = {"resistor": "Ω", "capacitor": "F", "inductor": "H"}
SOURCE_V = Quantity(
    name="source_v", label="Pulse of the source with nothing on it", unit=VOLTS, example="30 V", span=Span.ANY
)
SOURCE_OHM = Quantity(
    name="source_ohm", label="Resistance of the source", unit=OHMS, example="1k", span=Span.ZERO_UP,
    help="0 for a stiff source.",
)  # fmt: skip
LOAD_OHM = Quantity(
    name="load_ohm", label="Resistance of the load", unit=OHMS, example="47k", optional=True,
    help="All loads together. Left empty: none.",
)  # fmt: skip


def _preferred(*, wanted: float, kind: str, series: str) -> Answer:
    unit = UNIT_OF[kind]
    found = nearest(series, wanted)
    rows = []
    for name in SERIES:
        below, above = neighbours(name, wanted)
        near = nearest(name, wanted)
        rows.append((name, below, above, near, near / wanted - 1, tolerance_of(name)))
    columns = (
        Column("series", "series"), Column("below", "at or below", unit), Column("above", "at or above", unit),
        Column("nearest", "nearest", unit), Column("miss", "off by", "%"), Column("tolerance", "its tolerance", "%"),
    )  # fmt: skip
    off = found / wanted - 1
    return Answer(
        f"Of {series} the nearest is {shown(found, unit)}, {shown(off, '%')} from what is wanted.",
        (
            Result("nearest", "Nearest", found, unit),
            Result("off", "Off by", off, "%"),
            Result("by_difference", "Nearest by difference", nearest(series, wanted, by="difference"), unit),
            Result("tolerance", "Tolerance that goes with the series", tolerance_of(series), "%"),
        ),
        tables=(Table("The neighbours in every series", columns, tuple(rows)),),
    )


PREFERRED = Sum(
    slug="preferred",
    title="Preferred values",
    question="Which value can be had that is nearest to the one wanted?",
    inputs=(
        PartValue(name="wanted", label="Value wanted", example="5k"),
        Choice(name="kind", label="Kind of part", example="resistor", options=tuple((kind, kind) for kind in UNIT_OF)),
        series_choice(),
    ),
    compute=_preferred,
    formula=(
        "value = 10^(i/n), rounded to two figures up to E24, to three from E48 on, with the exceptions of IEC 60063",
    ),
    source="IEC 60063 (from memory); its members compared with published tables.",
    assumptions=("Nearest is by ratio, as tolerances are: between 4.3 and 4.7 the change is at 4.4956.",),
    limits=(
        "The tolerance of a series is a habit; the part in hand may be closer or wider, and old ones have drifted.",
    ),
)


def _divider(
    *, source_v: float, source_ohm: float, series_ohm: float, shunt_ohm: float, load_ohm: float | None,
    tolerance: float, duty: float,
) -> Answer:  # fmt: skip
    divider = Divider(source_v, source_ohm, series_ohm, shunt_ohm, load_ohm or math.inf)
    found = solve(divider, duty)
    least, most = corners(divider, tolerance, tolerance)
    likely = spread(divider, tolerance, tolerance).root_sum_square_v
    return Answer(
        f"{shown(found.load_v, 'V')} at the load, {shown(least, 'V')} to {shown(most, 'V')} with both resistors at the "
        "worst ends of their tolerance.",
        (
            Result("load_v", "Level at the load", found.load_v, "V"),
            Result("least_v", "Least", least, "V", "worst case"),
            Result("most_v", "Most", most, "V", "worst case"),
            Result("likely_v", "Likely spread, either way", likely, "V", "root-sum-square"),
            Result("thevenin_v", "Level without the load", found.thevenin_v, "V"),
            Result("thevenin_ohm", "Resistance that the load sees", found.thevenin_ohm, "Ω"),
            Result("source_a", "Current from the source", found.source_a, "A", "while the pulse stands"),
            Result("series_w", "Heat in the series resistor", found.series_w, "W", "at this duty"),
            Result("shunt_w", "Heat in the shunt resistor", found.shunt_w, "W", "at this duty"),
            Result("load_w", "Heat in the load", found.load_w, "W", "at this duty"),
        ),
        (
            f"Run at half of their printed watts, the series resistor wants {shown(2 * found.series_w, 'W')} or more "
            f"and the shunt {shown(2 * found.shunt_w, 'W')} or more; {shown(abs(found.series_v), 'V')} and "
            f"{shown(abs(found.load_v), 'V')} stand on them at the top of a pulse.",
        ),
    )  # fmt: skip


DIVIDER = Sum(
    slug="divider",
    title="Divider",
    question="What level is left behind two resistors, with this source and this load?",
    inputs=(
        SOURCE_V,
        SOURCE_OHM,
        Quantity(name="series_ohm", label="Series resistor", unit=OHMS, example="10k", span=Span.ZERO_UP),
        Quantity(name="shunt_ohm", label="Shunt resistor, to earth", unit=OHMS, example="6k8"),
        LOAD_OHM,
        Quantity(name="tolerance", label="Tolerance of both resistors", unit=PERCENT, example="5 %", span=Span.ZERO_UP),
        Quantity(
            name="duty", label="Part of the time that the pulse stands", unit=PERCENT, example="100 %",
            span=Span.ZERO_UP,
        ),
    ),
    compute=_divider,
    formula=(
        "V = Vs · Rp / (Rs + R1 + Rp), Rp = R2 beside RL",
        "seen by the load: R2 beside (Rs + R1)",
        "heat = I² R1 and V² / R2, times the duty",
    ),
    source=KIRCHHOFF,
    assumptions=("The source is the same resistance on both edges.", "Nothing stands between the pulses."),
    limits=("For steady levels and the flat top of a pulse; for its edges see “Keeping a divider flat”.",),
    leads_to_ht=True,
)  # fmt: skip


def _pair(
    *, wanted_v: float, source_v: float, source_ohm: float, load_ohm: float | None, series: str,
    least_ohm: float, most_ohm: float, most_source_a: float | None,
) -> Answer:  # fmt: skip
    values = values_between(series, least_ohm, most_ohm)
    pairs = best_pairs(
        wanted_v, source_v, source_ohm, load_ohm or math.inf, values, 8, most_source_a=most_source_a or math.inf
    )
    if not pairs:
        raise ValueError("No pair of these values keeps within the current allowed; allow more, or higher resistances.")
    best, tolerance = pairs[0], tolerance_of(series)
    rows = []
    for pair in pairs:
        divider = Divider(source_v, source_ohm, pair.series_ohm, pair.shunt_ohm, load_ohm or math.inf)
        drawn = solve(divider).source_a
        rows.append(
            (pair.series_ohm, pair.shunt_ohm, pair.load_v, pair.error, *corners(divider, tolerance, tolerance), drawn)
        )
    columns = (
        Column("series_ohm", "series", "Ω"), Column("shunt_ohm", "shunt", "Ω"), Column("load_v", "at the load", "V"),
        Column("off", "off by", "%"), Column("least_v", "least", "V"), Column("most_v", "most", "V"),
        Column("source_a", "drawn", "A"),
    )  # fmt: skip
    return Answer(
        f"{shown(best.series_ohm, 'Ω')} in series and {shown(best.shunt_ohm, 'Ω')} to earth leave "
        f"{shown(best.load_v, 'V')}.",
        (
            Result("series_ohm", "Series resistor", best.series_ohm, "Ω"),
            Result("shunt_ohm", "Shunt resistor", best.shunt_ohm, "Ω"),
            Result("load_v", "Level at the load", best.load_v, "V"),
            Result("off", "Off by", best.error, "%"),
            Result("tried", "Values that were tried", len(values), "values"),
        ),
        (f"Least and most are with both resistors {shown(tolerance, '%')} off, as goes with {series}.",),
        (Table("The nearest pairs", columns, tuple(rows)),),
    )  # fmt: skip


PAIR = Sum(
    slug="pair",
    title="Choose a divider",
    question="Which two preferred values bring the pulse down to the level wanted?",
    inputs=(
        Quantity(name="wanted_v", label="Level wanted at the load", unit=VOLTS, example="10 V", span=Span.ANY),
        SOURCE_V,
        SOURCE_OHM,
        LOAD_OHM,
        series_choice(),
        Quantity(name="least_ohm", label="Least resistance to choose", unit=OHMS, example="1k"),
        Quantity(name="most_ohm", label="Most resistance to choose", unit=OHMS, example="100k"),
        Quantity(
            name="most_source_a", label="Most that the source may give", unit=MILLIAMPERES, example="", optional=True
        ),
    ),
    compute=_pair,
    formula=("V = Vs · Rp / (Rs + R1 + Rp), Rp = R2 beside RL, for every pair", "off by = V / wanted − 1"),
    source="Every pair is worked; " + KIRCHHOFF,
    assumptions=("Of pairs equally near the lower resistances come first: their edges are quicker.",),
    limits=("For the flat top of a pulse; a pair of high resistances rounds the edge at the load's capacitance.",),
    leads_to_ht=True,
)  # fmt: skip


def _flat(*, series_ohm: float, shunt_ohm: float, shunt_f: float, series_f: float | None, source_ohm: float) -> Answer:
    needed = compensation(series_ohm, shunt_ohm, shunt_f)
    fitted = uncompensated(series_ohm, series_f or 0.0, shunt_ohm, shunt_f, source_ohm=source_ohm)
    matched = uncompensated(series_ohm, needed, shunt_ohm, shunt_f, source_ohm=source_ohm)
    span_s = 5 * max(fitted.time_constant_s, matched.time_constant_s, 1e-12)
    times = np.linspace(-0.1 * span_s, span_s, 500)
    return Answer(
        f"{shown(needed, 'F')} beside the series resistor keeps the pulse flat.",
        (
            Result("series_f", "Capacitance that keeps it flat", needed, "F"),
            Result("series_e12_f", "Nearest of E12", nearest("E12", needed), "F"),
            Result("overshoot", "Overshoot as fitted", fitted.overshoot, "%"),
            Result("rounding", "Part of the edge that comes late", fitted.rounding, "%"),
            Result("time_constant_s", "Time constant of what comes late", fitted.time_constant_s, "s"),
            Result("final_ratio", "Final part of the pulse", fitted.final_ratio, "%"),
        ),
        (f"As fitted: {fitted.words}",),
        figure=waves(
            "A step of one volt through the divider, as fitted and kept flat",
            "A step of one volt: as fitted, and with the capacitance that keeps it flat.",
            times,
            {"kept flat": matched.at(times), "as fitted": fitted.at(times)},
        ),
    )


FLAT = Sum(
    slug="flat",
    title="Keeping a divider flat",
    question="What capacitance beside the series resistor keeps the edge as it was?",
    inputs=(
        Quantity(name="series_ohm", label="Series resistor", unit=OHMS, example="10k"),
        Quantity(name="shunt_ohm", label="Shunt resistor with the load beside it", unit=OHMS, example="6k8"),
        Quantity(
            name="shunt_f", label="Capacitance across the shunt", unit=PICOFARADS, example="60p",
            help="Load, wire behind the divider, and the probe while it hangs there.",
        ),
        Quantity(
            name="series_f", label="Capacitance fitted beside the series resistor", unit=PICOFARADS, example="",
            optional=True, span=Span.ZERO_UP, help="Left empty: none.",
        ),
        SOURCE_OHM,
    ),
    compute=_flat,
    formula=("flat: C1 = R2 C2 / R1", "at once: C1 / (C1 + C2); in the end: R2 / (R1 + R2) (a stiff source)"),
    source="Common practice; worked from Kirchhoff's laws, source resistance included.",
    assumptions=("Load and wire are one resistance and one capacitance.",),
    limits=(
        "An edge slower than the time constant shows less of it.",
        "The probe's capacitance counts while it hangs on the shunt.",
    ),
    leads_to_ht=True,
)  # fmt: skip


def _halve(
    *, each_ohm: float, source_ohm: float, load_ohm: float | None, source_v: float, duty: float, load_f: float | None,
    pulse_s: float | None,
) -> Answer:  # fmt: skip
    found = halving(each_ohm, source_ohm, load_ohm or math.inf)
    load_v = source_v * found.ratio
    heat = check_rating(load_v, each_ohm, duty, 0.5)
    series = solve(Divider(source_v, source_ohm, each_ohm, each_ohm, load_ohm or math.inf), duty)
    seen_ohm = parallel(source_ohm + each_ohm, each_ohm, load_ohm or math.inf)
    rise_s = rc_rise_s(seen_ohm, load_f or 0.0)
    reached_v = load_v * charged_part(pulse_s, seen_ohm, load_f or 0.0) if pulse_s else None
    return Answer(
        f"{found.words} {_arriving(load_v, reached_v)}",
        (
            Result("load_v", "Level at the load", load_v, "V", "a pulse that lasts long enough"),
            Result("ratio", "Part of the open pulse", found.ratio, "%"),
            Result("ratio_to_before", "Part of what was there before", found.ratio_to_before, "%"),
            Result("source_part", "Taken by the source's resistance", abs(found.source_part), "%", "of the half"),
            Result("load_part", "Taken by the load", abs(found.load_part), "%", "of the half"),
            Result("seen_ohm", "Resistance that the load sees", seen_ohm, "Ω"),
            Result("rise_s", "Edge at the load's capacitance", rise_s, "s", "10 to 90 %, of a sudden step"),
            Result("reached_v", "Reached by the end of the pulse", reached_v, "V"),
            Result("source_a", "Current from the source", series.source_a, "A"),
            Result("shunt_w", "Heat in the resistor to earth", heat.watts, "W", "at this duty"),
            Result("series_w", "Heat in the resistor in series", series.series_w, "W", "at this duty"),
        ),
        (
            f"With nothing else on it, a half to within {format_part(0.02)} needs a source of less than about "
            f"{shown(each_ohm / 25, 'Ω')}; from a stiff source, a load of more than about "
            f"{shown(each_ohm * 25, 'Ω')}. Where both take their part, what is left for each is less.",
        ),
    )  # fmt: skip


def _arriving(load_v: float, reached_v: float | None) -> str:
    if reached_v is None or abs(reached_v) >= 0.98 * abs(load_v):
        return f"{shown(load_v, 'V')} arrive."
    return (
        f"That would be {shown(load_v, 'V')}; but the capacitance is not charged while the pulse lasts, and it comes "
        f"to {shown(reached_v, 'V')} only."
    )


HALVE = Sum(
    slug="halve",
    title="Halving a pulse by two equal resistors",
    question="Do two equal resistors really halve this pulse?",
    inputs=(
        Quantity(name="each_ohm", label="Each of the two resistors", unit=OHMS, example="10k"),
        SOURCE_OHM,
        LOAD_OHM,
        SOURCE_V,
        Quantity(
            name="duty", label="Part of the time that the pulse stands", unit=PERCENT, example="25 %",
            span=Span.ZERO_UP,
        ),
        Quantity(
            name="load_f", label="Capacitance of the load", unit=PICOFARADS, example="40p", optional=True,
            span=Span.ZERO_UP, help="Load, wire behind the resistors, and the probe while it hangs there.",
        ),
        Quantity(name="pulse_s", label="Pulse duration", unit=NANOSECONDS, example="2 µs", optional=True),
    ),
    compute=_halve,
    formula=(
        "part of the pulse = Rp / (Rs + R + Rp), Rp = R beside RL",
        "a half where Rs is nothing and RL without end",
        "edge = 2.197 R C and reached = level (1 − exp(−t / R C)), R = Rp beside (Rs + R)",
    ),
    source="A fact of the trade, common practice, no source; what really happens is by Kirchhoff's laws.",
    assumptions=("The source is the same resistance on both edges.", "What is within 2 % passes for a half."),
    limits=(
        "Nothing lies beside the series resistor: a capacitor there quickens the edge, see “Keeping a divider flat”.",
        "For wires short beside the edge.",
    ),
    leads_to_ht=True,
)  # fmt: skip

GROUP = Group(1, "The pulse is too large", (HALVE, PAIR, DIVIDER, FLAT, PREFERRED))
