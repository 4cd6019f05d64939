"""What a probe does to the point it touches: it pulls the level down, slows the edge, and rings on its earth."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.dividers.circuit import parallel
from restoration.engineering.plots import format_part, format_si
from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import refuse_below_zero, refuse_not_above_zero, refuse_not_finite
from restoration.engineering.rise_time import rc_rise_s
from restoration.engineering.second_order import resonance_hz

LEAD_H_PER_M = 1e-6
"""Inductance of a ground lead, about 1 µH a metre: common practice, from memory."""

MOST_PART_OF_PULSE = 1.0 / 3.0
"""A probe that adds more than a third of the pulse to its rise is warned of: common practice, no source."""

MOST_DC_ERROR = 0.10
"""A level pulled down by more than a tenth is warned of: common practice, no source."""


@dataclass(frozen=True)
class Probe:
    """A probe by what it hangs on the circuit: resistance beside capacitance, its factor, and its ground lead.

    Raises ValueError for a resistance or a factor that is not above zero, and for a capacitance or a lead below zero.

    >>> Probe(10e6, 12e-12, factor=10.0, ground_lead_m=-0.1)
    Traceback (most recent call last):
    ValueError: ground_lead_m must be zero or more and finite; -0.1 was given.
    """

    resistance_ohm: float
    capacitance_f: float
    factor: float = 1.0
    ground_lead_m: float = 0.0

    def __post_init__(self) -> None:
        refuse_not_above_zero(resistance_ohm=self.resistance_ohm, factor=self.factor)
        refuse_not_finite(factor=self.factor)
        refuse_below_zero(capacitance_f=self.capacitance_f, ground_lead_m=self.ground_lead_m)
        refuse_out_of_reach(**vars(self))


TIMES_TEN = Probe(10e6, 12e-12, 10.0, 0.15)
"""A usual ×10 probe: 10 MΩ and 12 pF (common practice, no source)."""

TIMES_ONE = Probe(1e6, 100e-12, 1.0, 0.15)
"""A usual ×1 probe on its cable: 1 MΩ and about 100 pF (common practice, no source)."""


@dataclass(frozen=True)
class ProbeLoading:
    """What a probe changes: the level, as a part lost; the rise times without and with it; how its earth rings.

    `added_rise_s` is the probe's capacitance behind the source alone. `ringing_hz` is None without a ground lead or
    without capacitance.
    """

    dc_error: float
    rise_without_s: float
    rise_with_s: float
    added_rise_s: float
    ringing_hz: float | None
    warnings: tuple[str, ...]


def probe_loading(
    probe: Probe,
    source_ohm: float,
    source_f: float = 0.0,
    *,
    pulse_s: float | None = None,
    lead_h_per_m: float = LEAD_H_PER_M,
) -> ProbeLoading:
    """What a probe does to a point with so much resistance and capacitance of its own.

    Formula: level lost Rs / (Rs + Rp); rise ln 9 (Rs ∥ Rp)(C + Cp) with the probe, ln 9 Rs C without, ln 9 (Rs ∥ Rp) Cp
    for the probe alone; ringing 1 / 2π√(L Cp), L the ground lead at about 1 µH a metre (common practice, from memory).
    Source: Thevenin's theorem and the RC edge. Valid for a point that is one resistance and one capacitance, and for
    frequencies where the probe's own resistance still counts. Warned of, common practice, no source: more than a
    tenth of the level lost, more than a third of the pulse added to its rise, and a lead that the source does not damp:
    Rs under 2 √(L / Cp), whatever the edge.
    Units: Ω, F, s, H/m, Hz. Errors: ValueError for values below zero or not finite, and a pulse not above zero.

    >>> found = probe_loading(TIMES_TEN, 10e3)
    >>> round(found.added_rise_s * 1e6, 3), round(found.dc_error, 6)
    (0.263, 0.000999)
    >>> print(probe_loading(TIMES_ONE, 10e3, pulse_s=2e-6).warnings[0].replace("\\xa0", " "))
    The probe adds 2.18 µs of rise to a pulse of 2.00 µs, more than a third of it: take one with less capacitance.
    """
    refuse_below_zero(source_ohm=source_ohm, source_f=source_f, lead_h_per_m=lead_h_per_m)
    refuse_out_of_reach(source_ohm=source_ohm, source_f=source_f, lead_h_per_m=lead_h_per_m)
    both_ohm = parallel(source_ohm, probe.resistance_ohm) if source_ohm else 0.0
    lead_h = probe.ground_lead_m * lead_h_per_m
    loading = ProbeLoading(
        dc_error=source_ohm / (source_ohm + probe.resistance_ohm),
        rise_without_s=rc_rise_s(source_ohm, source_f),
        rise_with_s=rc_rise_s(both_ohm, source_f + probe.capacitance_f),
        added_rise_s=rc_rise_s(both_ohm, probe.capacitance_f),
        ringing_hz=resonance_hz(lead_h, probe.capacitance_f) if lead_h and probe.capacitance_f else None,
        warnings=(),
    )
    warnings = tuple(_warnings(loading, pulse_s, _damping_ohm(lead_h, probe), source_ohm))
    return ProbeLoading(**{**vars(loading), "warnings": warnings})


def _damping_ohm(lead_h: float, probe: Probe) -> float:
    return 2.0 * math.sqrt(lead_h / probe.capacitance_f) if probe.capacitance_f else 0.0


def _warnings(loading: ProbeLoading, pulse_s: float | None, damping_ohm: float, source_ohm: float) -> list[str]:
    told = []
    if pulse_s is not None:
        refuse_not_above_zero(pulse_s=pulse_s)
        refuse_not_finite(pulse_s=pulse_s)
        refuse_out_of_reach(pulse_s=pulse_s)
        if loading.added_rise_s > MOST_PART_OF_PULSE * pulse_s:
            told.append(
                f"The probe adds {format_si(loading.added_rise_s, 's')} of rise to a pulse of "
                f"{format_si(pulse_s, 's')}, more than a third of it: take one with less capacitance."
            )
    if loading.dc_error > MOST_DC_ERROR:
        told.append(
            f"The probe pulls the level down by {format_part(loading.dc_error)}: take one with more resistance, ten "
            "times the source's or more."
        )
    if loading.ringing_hz is not None and source_ohm < damping_ohm:
        told.append(
            f"The ground lead rings at about {format_si(loading.ringing_hz, 'Hz')} on an edge this stiff: shorten it "
            "before you believe an overshoot."
        )
    return told
