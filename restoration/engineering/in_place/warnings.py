"""What to mind about a prediction: where the model is only fair, or the stage is asked for more than it gives."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.reading import SETTLED, PulseFigures, Reading
from restoration.engineering.in_place.solving import settling_s
from restoration.engineering.link_model import LinkModel, link_volts, settled_shares
from restoration.engineering.plots import format_part, format_si

GRID_LIKE_OHM = 20e3
"""A load of this or more is likely to be a grid."""
LUMPING = 0.65
"""What lumping other wires errs by on an edge, as a part of the amplitude, for each part that their longest delay is of
the edge. Found by ngspice on some hundred stars of two to five wires, with parts on them and without, sources of 40 to
2000 Ω, edges of 50 to 200 ns, wires to 8 m: at worst 0.60, and by as much for the overshoot; amplitudes erred by less
than 1 %. A rise time erred by up to two thirds, where an edge pauses near a reference level."""
LUMPING_TOLD = 0.05


def lumping_error(case: LinkCase) -> float:
    """How far the waveform may err on an edge because the other wires are taken as lumps, as a part of the amplitude.

    Formula: 0.65 * longest delay of the other wires / edge. Source: comparison with ngspice, see `LUMPING`.
    Valid for delays up to half the edge; beyond, the other wires are no lumps at all. Units: none. Errors: none.

    >>> from restoration.engineering.in_place.case import OtherWire, WireConstants
    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source, wire = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, 400.0), WireConstants(12e-12, 0.9e-6)
    >>> case = LinkCase(source, 2.0, wire, LinkLoad(), (OtherWire("K2", 4.0, wire, LinkLoad()),))
    >>> round(lumping_error(case), 3)
    0.085
    """
    delays_s = [other.length_m * other.wire.delay_s_per_m for other in case.others]
    return LUMPING * max(delays_s, default=0.0) / case.edge_s


def warnings_of(
    case: LinkCase,
    model: LinkModel,
    readings: tuple[Reading, Reading],
    drive_a: float,
) -> tuple[str, ...]:
    """Sentences about where a prediction is only fair, the gravest first.

    Formula: none. Source: common practice, no source. Valid for a prediction of this case. Units: SI. Errors: none.
    """
    return (
        *_of_drive(case, drive_a),
        *_of_levels(readings),
        *_of_repetition(model),
        *_of_termination(case, model),
        *_of_line(case),
        *_of_others(case),
        *_of_grid(case, readings[1].figures),
    )


def _of_drive(case: LinkCase, drive_a: float) -> Iterator[str]:
    if case.drive_most_a is not None and drive_a > case.drive_most_a:
        yield (
            f"The source would have to give {format_si(drive_a, 'A')} and can give "
            f"{format_si(case.drive_most_a, 'A')}: the pulse will be lower and slower than reckoned."
        )


def _of_levels(readings: tuple[Reading, Reading]) -> Iterator[str]:
    for reading, end in zip(readings, ("source", "load"), strict=True):
        if not reading.settled:
            yield (
                f"The pulse does not settle at the {end} end while it lasts; its amplitude there, "
                f"{format_si(reading.figures.amplitude_v, 'V')}, is the level it reaches."
            )
        if reading.again:
            yield (
                f"The trace at the {end} end rings back past the middle between its levels: what it drives may see "
                "more than one pulse."
            )


def _of_repetition(model: LinkModel) -> Iterator[str]:
    left = left_over(model)
    if left > SETTLED:
        yield (
            f"The pulse comes again before the trace has come to rest: {format_part(left)} of it is still there at the "
            "load when the next begins. These are the figures of a pulse after a long rest."
        )


def left_over(model: LinkModel) -> float:
    """How far the load is from rest when the next pulse begins, as a part of the amplitude that settles.

    Formula: `link_volts` of one pulse, a period after its start. Source: as `link_volts`. Valid as `LinkModel`; zero
    where no period is known, and where the rest lasts longer than the link takes to settle. Units: none. Errors: none.

    >>> from restoration.engineering.link_model import LinkLoad, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 20.0, 2e-6, 1e-8, 1e-8, resistance_ohm=10e3, period_s=3e-6)
    >>> round(left_over(LinkModel(source, LosslessLine(280.0, 1e-10), LinkLoad(capacitance_f=100e-12))), 2)
    0.32
    """
    source = model.source
    if source.period_s is None or source.period_s - source.duration_s >= settling_s(model):
        return 0.0
    once = replace(model, source=replace(source, period_s=None))
    share = settled_shares(model).load.real
    at_next_v = link_volts(once, np.array([source.start_s + source.period_s])).load_v[0]
    return abs(float(at_next_v) - source.rest_v * share) / abs(source.step_v * share)


def _of_termination(case: LinkCase, model: LinkModel) -> Iterator[str]:
    coupling_f = case.arrangement.shunt_coupling_f
    if math.isfinite(coupling_f):
        constant_s = coupling_f * (case.arrangement.shunt_ohm + model.driving_ohm + model.attenuator_ohm)
        lost = -math.expm1(-case.source.duration_s / constant_s)
        yield (
            f"The termination is coupled by a capacitor: it lets go with a time constant of "
            f"{format_si(constant_s, 's')}, so that {format_part(lost)} of its pull is gone by the end of the pulse, "
            "and the trace passes rest after it."
        )


def _of_line(case: LinkCase) -> Iterator[str]:
    trip_s, edge_s = 2 * case.delay_s, case.edge_s
    if trip_s > edge_s:
        yield (
            f"The wire is long beside the edge: there and back takes {format_si(trip_s, 's')}, the edge "
            f"{format_si(edge_s, 's')}; reflections show as steps."
        )


def _of_others(case: LinkCase) -> Iterator[str]:
    error = lumping_error(case)
    if error > LUMPING_TOLD:
        longest = max(case.others, key=lambda other: other.length_m * other.wire.delay_s_per_m)
        yield (
            f"The other wires of the source are taken as lumps, which is fair while they are short beside the edge: "
            f"{longest.code} has {format_si(longest.length_m, 'm')}, so that while an edge passes the level, and the "
            f"overshoot, may err by {format_part(error)} of the amplitude, and the time of an edge by more."
        )


def _of_grid(case: LinkCase, load: PulseFigures) -> Iterator[str]:
    is_grid = case.load.grid_stopper_ohm > 0 or case.load.resistance_ohm >= GRID_LIKE_OHM
    if is_grid and case.source.step_v > 0:
        yield (
            f"The load is reckoned as linear up to {format_si(load.high_level_v, 'V')}: a grid that is driven positive "
            "draws current and holds the pulse down, which is not reckoned."
        )
