"""What to mind about a prediction: where the model is only fair, or the stage is asked for more than it gives."""

from __future__ import annotations

import math
from collections.abc import Iterator

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.reading import PulseFigures, Reading
from restoration.engineering.link_model import LinkModel
from restoration.engineering.plots import format_part, format_si

GRID_LIKE_OHM = 20e3
"""A load of this or more is likely to be a grid."""
WELL_DAMPED = 1.0 / 6.0
"""Part of the edge that the delay of another wire may be before lumping it is told of."""


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
    for other in case.others:
        delay_s = other.length_m * other.wire.delay_s_per_m
        if delay_s > WELL_DAMPED * case.edge_s:
            yield (
                f"The wire to {other.code} is taken as a lump at the source, which is fair only while it is short; "
                f"its delay is {format_si(delay_s, 's')} beside an edge of {format_si(case.edge_s, 's')}."
            )


def _of_grid(case: LinkCase, load: PulseFigures) -> Iterator[str]:
    is_grid = case.load.grid_stopper_ohm > 0 or case.load.resistance_ohm >= GRID_LIKE_OHM
    if is_grid and case.source.step_v > 0:
        yield (
            f"The load is reckoned as linear up to {format_si(load.high_level_v, 'V')}: a grid that is driven positive "
            "draws current and holds the pulse down, which is not reckoned."
        )
