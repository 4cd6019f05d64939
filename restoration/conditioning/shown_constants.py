"""Wiring constants for people: kinds of wire and drives with their intervals, and records with what they leave over."""

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from restoration.conditioning.models import WiringFit
from restoration.engineering.in_place import SiteConstants
from restoration.engineering.plots import format_part, format_si
from restoration.machine.models.limits import Quantity
from restoration.proving.quantities import order_of, reads

NINE_IN_TEN = 1.6449  # standard deviations of a normal spread that hold nine in ten
LOWEST, HIGHEST = 0.5, 2.0  # ends of the scale of factors that bars are drawn on
NO_KIND = "no kind written down"
DRIVES_SHOWN = 12


@dataclass(frozen=True)
class Spread:
    """A factor on what drawing or geometry says, with its interval; drawn on a scale of ratios from a half to two."""

    value: float
    low: float
    high: float

    @classmethod
    def of_log(cls, mean: float, variance: float) -> "Spread":
        """The interval that holds nine in ten of a logarithm of this mean and variance."""
        half = NINE_IN_TEN * math.sqrt(variance)
        return cls(math.exp(mean), math.exp(mean - half), math.exp(mean + half))

    @property
    def words(self) -> str:
        """Write it as a factor: 1.12 (1.03 to 1.21)."""
        return f"{self.value:.2f} ({self.low:.2f} to {self.high:.2f})"

    @property
    def at(self) -> str:
        """Where the value stands on the scale, for a drawing."""
        return place_on_scale(self.value)

    @property
    def begins(self) -> str:
        """Where the interval begins."""
        return place_on_scale(self.low)

    @property
    def ends(self) -> str:
        """Where the interval ends."""
        return place_on_scale(self.high)


def place_on_scale(factor: float) -> str:
    """How far along a scale of ratios from a half to two a factor stands, in percent; beyond its ends, at its end.

    >>> place_on_scale(1.0), place_on_scale(9.0)
    ('50.0%', '100.0%')
    """
    part = math.log(factor / LOWEST) / math.log(HIGHEST / LOWEST)
    return f"{100 * min(max(part, 0.0), 1.0):.1f}%"


@dataclass(frozen=True)
class WireRow:
    """One kind of wire: capacitance and inductance of a metre with their intervals, and what line they make."""

    name: str
    count: int
    capacitance: str
    capacitance_spread: Spread
    inductance: str
    inductance_spread: Spread
    line: str


@dataclass(frozen=True)
class DriveRow:
    """One drive: by what its resistance is more than drawn, and what that comes to."""

    name: str
    count: int
    spread: Spread
    resistance: str


@dataclass(frozen=True)
class RecordRow:
    """One record of a fit: what was measured, what the constants say of it, and whether it is wild."""

    check: int
    link: str
    at: str
    figures: tuple[tuple[str, str, str, str], ...]
    wild: tuple[str, ...]


