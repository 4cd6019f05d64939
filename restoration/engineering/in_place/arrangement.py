"""All conditioning parts on one wire: where each sits, its value, in words and as plain data."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import Any

from restoration.engineering.plots import format_si
from restoration.engineering.refusals import refuse_below_zero, refuse_not_above_zero, refuse_unless

RESISTOR, CAPACITOR = "resistor", "capacitor"

ROLES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "series_ohm": (RESISTOR, "in series at the source"),
        "source_shunt_ohm": (RESISTOR, "from the source terminal to earth"),
        "attenuator_ohm": (RESISTOR, "in series at the load"),
        "attenuator_f": (CAPACITOR, "across the resistor in series at the load"),
        "shunt_ohm": (RESISTOR, "from the load terminal to earth"),
        "shunt_coupling_f": (CAPACITOR, "in series with the resistor from the load terminal to earth"),
    }
)
"""What each place takes, a resistor or a capacitor, and where it is in words."""

_UNITS = {RESISTOR: "Ω", CAPACITOR: "F"}


@dataclass(frozen=True)
class Fitted:
    """One part on a wire: its place by the name of the arrangement's field, its kind, its value in ohms or farads."""

    role: str
    kind: str
    value: float

    @property
    def words(self) -> str:
        """The part for people.

        >>> Fitted("series_ohm", "resistor", 330.0).words
        '330\\xa0Ω in series at the source'
        """
        return f"{format_si(self.value, _UNITS[self.kind])} {ROLES[self.role][1]}"


@dataclass(frozen=True)
class Arrangement:
    """The parts between a source terminal and a load terminal, besides the wire itself; ohms and farads.

    From the source: `source_shunt_ohm` from its terminal to earth, `series_ohm` into the wire; at the other end
    `attenuator_ohm` with `attenuator_f` across it in series, then `shunt_ohm` across the load, through the capacitor
    `shunt_coupling_f` where that is finite. A resistor in series that is not there has 0 Ω, one to earth that is not
    there has infinitely many. Raises ValueError for a value that cannot be, and for a capacitor that has no effect
    where it is said to be.

    >>> Arrangement(series_ohm=330.0).parts()
    (Fitted(role='series_ohm', kind='resistor', value=330.0),)
    >>> Arrangement(attenuator_f=1e-11)
    Traceback (most recent call last):
    ValueError: A capacitor across the attenuator needs a resistor there; 10.0\xa0pF was given across 0 Ω.
    """

    series_ohm: float = 0.0
    source_shunt_ohm: float = math.inf
    attenuator_ohm: float = 0.0
    attenuator_f: float = 0.0
    shunt_ohm: float = math.inf
    shunt_coupling_f: float = math.inf

    def __post_init__(self) -> None:
        refuse_below_zero(
            series_ohm=self.series_ohm, attenuator_ohm=self.attenuator_ohm, attenuator_f=self.attenuator_f
        )
        refuse_not_above_zero(
            source_shunt_ohm=self.source_shunt_ohm, shunt_ohm=self.shunt_ohm, shunt_coupling_f=self.shunt_coupling_f
        )
        refuse_unless(
            self.attenuator_f == 0.0 or self.attenuator_ohm > 0.0,
            "A capacitor across the attenuator needs a resistor there; "
            f"{format_si(self.attenuator_f, 'F')} was given across 0 Ω.",
        )
        refuse_unless(
            math.isinf(self.shunt_coupling_f) or math.isfinite(self.shunt_ohm),
            "A capacitor in series with the shunt needs a shunt; "
            f"{format_si(self.shunt_coupling_f, 'F')} was given with none.",
        )

    @property
    def is_bare(self) -> bool:
        """Whether nothing is fitted at all."""
        return self == BARE

    def parts(self) -> tuple[Fitted, ...]:
        """The parts that are there, from source to load.

        Formula: none. Source: none. Valid for any arrangement. Units: ohms, farads. Errors: none.

        >>> [part.role for part in Arrangement(attenuator_ohm=1e3, attenuator_f=1e-11, shunt_ohm=1e3).parts()]
        ['attenuator_ohm', 'attenuator_f', 'shunt_ohm']
        """
        return tuple(
            Fitted(role, kind, getattr(self, role))
            for role, (kind, _) in ROLES.items()
            if getattr(self, role) != _ABSENT[role]
        )

    @property
    def words(self) -> str:
        """All parts for people, from source to load.

        >>> Arrangement().words
        'nothing fitted'
        >>> Arrangement(series_ohm=100.0, shunt_ohm=4700.0).words
        '100\\xa0Ω in series at the source, 4.70\\xa0kΩ from the load terminal to earth'
        """
        return ", ".join(part.words for part in self.parts()) or "nothing fitted"

    def as_dict(self) -> dict[str, float]:
        """The parts that are there as plain data for JSON: value in ohms or farads by place.

        Formula: none. Source: none. Valid for any arrangement. Units: ohms, farads. Errors: none.

        >>> Arrangement(series_ohm=330.0).as_dict()
        {'series_ohm': 330.0}
        """
        return {part.role: part.value for part in self.parts()}

    @classmethod
    def of_dict(cls, told: Mapping[str, Any]) -> Arrangement:
        """The arrangement that `as_dict` gave.

        Formula: none. Source: none. Valid for what `as_dict` gives. Units: ohms, farads.
        Errors: ValueError for a place that there is not and for what is no number.

        >>> Arrangement.of_dict({"series_ohm": 330.0}) == Arrangement(series_ohm=330.0)
        True
        >>> Arrangement.of_dict({"lid_ohm": 1.0})
        Traceback (most recent call last):
        ValueError: There is no place “lid_ohm” for a part; the places are series_ohm, source_shunt_ohm,
        attenuator_ohm, attenuator_f, shunt_ohm, shunt_coupling_f.
        """
        for role, value in told.items():
            refuse_unless(role in ROLES, f"There is no place “{role}” for a part; the places are {', '.join(ROLES)}.")
            refuse_unless(
                isinstance(value, int | float) and not isinstance(value, bool),
                f"The value at {role} has to be a number of ohms or farads; {value!r} was given.",
            )
        return cls(**{role: float(value) for role, value in told.items()})


_ABSENT = {field.name: field.default for field in fields(Arrangement)}
BARE = Arrangement()
"""A wire with nothing fitted."""
