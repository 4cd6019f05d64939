"""What is to be expected on a link, reckoned with the constants of this site and their spread."""

from restoration.conditioning.models import WiringFit
from restoration.engineering.in_place import NOMINAL, SiteConstants


def constants_of(fit: WiringFit | None) -> SiteConstants:
    """The constants of a fit; without one, what geometry and drawings say, with wide spreads."""
    return SiteConstants.of_dict(fit.told) if fit is not None else NOMINAL
