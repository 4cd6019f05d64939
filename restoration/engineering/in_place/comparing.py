"""The bench against the place: how far the model explains why a figure in place differs from that on the bench."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from restoration.engineering.in_place.arrangement import BARE
from restoration.engineering.in_place.case import LinkCase, OtherWire
from restoration.engineering.in_place.constants import NOMINAL, SiteConstants
from restoration.engineering.in_place.figures import predict
from restoration.engineering.in_place.intervals import predict_interval
from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import LinkLoad
from restoration.engineering.plots import format_part, format_si
from restoration.engineering.refusals import refuse_below_zero, refuse_not_finite, refuse_unless

COMPARED = (Quantity.AMPLITUDE, Quantity.PULSE_DURATION, Quantity.RISE_TIME, Quantity.FALL_TIME)
"""Quantities that have a ratio worth speaking of: always above zero."""
SHORTEST_M = 0.01
"""Length that stands for no wire at all."""
COVERAGE = 2.0
"""How many standard uncertainties the unexplained rest may be before it is called so."""
_LEVEL = 0.6827


@dataclass(frozen=True)
class Measured:
    """A measured figure with its standard uncertainty (k = 1), SI units. Raises ValueError for one not above zero."""

    value: float
    uncertainty: float = 0.0

    def __post_init__(self) -> None:
        refuse_not_finite(value=self.value)
        refuse_below_zero(uncertainty=self.uncertainty)
        refuse_unless(self.value > 0.0, f"A figure to compare has to be above zero; {self.value} was given.")

    @property
    def part(self) -> float:
        """The uncertainty as a part of the value."""
        return self.uncertainty / self.value


@dataclass(frozen=True)
class Factor:
    """One reason why a figure differs in place, and by what it multiplies the figure."""

    words: str
    ratio: float


@dataclass(frozen=True)
class Explanation:
    """How a figure in place stands to that on the bench, what the model says of it, and the rest.

    `ratio` is place over bench, the product of the factors' ratios times `unexplained`. `uncertainty` is the standard
    uncertainty of the rest, as a part. `words` says what to think of it.
    """

    quantity: Quantity
    ratio: float
    factors: tuple[Factor, ...]
    unexplained: float
    uncertainty: float
    words: tuple[str, ...]

    @property
    def is_explained(self) -> bool:
        """Whether the rest is within twice its standard uncertainty."""
        return abs(math.log(self.unexplained)) <= COVERAGE * self.uncertainty


def emf_from_bench(bench_v: float, bench_load: LinkLoad, drive_ohm: float) -> float:
    """Open-circuit volts of a source that gave so many volts into a load on the bench.

    Formula: e = v*(1 + R/RL). Source: Ohm's law. Valid for levels that settle, and a source that is a resistance.
    Units: volts, ohms. Errors: ValueError for a drive resistance below zero and what is not finite.

    >>> emf_from_bench(18.0, LinkLoad(10e3, 30e-12), 1000.0)
    19.8
    """
    refuse_not_finite(bench_v=bench_v)
    refuse_below_zero(drive_ohm=drive_ohm)
    return bench_v * (1.0 + drive_ohm * bench_load.conductance_s)


def explain(
    bench: Measured,
    bench_load: LinkLoad,
    place: Measured,
    case: LinkCase,
    *,
    quantity: Quantity = Quantity.AMPLITUDE,
    end: str = "load",
    constants: SiteConstants = NOMINAL,
    wire: str = "",
    drive: str = "",
) -> Explanation:
    """Why a figure in place differs from the one on the bench, factor by factor, and what is left unexplained.

    Formula: the figure is predicted with the bench load at the source, then with the loads' resistances in place,
    then with their capacitance and the wires', then with the wire as a line, the parts fitted, the probe, and the
    site's constants; each factor is one prediction over the one before, so that their product is the ratio predicted.
    The rest is the measured ratio over that; its uncertainty is that of both figures and of the prediction.
    Source: own order of steps; another order gives other factors and the same product. `case` has nominal constants.
    Valid as `predict`. Units: SI. Errors: ValueError for a quantity without a ratio, or another end.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import PulseSource
    >>> source = PulseSource(0.0, 22.0, 2e-6, 1e-7, 1e-7, resistance_ohm=1000.0)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(1000.0), bench_load=LinkLoad(10e3))
    >>> found = explain(Measured(20.0, 0.2), LinkLoad(10e3), Measured(11.0, 0.1), case)
    >>> round(found.ratio, 3), round(found.factors[0].ratio, 3), round(found.unexplained, 3), found.is_explained
    (0.55, 0.55, 1.0, True)
    """
    quantity = Quantity(quantity)
    refuse_unless(
        quantity in COMPARED,
        f"The {quantity.words} has no ratio to compare; {', '.join(one.words for one in COMPARED)} have.",
    )
    refuse_unless(end in ("load", "source"), f"A link has the ends load and source; {end!r} was given.")
    start = _on_the_bench(case, bench_load)
    steps = list(_steps(case, bench_load, constants, wire, drive))
    values = [predict(one).end(end).get(quantity) or math.nan for one in (start, *(step for _, step in steps))]
    factors = tuple(
        Factor(words, here / before)
        for (words, _), before, here in zip(steps, values[:-1], values[1:], strict=True)
        if words
    )
    ratio = place.value / bench.value
    unexplained = ratio / math.prod(factor.ratio for factor in factors)
    interval = predict_interval(case, constants, wire, drive, level=_LEVEL)[end, quantity]
    of_model = math.log(interval.high / interval.low) / 2
    uncertainty = math.sqrt(bench.part**2 + place.part**2 + of_model**2)
    overshoot = predict(constants.applied(case, wire, drive)).end(end).overshoot
    found = Explanation(quantity, ratio, factors, unexplained, uncertainty, ())
    return replace(found, words=tuple(_words(found, overshoot)))


def _on_the_bench(case: LinkCase, bench_load: LinkLoad) -> LinkCase:
    return replace(case, length_m=SHORTEST_M, load=bench_load, others=(), arrangement=BARE, probe=None)


def _steps(
    case: LinkCase, bench_load: LinkLoad, constants: SiteConstants, wire: str, drive: str
) -> Iterator[tuple[str, LinkCase]]:
    bare = replace(case, arrangement=BARE, probe=None, others=tuple(_bare(other) for other in case.others))
    resistive = replace(
        bare,
        length_m=SHORTEST_M,
        load=replace(case.load, capacitance_f=bench_load.capacitance_f, grid_stopper_ohm=0.0),
        others=tuple(_only_resistive(other) for other in bare.others),
    )
    ohm = 1.0 / (1.0 / case.load.resistance_ohm + 1.0 / bare.others_load.resistance_ohm)
    yield _words_of_load(ohm, bench_load.resistance_ohm), resistive
    wire_f = case.wire.capacitance_f_per_m * case.length_m
    lumped = replace(bare, length_m=SHORTEST_M, load=replace(case.load, capacitance_f=case.load.capacitance_f + wire_f))
    all_f = lumped.load.capacitance_f + bare.others_load.capacitance_f
    yield (
        f"wires and loads have {format_si(all_f, 'F')}, the bench load {format_si(bench_load.capacitance_f, 'F')}",
        lumped,
    )
    yield f"{format_si(case.length_m, 'm')} of wire reflects and rings", bare
    fitted = replace(case, probe=None)
    if fitted != bare:
        yield f"parts are fitted: {case.arrangement.words}", fitted
    if case.probe is not None:
        yield "the probe loads the link while it is measured", case
    of_site = constants.applied(case, wire, drive)
    if of_site != case:
        factor = constants.factors(wire, drive)[2]
        yield f"the site's records have the drive resistance {factor:.2f} times that of the drawing", of_site


def _words_of_load(ohm: float, bench_ohm: float) -> str:
    bench = "no resistance" if math.isinf(bench_ohm) else format_si(bench_ohm, "Ω")
    place = "no resistance" if math.isinf(ohm) else format_si(ohm, "Ω")
    return f"the loads in place have {place} together, the bench load {bench}"


def _bare(other: OtherWire) -> OtherWire:
    return replace(other, arrangement=BARE)


def _only_resistive(other: OtherWire) -> OtherWire:
    return replace(other, length_m=SHORTEST_M, load=LinkLoad(other.load.resistance_ohm))


def _words(found: Explanation, overshoot: float) -> Iterator[str]:
    within = format_part(COVERAGE * found.uncertainty)
    if found.is_explained:
        yield f"The model explains the {found.quantity.words} in place to within the {within} that it is known to."
        return
    more = found.unexplained > 1.0
    off = format_part(abs(found.unexplained - 1.0))
    yield (
        f"The {found.quantity.words} in place is {off} {'above' if more else 'below'} what the model explains, and is "
        f"known to {within}."
    )
    if found.quantity is not Quantity.AMPLITUDE:
        return
    if more and abs(found.unexplained / (1.0 + overshoot) - 1.0) <= COVERAGE * found.uncertainty:
        yield f"The overshoot predicted is {format_part(overshoot)}: see whether the peak was read for the amplitude."
    elif more:
        yield "See whether a load is off the source, the probe's factor is set, and the bench load was as recorded."
    else:
        yield "See whether the source has a load not listed, the rails are up in place, and the joints are sound."
