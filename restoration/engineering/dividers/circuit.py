"""A divider at rest: a source behind its resistance, a series and a shunt resistor, and what hangs on them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.plots import format_part, format_si
from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)


@dataclass(frozen=True)
class Divider:
    """Open-circuit volts behind a resistance, a series and a shunt resistor, and the load beside the shunt.

    Infinity is an open end: no load, or no shunt. Raises ValueError for a source or series resistance below zero, a
    shunt or load that is not above zero, volts that are not finite, and figures far too small or large to be meant.

    >>> Divider(30.0, 1e3, 10e3, 6.8e3, load_ohm=0.0)
    Traceback (most recent call last):
    ValueError: load_ohm must be more than zero; 0.0 was given.
    """

    source_v: float
    source_ohm: float
    series_ohm: float
    shunt_ohm: float
    load_ohm: float = math.inf

    def __post_init__(self) -> None:
        refuse_not_finite(source_v=self.source_v)
        refuse_below_zero(source_ohm=self.source_ohm, series_ohm=self.series_ohm)
        refuse_not_above_zero(shunt_ohm=self.shunt_ohm, load_ohm=self.load_ohm)
        refuse_out_of_reach(**vars(self))

    @property
    def lower_ohm(self) -> float:
        """The shunt and the load side by side."""
        return parallel(self.shunt_ohm, self.load_ohm)


@dataclass(frozen=True)
class DividerFigures:
    """What a divider gives and what each part of it turns into heat; Thevenin's figures are without the load.

    `series_v` is what stands on the series resistor, as `load_v` does on the shunt.
    """

    load_v: float
    thevenin_v: float
    thevenin_ohm: float
    source_a: float
    series_w: float
    shunt_w: float
    load_w: float
    source_w: float
    series_v: float


def parallel(*resistances_ohm: float) -> float:
    """Resistances side by side.

    Formula: 1 / Σ (1 / R). Source: Kirchhoff's laws. Valid for one resistance or more, infinity for an open one.
    Units: ohms. Errors: ValueError for none, and for one that is not above zero.

    >>> parallel(6e3, 3e3), parallel(math.inf, math.inf)
    (2000.0, inf)
    """
    refuse_unless(bool(resistances_ohm), "No resistance was given; give one or more.")
    for resistance in resistances_ohm:
        refuse_not_above_zero(resistance_ohm=resistance)
        refuse_out_of_reach(resistance_ohm=resistance)
    closed = [resistance for resistance in resistances_ohm if math.isfinite(resistance)]
    if len(closed) < 2:
        return closed[0] if closed else math.inf
    return 1.0 / math.fsum(1.0 / resistance for resistance in closed)


def _share(lower_ohm: float, upper_ohm: float) -> float:
    """The part of the open volts that stands on the lower resistance."""
    return 1.0 if math.isinf(lower_ohm) else lower_ohm / (upper_ohm + lower_ohm)


def solve(divider: Divider, duty: float = 1.0) -> DividerFigures:
    """Volts at the load, the Thevenin equivalent, the current from the source and the heat in each part.

    Formula: Rp = R2 ∥ RL, V = Vs Rp / (Rs + R1 + Rp), I = Vs / (Rs + R1 + Rp), Vth = Vs R2 / (Rs + R1 + R2),
    Rth = R2 ∥ (Rs + R1), P1 = I² R1 × duty, P2 = V² / R2 × duty. Source: Kirchhoff's laws and Thevenin's theorem;
    checked against ngspice's operating point. Valid at rest and for the flat top of a pulse; its edges need the
    capacitances (see compensation). The heat is that of volts that stand for the part `duty` of the time, and nothing
    between. Units: V, Ω, A, W. Errors: ValueError for a duty outside 0 to 1.

    >>> figures = solve(Divider(30.0, 1e3, 10e3, 6.8e3, load_ohm=47e3))
    >>> round(figures.load_v, 7), round(figures.source_a * 1e3, 8), round(figures.thevenin_ohm, 5)
    (10.520079, 1.77090191, 4202.24719)
    """
    refuse_unless(0.0 <= duty <= 1.0, f"A duty is a part of the time from 0 to 1; {duty} was given.")
    upper = divider.source_ohm + divider.series_ohm
    load_v = divider.source_v * _share(divider.lower_ohm, upper)
    source_a = divider.source_v / (upper + divider.lower_ohm)
    return DividerFigures(
        load_v=load_v,
        thevenin_v=divider.source_v * _share(divider.shunt_ohm, upper),
        thevenin_ohm=parallel(divider.shunt_ohm, upper) if upper else 0.0,
        source_a=source_a,
        series_w=source_a**2 * divider.series_ohm * duty,
        shunt_w=load_v**2 / divider.shunt_ohm * duty,
        load_w=load_v**2 / divider.load_ohm * duty,
        source_w=source_a**2 * divider.source_ohm * duty,
        series_v=source_a * divider.series_ohm,
    )


def charged_part(pulse_s: float, thevenin_ohm: float, load_f: float) -> float:
    """The part of its level that a pulse comes to while it lasts, where a capacitance is charged through a resistance.

    Formula: 1 - exp(-t / R C), for a pulse that begins at rest. Source: the exponential; checked against ngspice.
    Valid for one resistance and one capacitance, edges short beside the pulse, and a rest of some R C before it.
    Units: s, Ω, F; a part of one. Errors: ValueError for a pulse not above zero or not finite, and for a resistance or
    capacitance below zero.

    >>> round(charged_part(100e-9, 5e3, 100e-12), 4), charged_part(1e-6, 5e3, 0.0)
    (0.1813, 1.0)
    """
    refuse_not_above_zero(pulse_s=pulse_s)
    refuse_not_finite(pulse_s=pulse_s)
    refuse_below_zero(thevenin_ohm=thevenin_ohm, load_f=load_f)
    refuse_out_of_reach(pulse_s=pulse_s, thevenin_ohm=thevenin_ohm, load_f=load_f)
    constant_s = thevenin_ohm * load_f
    return -math.expm1(-pulse_s / constant_s) if constant_s else 1.0


@dataclass(frozen=True)
class Halving:
    """What two equal resistors to earth make of a pulse: its part of the open volts, and how far that is from half.

    `ratio` is to the open-circuit volts, `ratio_to_before` to what stood on the load before the pair was fitted;
    `miss` is ratio / ½ − 1. `source_part` and `load_part` are the shares of the miss: what the source's resistance
    alone, and then the load, take. `halves` holds where the miss is within what was allowed.
    """

    ratio: float
    ratio_to_before: float
    miss: float
    source_part: float
    load_part: float
    halves: bool
    words: str


def halving(each_ohm: float, source_ohm: float = 0.0, load_ohm: float = math.inf, within: float = 0.02) -> Halving:
    r"""What two equal resistors, one in series and one to earth, really make of a pulse.

    Formula: Rp = R ∥ RL, ratio = Rp / (Rs + R + Rp); without load and with a stiff source R / 2R, a half. The shares
    of the miss are in turn: the source alone first, 2R / (Rs + 2R) − 1, then the load. Source: common practice, no
    source: "two equal resistors to earth halve a pulse". Valid for the flat top of a pulse; `within` is what still
    passes for a half, as a part of it. Units: Ω, parts of one. Errors: ValueError for resistances that are not above
    zero (the source's may be zero) and for a `within` that is not between 0 and 1.

    >>> print(halving(10e3).words.replace("\xa0", " "))
    The source is stiff and the load is light: two equal resistors of 10.0 kΩ halve the pulse.
    >>> print(halving(1e3, source_ohm=1e3).words.replace("\xa0", " "))
    Two equal resistors of 1.00 kΩ leave 0.333 of the open pulse, 33.3 % less than half of it: the source is not stiff,
    its own 1.00 kΩ takes 33.3 %.
    """
    refuse_not_finite(each_ohm=each_ohm)
    refuse_not_above_zero(each_ohm=each_ohm)
    refuse_unless(0.0 < within < 1.0, f"What passes for a half is a part between 0 and 1; {within} was given.")
    ratio = solve(Divider(1.0, source_ohm, each_ohm, each_ohm, load_ohm)).load_v
    source_part = solve(Divider(1.0, source_ohm, each_ohm, each_ohm)).load_v / 0.5 - 1.0
    miss = ratio / 0.5 - 1.0
    load_part = miss - source_part
    halves = abs(miss) <= within
    return Halving(
        ratio=ratio,
        ratio_to_before=ratio / _share(load_ohm, source_ohm),
        miss=miss,
        source_part=source_part,
        load_part=load_part,
        halves=halves,
        words=_halving_words(each_ohm, (source_ohm, source_part), (load_ohm, load_part), ratio, halves),
    )


def _halving_words(
    each_ohm: float, source: tuple[float, float], load: tuple[float, float], ratio: float, halves: bool
) -> str:
    each = format_si(each_ohm, "Ω")
    if source[1] == load[1] == 0.0:
        return f"The source is stiff and the load is light: two equal resistors of {each} halve the pulse."
    causes = [
        f"the source is not stiff, its own {format_si(source[0], 'Ω')} takes {format_part(-source[1])}",
        f"the load is not light, its {format_si(load[0], 'Ω')} takes {format_part(-load[1])}",
    ]
    told = "; ".join(cause for cause, (_, part) in zip(causes, (source, load), strict=True) if part < 0.0)
    miss = format_part(1.0 - 2.0 * ratio)
    near = ", near enough to half" if halves else ""
    return (
        f"Two equal resistors of {each} leave {ratio:.3g} of the open pulse, {miss} less than half of it{near}: {told}."
    )
