"""When a wire may be taken as lumped, and what it does as one inductance and one capacitance."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass, replace

import numpy as np

from restoration.engineering.lines.ends import settled_shares
from restoration.engineering.lines.records import LinkModel, PulseSource
from restoration.engineering.lines.volts import link_volts
from restoration.engineering.plots import format_part, format_si
from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)
from restoration.engineering.second_order import overshoot_of, resonance_hz

USUAL_DELAY_S_PER_M = 4e-9
"""A bare or thinly insulated single wire over a frame; common practice, no source."""
FOR_LONG_S = 1.0


@dataclass(frozen=True)
class LineRule:
    """A published rule: the wire is a line once its one-way delay passes this share of the edge (10 to 90 %)."""

    key: str
    share_of_edge: float
    words: str
    source: str


JOHNSON = "H. Johnson, signalintegrity.com, article 3_14 (opening read)"
CADENCE = "Cadence, note on lumped and distributed wires (opening read)"
LIST = "interferencetechnology.com, list of published factors (opening read)"

RULES: dict[str, LineRule] = {
    rule.key: rule
    for rule in (
        LineRule("johnson simulate", 1 / 6, "simulate as a line beyond a sixth of the edge", JOHNSON),
        LineRule("johnson careful", 1 / 10, "terminate beyond a tenth of the edge, the careful end", JOHNSON),
        LineRule("johnson easy", 1 / 3, "terminate beyond a third of the edge, the easy end", JOHNSON),
        LineRule("cadence short", 1 / 4, "no longer lumped beyond a quarter of the edge", CADENCE),
        LineRule("cadence long", 1 / 2, "a long line beyond half of the edge", CADENCE),
        LineRule("round trip", 1 / 2, "a line once the wave is not back within the edge", "Common practice, no source"),
        *(
            LineRule(f"list 1/{part}", 1 / part, f"a line beyond 1/{part} of the edge", LIST)
            for part in (2, 3, 4, 5, 6, 8, 10, 12, 20)
        ),
    )
}
USUAL_RULE = RULES["johnson simulate"]


def longest_lumped_m(
    rise_s: float, rule: LineRule = USUAL_RULE, *, delay_s_per_m: float = USUAL_DELAY_S_PER_M
) -> float:
    """The longest wire that a rule still takes as lumped.

    Formula: share*tr/delay per metre. Source: the rule's own; the published ones disagree by ten to one. Valid for one
    wire with its load at the end. Units: seconds, metres. Errors: ValueError for figures not above zero.

    >>> [round(longest_lumped_m(100e-9, RULES[key]), 2) for key in ("johnson simulate", "round trip")]
    [4.17, 12.5]
    """
    refuse_not_above_zero(rise_s=rise_s, delay_s_per_m=delay_s_per_m)
    refuse_not_finite(rise_s=rise_s, delay_s_per_m=delay_s_per_m)
    return rule.share_of_edge * rise_s / delay_s_per_m


def is_long(
    length_m: float, rise_s: float, rule: LineRule = USUAL_RULE, *, delay_s_per_m: float = USUAL_DELAY_S_PER_M
) -> bool:
    """Whether a rule takes a wire for a line rather than lumped.

    Formula: length*delay > share*tr. Source: the rule's own. Valid as ``longest_lumped_m``. Units: metres, seconds.
    Errors: ValueError for figures not above zero.

    >>> is_long(5.0, 100e-9), is_long(5.0, 100e-9, RULES["round trip"])
    (True, False)
    """
    refuse_not_above_zero(length_m=length_m)
    refuse_not_finite(length_m=length_m)
    return length_m > longest_lumped_m(rise_s, rule, delay_s_per_m=delay_s_per_m)


def rules_on(
    length_m: float, rise_s: float, *, delay_s_per_m: float = USUAL_DELAY_S_PER_M
) -> tuple[tuple[LineRule, bool], ...]:
    """Every published rule with its answer for one wire, the one that calls it a line soonest first.

    Formula: ``is_long``. Source: each rule's own. Valid as ``longest_lumped_m``. Units: metres, seconds.
    Errors: ValueError for figures not above zero.

    >>> sum(long for _, long in rules_on(5.0, 100e-9)), len(rules_on(5.0, 100e-9))
    (7, 15)
    """
    ordered = sorted(RULES.values(), key=lambda rule: rule.share_of_edge)
    return tuple((rule, is_long(length_m, rise_s, rule, delay_s_per_m=delay_s_per_m)) for rule in ordered)


def what_the_rules_say(length_m: float, rise_s: float, *, delay_s_per_m: float = USUAL_DELAY_S_PER_M) -> str:
    """One sentence on whether the published rules take the wire for a line, and that they disagree where they do.

    Formula: ``rules_on``. Source: each rule's own. Valid as ``longest_lumped_m``. Units: metres, seconds.
    Errors: ValueError for figures not above zero.

    >>> what_the_rules_say(5.0, 100e-9)
    'The published rules disagree: 7 of 15 take this wire for a line, the others for lumped; look at both results.'
    >>> what_the_rules_say(0.5, 1e-6)
    'All 15 published rules take this wire for lumped.'
    """
    answers = rules_on(length_m, rise_s, delay_s_per_m=delay_s_per_m)
    lines = sum(is_line for _, is_line in answers)
    if lines in (0, len(answers)):
        return f"All {len(answers)} published rules take this wire for {'a line' if lines else 'lumped'}."
    return (
        f"The published rules disagree: {lines} of {len(answers)} take this wire for a line, the others for lumped; "
        "look at both results."
    )


@dataclass(frozen=True)
class LumpedRing:
    """A wire as one inductance in series with a resistance into one capacitance.

    `undamped_hz` is 1/(2*pi*sqrt(L*C)); `ringing_hz` with the damping, none from critical damping on. `overshoot` is
    that of a step, as a part of it.
    """

    inductance_h: float
    capacitance_f: float
    resistance_ohm: float
    undamped_hz: float
    damping_ratio: float
    ringing_hz: float | None
    overshoot: float

    def overshoot_after(self, edge_s: float) -> float:
        """Overshoot, as a part of the step, after a straight edge (0 to 100 %) of this length.

        Formula: the mean over the edge of the step's error, Re[K*exp(p*t)] with p = -zeta*w + i*w*sqrt(1 - zeta^2), at
        its largest. Source: second-order circuit theory. Valid as the lumped wire itself. Units: seconds.
        Errors: ValueError for an edge below zero.

        >>> ring = lumped_ring(4.6e-6, 110e-12, 102.0)
        >>> round(ring.overshoot, 3), round(ring.overshoot_after(100e-9), 3)
        (0.445, 0.176)
        """
        refuse_below_zero(edge_s=edge_s)
        if self.ringing_hz is None:
            return 0.0
        turning = 2 * math.pi * self.ringing_hz
        pole = complex(-self.damping_ratio * 2 * math.pi * self.undamped_hz, turning)
        error = -1.0 + 1j * pole.real / turning * -1.0
        if edge_s:
            error *= (1.0 - cmath.exp(-pole * edge_s)) / (pole * edge_s)
        times_s = edge_s + np.linspace(0.0, 1.0 / self.ringing_hz, 4001)
        return max(0.0, float(np.max((error * np.exp(pole * times_s)).real)))


def lumped_ring(inductance_h: float, capacitance_f: float, resistance_ohm: float) -> LumpedRing:
    """Ringing frequency, damping ratio and overshoot of a wire taken as lumped.

    Formula: f = 1/(2*pi*sqrt(L*C)), zeta = (R/2)*sqrt(C/L), overshoot exp(-pi*zeta/sqrt(1 - zeta^2)) of a step,
    nothing from zeta = 1 on. R is all resistance in series, the source's too; C the wire's and the load's.
    Source: second-order circuit theory. Valid while the edge is long beside the delay; the wire's own capacitance is
    spread along it, and taken whole it makes the frequency of a bare wire come out a third low (an open line rings at
    1/(4*Td)). Units: henry, farad, ohm. Errors: ValueError for L or C not above zero, R below zero.

    >>> ring = lumped_ring(4.6e-6, 110e-12, 204.5)
    >>> round(ring.undamped_hz / 1e6, 2), round(ring.damping_ratio, 2), round(ring.overshoot, 2)
    (7.08, 0.5, 0.16)
    """
    _refuse_parts(inductance_h, capacitance_f)
    refuse_below_zero(resistance_ohm=resistance_ohm)
    undamped_hz = resonance_hz(inductance_h, capacitance_f)
    ratio = resistance_ohm / 2 * math.sqrt(capacitance_f / inductance_h)
    turning = math.sqrt(1.0 - ratio**2) if ratio < 1.0 else None
    return LumpedRing(
        inductance_h,
        capacitance_f,
        resistance_ohm,
        undamped_hz,
        ratio,
        ringing_hz=undamped_hz * turning if turning else None,
        overshoot=overshoot_of(ratio),
    )


def damping_ohm(damping_ratio: float, inductance_h: float, capacitance_f: float) -> float:
    """All the series resistance, the source's included, for a wanted damping ratio of a lumped wire.

    Formula: 2*zeta*sqrt(L/C). Source: second-order circuit theory. Valid as ``lumped_ring``; a starting value, take the
    nearest preferred one and measure. Units: henry, farad, ohm. Errors: ValueError for figures not above zero.

    >>> [round(damping_ohm(ratio, 4.6e-6, 110e-12)) for ratio in (0.5, 1.0)]
    [204, 409]
    """
    _refuse_parts(inductance_h, capacitance_f)
    refuse_not_above_zero(damping_ratio=damping_ratio)
    refuse_not_finite(damping_ratio=damping_ratio)
    return 2.0 * damping_ratio * math.sqrt(inductance_h / capacitance_f)


def ratio_for_overshoot(overshoot: float) -> float:
    """The damping ratio at which a step overshoots by this part.

    Formula: d/sqrt(pi^2 + d^2) with d = -ln(overshoot). Source: second-order circuit theory. Valid for an overshoot
    between nothing and the whole step. Units: none. Errors: ValueError outside.

    >>> [round(ratio_for_overshoot(part), 3) for part in (0.163, 0.046)]
    [0.5, 0.7]
    """
    refuse_unless(
        0.0 < overshoot < 1.0, f"An overshoot must be more than 0 and less than 1 of the step; {overshoot} was given."
    )
    decay = -math.log(overshoot)
    return decay / math.hypot(math.pi, decay)


@dataclass(frozen=True)
class BesideLine:
    """The lumped result beside the line result of one link: overshoot of the leading edge at the load by both."""

    ring: LumpedRing
    lumped_overshoot: float
    line_overshoot: float
    words: str


def lumped_beside_line(link: LinkModel) -> BesideLine:
    """The overshoot a lumped wire would have on this link, beside that of the line.

    Formula: L = Z0*Td, C = Td/Z0 + load's, R = source's and series; the line by ``link_volts``. Source: as both.
    Valid for a load that takes little current; shunt, attenuator, stopper and what hangs on the source are in the line
    result alone. Units: as the link's. Errors: as ``link_volts``.

    >>> from restoration.engineering.lines.records import LinkLoad, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 30.0, 2e-6, 1e-7, 1e-7, resistance_ohm=100.0)
    >>> both = lumped_beside_line(LinkModel(source, LosslessLine(276.0, 17e-9), LinkLoad(1e6, 50e-12)))
    >>> both.words
    'Lumped, the load overshoots by 18.5\\xa0% and rings at 6.7\\xa0MHz; as a line it overshoots by 11.7\\xa0%.'
    """
    line, source = link.line, link.source
    ring = lumped_ring(
        line.impedance_ohm * line.delay_s,
        line.delay_s / line.impedance_ohm + link.load.capacitance_f,
        link.driving_ohm,
    )
    lumped, as_line = ring.overshoot_after(source.rise_s), _line_overshoot(link)
    rings = f" and rings at {format_si(ring.ringing_hz, 'Hz', 2)}" if ring.ringing_hz else " and does not ring"
    return BesideLine(
        ring,
        lumped,
        as_line,
        f"Lumped, the load overshoots by {format_part(lumped)}{rings}; "
        f"as a line it overshoots by {format_part(as_line)}.",
    )


def _line_overshoot(link: LinkModel) -> float:
    """Past the settled level, as a part of the way to it, of an edge that stays up."""
    source = link.source
    up = PulseSource(0.0, 1.0, source.rise_s + FOR_LONG_S, source.rise_s, source.rise_s, source.resistance_ohm)
    still = replace(link, source=up, ripple=None)
    slowest_s = link.driving_ohm * (link.load.capacitance_f + link.source_load_f)
    look_s = source.rise_s + 40 * link.line.delay_s + 5 * slowest_s
    load_v = link_volts(still, np.linspace(0.0, look_s, 4000)).load_v
    return max(0.0, float(load_v.max()) / settled_shares(still).load.real - 1.0)


def _refuse_parts(inductance_h: float, capacitance_f: float) -> None:
    refuse_not_above_zero(inductance_h=inductance_h, capacitance_f=capacitance_f)
    refuse_not_finite(inductance_h=inductance_h, capacitance_f=capacitance_f)
