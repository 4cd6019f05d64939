"""What a kind of wire is as a line: its impedance, its delay, and what a metre of it holds."""

from collections.abc import Callable

from restoration.engineering.figures import MILLIMETRES, with_unit
from restoration.engineering.in_place.case import WireConstants
from restoration.engineering.lines.geometry import (
    delay_per_metre,
    impedance_coaxial,
    impedance_over_chassis,
    impedance_twin,
)
from restoration.machine.models import WireForm, WireKind

IMPEDANCES: dict[str, Callable[[float, float, float], float]] = {
    WireForm.OVER_CHASSIS: impedance_over_chassis,
    WireForm.TWIN: impedance_twin,
    WireForm.SCREENED: impedance_coaxial,
}
SPACING_WORDS: dict[str, str] = {
    WireForm.OVER_CHASSIS: "centre over the metal",
    WireForm.TWIN: "between the centres",
    WireForm.SCREENED: "inside the screen",
}


def constants_of(kind: WireKind) -> WireConstants:
    """Reckon the capacitance and the inductance of a metre from how the wire lies; refuses what cannot be."""
    impedance_ohm = IMPEDANCES[kind.form](kind.spacing_m, kind.conductor_m, kind.permittivity)
    return WireConstants.of_line(impedance_ohm, delay_per_metre(kind.permittivity))


def wire_in_words(kind: WireKind) -> str:
    """Say how a wire lies: single wire over metal, conductor 0.7 mm, 20 mm centre over the metal."""
    between = "" if kind.permittivity == 1 else f", permittivity {kind.permittivity:g}"
    conductor, spacing = (with_unit(length, MILLIMETRES) for length in (kind.conductor_m, kind.spacing_m))
    return f"{kind.get_form_display()}, conductor {conductor}, {spacing} {SPACING_WORDS[kind.form]}{between}"
