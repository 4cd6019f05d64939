"""The wiring constants of a site: what its wires and drives are like beside what geometry and drawings say."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student_t

from restoration.engineering.in_place.case import LinkCase, WireConstants
from restoration.engineering.in_place.scales import NOMINAL_SCATTER
from restoration.engineering.limits import Quantity
from restoration.engineering.refusals import refuse_unless

CAPACITANCE, INDUCTANCE, DRIVE = "capacitance", "inductance", "drive"
COMMON = (CAPACITANCE, INDUCTANCE, DRIVE)
"""What is fitted for the whole site: natural logarithms of the factors on nominal C', L' and drive resistance."""

PRIOR_SPREAD = MappingProxyType({CAPACITANCE: 0.18, INDUCTANCE: 0.18, DRIVE: 0.20})
"""Standard deviations of those before any record. Common practice, no source: open wire over metal has 10 to 15 pF/m
and 0.7 to 1.1 µH/m; resistors of the period stray by a tenth to a fifth, valves more."""
KIND_SPREAD = 0.08
"""Standard deviation of a kind of wire about the site's common factor; own guess."""
DRIVE_SPREAD = 0.12
"""Standard deviation between the drives of a site before any record; own guess."""
PRIOR_WEIGHT = 3.0
"""How many drives with records the guessed spread between drives counts for."""
LEAST_FREEDOM = 4.0
"""Degrees of freedom of a guessed scatter, to which each measured figure adds one."""

Matrix = NDArray[np.float64]


