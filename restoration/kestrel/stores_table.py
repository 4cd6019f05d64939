"""What lies in the drawers of the net loft: resistors and capacitors.

All counts and drawers are the invention of this demonstration.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from restoration.engineering.preferred_values import values_between
from restoration.kestrel.site_days import chance


@dataclass(frozen=True)
class DrawerPlan:
    """A drawer of parts alike in all but their value; the tolerance a fraction, the values a preferred series."""

    place: str
    kind: str
    series: str
    least: float
    most: float
    tolerance: float
    rating_w: float | None
    rating_v: float | None
    grade: str
    make: str
    remarks: str = ""


@dataclass(frozen=True)
class PartPlan:
    """So many parts of one value in a drawer."""

    drawer: DrawerPlan
    value: float
    quantity: int


DRAWERS = (
    DrawerPlan("R1", "resistor", "E12", 47, 820e3, 0.10, 0.5, 350, "period spare", "carbon rod"),
    DrawerPlan("R2", "resistor", "E6", 100, 470e3, 0.20, 1.0, 500, "period spare", "carbon rod"),
    DrawerPlan("R3", "resistor", "E24", 100, 91e3, 0.05, 0.5, 350, "modern substitute", "film, in old sleeves"),
    DrawerPlan("R4", "resistor", "E6", 100, 4.7e3, 0.05, 6.0, 500, "period spare", "wire-wound, vitreous"),
    DrawerPlan("C1", "capacitor", "E6", 10e-12, 1e-9, 0.05, None, 350, "period spare", "silvered mica"),
    DrawerPlan(
        "C2",
        "capacitor",
        "E6",
        1e-9,
        100e-9,
        0.20,
        None,
        350,
        "original",
        "waxed paper",
        "Test the leakage of each at its working voltage before it is used; keep for places where it is seen.",
    ),
    DrawerPlan("C3", "capacitor", "E6", 1e-9, 470e-9, 0.10, None, 630, "modern substitute", "film, in old tubes"),
)


def parts() -> Iterator[PartPlan]:
    """Every line of the stores; a few drawers are empty of a value, as drawers are."""
    for drawer in DRAWERS:
        for value in values_between(drawer.series, drawer.least, drawer.most):
            yield PartPlan(drawer, value, int(chance(drawer.place, f"{value:.3g}").integers(0, 28)))