@dataclass(frozen=True)
class ShownFit:
    """A fit as its page shows it, from the answer that is kept of it."""

    told: Mapping[str, Any]

    @classmethod
    def of(cls, fit: WiringFit) -> "ShownFit":
        """A fit that was taken into use."""
        return cls(fit.told)

    @cached_property
    def constants(self) -> SiteConstants:
        """The constants themselves."""
        return SiteConstants.of_dict(self.told)

    @property
    def records(self) -> list[Mapping[str, Any]]:
        """The records as they were kept with the answer, the newest first."""
        return list(reversed(self.told.get("records", [])))

    @property
    def left_out(self) -> list[tuple[str, int]]:
        """Why checks told nothing, and how many."""
        return list(self.told.get("left_out", {}).items())

    @property
    def older(self) -> int:
        """How many older records were not taken."""
        return int(self.told.get("older_records", 0))

    @property
    def wires(self) -> list[WireRow]:
        """The kinds of wire in the records."""
        counts = Counter(str(record["wire"]) for record in self.records)
        return [self._wire(name, counts[name]) for name in sorted(self.constants.wires)]

    def _wire(self, name: str, count: int) -> WireRow:
        means, covariance = self.constants.own(name, "")
        nominal = self.constants.wires[name]
        of_c, of_l = (Spread.of_log(float(means[at]), float(covariance[at, at])) for at in (0, 1))
        farads, henries = nominal.capacitance_f_per_m, nominal.inductance_h_per_m
        ohm = math.sqrt(henries * of_l.value / (farads * of_c.value))
        seconds = math.sqrt(henries * of_l.value * farads * of_c.value)
        return WireRow(
            name=name or NO_KIND,
            count=count,
            capacitance=_with_interval(farads, of_c, 1e12, "pF/m"),
            capacitance_spread=of_c,
            inductance=_with_interval(henries, of_l, 1e6, "µH/m"),
            inductance_spread=of_l,
            line=f"{format_si(ohm, 'Ω')}, {seconds * 1e9:.3g} ns a metre",
        )

    @property
    def drive(self) -> Spread:
        """The factor on the drawn resistance of all drives together."""
        return Spread.of_log(self.constants.means[2], self.constants.covariance[2][2])

    @property
    def drive_spread(self) -> str:
        """How far the drives of the site differ among themselves, as a standard deviation."""
        return format_part(self.constants.drive_spread)

    @cached_property
    def drives(self) -> list[DriveRow]:
        """The drives that have records, those farthest from the drawing first."""
        counts = Counter(str(record["drive"]) for record in self.records)
        drawn = {str(record["drive"]): record.get("drive_ohm") for record in self.records}
        names = [name.partition(":")[2] for name in self.constants.names if name.startswith("drive:")]
        rows = [self._drive(name, counts[name], drawn.get(name)) for name in names]
        return sorted(rows, key=lambda row: -abs(math.log(row.spread.value)))

    def _drive(self, name: str, count: int, drawn_ohm: float | None) -> DriveRow:
        means, covariance = self.constants.own("", name)
        spread = Spread.of_log(float(means[2]), float(covariance[2, 2]))
        said = f"{format_si(spread.value * drawn_ohm, 'Ω')} for {format_si(drawn_ohm, 'Ω')}" if drawn_ohm else ""
        return DriveRow(name, count, spread, said)

    @property
    def first_drives(self) -> list[DriveRow]:
        """Those farthest from the drawing."""
        return self.drives[:DRIVES_SHOWN]

    @property
    def more_drives(self) -> list[DriveRow]:
        """The other drives."""
        return self.drives[DRIVES_SHOWN:]

    @property
    def scatter(self) -> list[tuple[str, str]]:
        """How far measurements lie about what these constants predict, as standard deviations, by quantity."""
        of = {str(quantity.value): value for quantity, value in self.constants.scatter.items()}
        fitted = [name for name in order_of(of) if any(name in record["figures"] for record in self.records)]
        return [(Quantity(name).label, format_part(of[name])) for name in fitted]

    @cached_property
    def wild(self) -> list[tuple[str, int | None]]:
        """Figures that disagree with all the others, each with the check it is of."""
        checks = {str(record["name"]): int(record["check"]) for record in self.records}
        return [(words, checks.get(_name_in(words, checks))) for words in self.constants.wild]


def _name_in(words: str, checks: Mapping[str, int]) -> str:
    return next((name for name in checks if words.startswith(f"{name}: its ")), "")


def record_row(record: Mapping[str, Any], wild: list[tuple[str, int | None]]) -> RecordRow:
    """One record for people."""
    figures = record["figures"]
    return RecordRow(
        check=int(record["check"]),
        link=str(record["link"]),
        at=str(record["at"]),
        figures=tuple(_beside(name, figures[name]) for name in order_of(figures)),
        wild=tuple(words for words, check in wild if check == record["check"]),
    )


def _beside(quantity: str, told: Mapping[str, float | None]) -> tuple[str, str, str, str]:
    measured, reckoned = told["measured"], told["reckoned"]
    ratio = f"{measured / reckoned:.2f}" if measured is not None and reckoned else "–"
    return Quantity(quantity).label, reads(quantity, measured), reads(quantity, reckoned), ratio


def _with_interval(nominal: float, spread: Spread, times: float, unit: str) -> str:
    value, low, high = (f"{nominal * each * times:.3g}" for each in (spread.value, spread.low, spread.high))
    return f"{value} {unit} ({low} to {high})"