@dataclass(frozen=True)
class Constant:
    """One constant for people: its name, the kind of wire it is of, its value and an interval; SI units."""

    name: str
    wire: str
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class SiteConstants:
    """What the records of a site say of its wires and drives.

    `names` are the fitted logarithms: the three of `COMMON`, then `capacitance:KIND` and `inductance:KIND` for kinds of
    wire with records enough, then `drive:KEY` for each drive with records; `means` and `covariance` are theirs.
    `scatter` is the standard deviation of a measured figure about its prediction, on the scale of `scales`, and
    `freedom` the degrees of freedom that tell it. `wires` are the nominal constants of the kinds
    in the records, `wild` says which records disagree with all the others.
    """

    names: tuple[str, ...]
    means: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    drive_spread: float
    kind_spread: float
    scatter: Mapping[Quantity, float]
    freedom: Mapping[Quantity, float]
    record_count: int = 0
    wires: Mapping[str, WireConstants] = field(default_factory=lambda: MappingProxyType({}))
    wild: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        size = len(self.names)
        refuse_unless(
            len(self.means) == size
            and len(self.covariance) == size
            and all(len(row) == size for row in self.covariance),
            f"There are {size} names of constants; means and covariance have to be of the same size.",
        )
        refuse_unless(
            self.names[:3] == COMMON,
            f"The first three constants are {', '.join(COMMON)}; {', '.join(self.names[:3])} were given.",
        )
        numbers = (*self.means, self.drive_spread, self.kind_spread, *self.scatter.values())
        refuse_unless(
            all(math.isfinite(number) for number in numbers) and bool(np.all(np.isfinite(self.covariance))),
            "Every constant of a site has to be a finite number; one that is not was given.",
        )

    @classmethod
    def from_geometry(cls) -> SiteConstants:
        """Constants of a site without records: geometry and drawings as they stand, with wide spreads.

        Formula: all factors 1; spreads `PRIOR_SPREAD`, `KIND_SPREAD`, `DRIVE_SPREAD`, scatter `NOMINAL_SCATTER`.
        Source: common practice, no source. Valid until there are records. Units: none. Errors: none.

        >>> SiteConstants.from_geometry().factors("", "")
        (1.0, 1.0, 1.0)
        """
        covariance = np.diag([PRIOR_SPREAD[name] ** 2 for name in COMMON])
        return cls(
            COMMON,
            (0.0, 0.0, 0.0),
            tuple(tuple(row) for row in covariance.tolist()),
            DRIVE_SPREAD,
            KIND_SPREAD,
            NOMINAL_SCATTER,
            MappingProxyType(dict.fromkeys(NOMINAL_SCATTER, LEAST_FREEDOM)),
        )

    def own(self, wire: str, drive: str) -> tuple[Matrix, Matrix]:
        """Means and covariance of the three logarithms that hold for one kind of wire and one drive.

        Formula: A m and A S A', with A the sums that make up each, plus the spread of kinds or drives where this one
        has no records. Source: theory of linear models. Valid for any names; unknown ones get the spread.
        Units: none. Shapes: (3,) and (3, 3). Errors: none.

        >>> means, covariance = SiteConstants.from_geometry().own("tinned copper", "V12/a")
        >>> means.tolist(), round(float(covariance[2, 2]), 6)
        ([0.0, 0.0, 0.0], 0.0544)
        """
        picks = pick_rows(self.names, wire, drive)
        covariance = picks @ np.array(self.covariance) @ picks.T
        if wire not in self.wires or (len(self.wires) > 1 and f"{CAPACITANCE}:{wire}" not in self.names):
            covariance[0, 0] += self.kind_spread**2
            covariance[1, 1] += self.kind_spread**2
        if f"{DRIVE}:{drive}" not in self.names:
            covariance[2, 2] += self.drive_spread**2
        return picks @ np.array(self.means), covariance

    def factors(self, wire: str, drive: str) -> tuple[float, float, float]:
        """Factors on nominal C', L' and drive resistance for one kind of wire and one drive.

        Formula: exp of the means. Source: none. Valid for any names. Units: none. Errors: none.

        >>> SiteConstants.from_geometry().factors("tinned copper", "V12/a")
        (1.0, 1.0, 1.0)
        """
        capacitance, inductance, drive_factor = np.exp(self.own(wire, drive)[0]).tolist()
        return capacitance, inductance, drive_factor

    def applied(self, case: LinkCase, wire: str, drive: str) -> LinkCase:
        """A case of nominal constants as this site's records have it.

        Formula: C', L' and drive resistance times their factors. Source: none. Valid for a case of nominal
        constants. Units: none. Errors: none.

        >>> from restoration.engineering.link_model import LinkLoad, PulseSource
        >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=1000.0)
        >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad())
        >>> SiteConstants.from_geometry().applied(case, "", "") == case
        True
        """
        return with_factors(case, self.factors(wire, drive))

    def rows(self, level: float = 0.90) -> tuple[Constant, ...]:
        """The constants for people: of each kind of wire in the records, then the drives.

        Formula: exp(mean ± z*sd), z that of the standard normal. Source: theory of linear models. Valid for levels
        between 0 and 1. Units: F/m, H/m, none. Errors: ValueError for another level.

        >>> [row.name for row in SiteConstants.from_geometry().rows()]
        ['drive_factor', 'drive_spread']
        """
        spread = float(student_t.ppf(0.5 + check_level(level) / 2, 1e6))
        found = []
        for wire, nominal in sorted(self.wires.items()):
            means, covariance = self.own(wire, "")
            values = (nominal.capacitance_f_per_m, nominal.inductance_h_per_m)
            for at, (name, value) in enumerate(zip(_WIRE_NAMES, values, strict=True)):
                found.append(_constant(name, wire, value, means[at], spread * math.sqrt(covariance[at, at])))
        sd = math.sqrt(self.covariance[2][2])
        found.append(_constant("drive_factor", "", 1.0, self.means[2], spread * sd))
        counted = PRIOR_WEIGHT + sum(name.startswith(f"{DRIVE}:") for name in self.names)
        found.append(_constant("drive_spread", "", self.drive_spread, 0.0, spread / math.sqrt(2 * counted)))
        return tuple(found)

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain data for JSON.

        Formula: none. Source: none. Valid always. Units: as the fields. Errors: none.

        >>> SiteConstants.of_dict(SiteConstants.from_geometry().as_dict()) == SiteConstants.from_geometry()
        True
        """
        return {
            "names": list(self.names),
            "means": list(self.means),
            "covariance": [list(row) for row in self.covariance],
            "drive_spread": self.drive_spread,
            "kind_spread": self.kind_spread,
            "scatter": {quantity.value: value for quantity, value in self.scatter.items()},
            "freedom": {quantity.value: value for quantity, value in self.freedom.items()},
            "record_count": self.record_count,
            "wires": {kind: [wire.capacitance_f_per_m, wire.inductance_h_per_m] for kind, wire in self.wires.items()},
            "wild": list(self.wild),
        }

    @classmethod
    def of_dict(cls, told: Mapping[str, Any]) -> SiteConstants:
        """The constants that `as_dict` gave.

        Formula: none. Source: none. Valid for what `as_dict` gives. Units: as the fields.
        Errors: ValueError where something is missing or is not what it should be.

        >>> SiteConstants.of_dict({})
        Traceback (most recent call last):
        ValueError: These are no wiring constants of a site: something is missing or not as it should be ('names').
        """
        try:
            return cls(
                tuple(str(name) for name in told["names"]),
                tuple(float(mean) for mean in told["means"]),
                tuple(tuple(float(cell) for cell in row) for row in told["covariance"]),
                float(told["drive_spread"]),
                float(told["kind_spread"]),
                MappingProxyType({Quantity(name): float(value) for name, value in told["scatter"].items()}),
                MappingProxyType({Quantity(name): float(value) for name, value in told["freedom"].items()}),
                int(told["record_count"]),
                MappingProxyType({str(kind): WireConstants(*pair) for kind, pair in told["wires"].items()}),
                tuple(str(words) for words in told["wild"]),
            )
        except (KeyError, TypeError, AttributeError) as wrong:
            raise ValueError(
                f"These are no wiring constants of a site: something is missing or not as it should be ({wrong})."
            ) from wrong


_WIRE_NAMES = ("capacitance_f_per_m", "inductance_h_per_m")


def pick_rows(names: tuple[str, ...], wire: str, drive: str) -> Matrix:
    """Which constants add up to the three logarithms of one kind of wire and one drive: rows of ones and zeros.

    Formula: ln C' = common + kind, ln L' likewise, ln R = common + drive. Source: own choice of model.
    Valid for any names. Units: none. Shape: (3, number of names). Errors: none.

    >>> pick_rows((*COMMON, "drive:V1"), "", "V1").tolist()
    [[1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 1.0]]
    """
    picks = np.zeros((3, len(names)))
    for row, (common, key) in enumerate(zip(COMMON, (wire, wire, drive), strict=True)):
        for at, name in enumerate(names):
            picks[row, at] = name in (common, f"{common}:{key}")
    return picks


def with_factors(case: LinkCase, factors: tuple[float, float, float]) -> LinkCase:
    """A case with C', L' and drive resistance multiplied.

    Formula: products. Source: none. Valid for factors above zero. Units: none. Errors: ValueError for others.

    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=1000.0)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad())
    >>> with_factors(case, (1.0, 1.0, 1.5)).source.resistance_ohm
    1500.0
    """
    capacitance, inductance, drive = factors
    if factors == (1.0, 1.0, 1.0):
        return case
    return case.with_wire_factors(capacitance, inductance).with_drive_factor(drive)


def check_level(level: float) -> float:
    """The level of an interval, refused where it is none.

    Formula: 0 < level < 1. Source: none. Valid for real numbers. Units: none. Errors: ValueError.

    >>> check_level(90.0)
    Traceback (most recent call last):
    ValueError: The level of an interval is a part of one, above 0 and below 1; 90.0 was given.
    """
    refuse_unless(
        0.0 < level < 1.0, f"The level of an interval is a part of one, above 0 and below 1; {level} was given."
    )
    return level


def _constant(name: str, wire: str, nominal: float, mean: float, half: float) -> Constant:
    return Constant(
        name, wire, nominal * math.exp(mean), nominal * math.exp(mean - half), nominal * math.exp(mean + half)
    )


NOMINAL = SiteConstants.from_geometry()
"""What holds for a site without records."""
