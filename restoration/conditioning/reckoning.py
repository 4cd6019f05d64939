"""What is to be expected on a link, reckoned with the constants of this site and their spread."""

from restoration.conditioning.models import WiringFit
from restoration.engineering.in_place import NOMINAL, SiteConstants, WireConstants
from restoration.engineering.lines.geometry import (
    delay_per_metre,
    impedance_coaxial,
    impedance_over_chassis,
    impedance_twin,
)
from restoration.machine.models import WireForm, WireKind

IMPEDANCES = {
    WireForm.OVER_CHASSIS: impedance_over_chassis,
    WireForm.TWIN: impedance_twin,
    WireForm.SCREENED: impedance_coaxial,
}


def constants_of(fit: WiringFit | None) -> SiteConstants:
    """The constants of a fit; without one, what geometry and drawings say, with wide spreads."""
    return SiteConstants.of_dict(fit.told) if fit is not None else NOMINAL


def nominal_constants(kind: WireKind) -> WireConstants:
    """The constants of a kind of wire by its measures alone; raises ValueError for measures that cannot be."""
    impedance_ohm = IMPEDANCES[WireForm(kind.form)](kind.spacing_m, kind.conductor_m, kind.permittivity)
    return WireConstants.of_line(impedance_ohm, delay_per_metre(kind.permittivity))
