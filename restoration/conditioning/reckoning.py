"""What is to be expected on a link, reckoned with the constants of this site and their spread."""

import math

from restoration.engineering.in_place.case import WireConstants
from restoration.machine.models import WireKind


def nominal_constants(kind: WireKind) -> WireConstants:
    """Constants of a kind of wire by its measures alone."""
    z = 60 / math.sqrt(kind.permittivity) * math.acosh(2 * kind.spacing_m / kind.conductor_m)
    return WireConstants.of_line(z, math.sqrt(kind.permittivity) / 299792458.0)
