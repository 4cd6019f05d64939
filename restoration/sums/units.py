"""Units and inputs that several sums share."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from restoration.engineering.figures import Unit, read_figure
from restoration.engineering.preferred_values import SERIES
from restoration.engineering.wires import COVERINGS, Wire, wire_named
from restoration.sums.declared import Choice, Input, Quantity

CELSIUS = Unit("°C", "a temperature", "20, or 75 °C", 1e4, ("C",))
PER_SECOND = Unit("Hz", "a rate", "50, or 2.5 kHz", 1e12, ("hz", "HZ", "/s"))
PART_VALUE = Unit(
    "Ω", "a value", "4k7, 2M2, 100p or 0.1 µF", 1e13, ("R", "ohms", "ohm", "F", "H"), point_marks="RkKMGpnuµμm"
)

_FIGURE = re.compile(r"[+−-]?[0-9.,][^\s]*(?:\s+[A-Za-zµμΩ/]+(?![^\s]))?|-(?=\s|$)")
_NAME = re.compile(r"(?P<name>[^0-9\s-].*?)\s+(?P<rest>[-−+0-9.].*)")


@dataclass(frozen=True, kw_only=True)
class WireInput(Input):
    """A wire by its gauge or its bare diameter."""

    def read(self, text: str) -> Wire:
        return wire_named(text)


@dataclass(frozen=True, kw_only=True)
class PartValue(Quantity):
    """A value of a part of any kind, with its letter in place of the point or without."""

    unit: Unit = PART_VALUE

    def told(self, text: str) -> str:
        """What was typed: its unit is that of its kind."""
        return Input.told(self, text)


def series_choice(example: str = "E24") -> Choice:
    """Which preferred values to choose from."""
    return Choice(
        name="series", label="Preferred values", example=example, options=tuple((name, name) for name in SERIES)
    )


def covering_choice(example: str = "enamel 1") -> Choice:
    """What a wire is covered with."""
    return Choice(
        name="covering",
        label="Covering",
        example=example,
        options=tuple((name, covering.words) for name, covering in COVERINGS.items()),
    )


def named_figures(line: str, kinds: tuple[tuple[str, Unit], ...], make: Callable[..., Any]) -> Any:
    """Read a line of a name and figures in a fixed order; a dash, or an end of the line, leaves the rest out."""
    parted = _NAME.fullmatch(line)
    words = ", ".join(what for what, _ in kinds)
    if parted is None:
        raise ValueError(f"“{line[:60]}” was given; a line is a name and then {words}.")
    figures = _FIGURE.findall(parted["rest"])
    if len(figures) > len(kinds) or "".join(figures).replace(" ", "") != parted["rest"].replace(" ", ""):
        raise ValueError(f"“{line[:60]}” was given; after the name come {words}, and no more.")
    given = {
        what: read_figure(figure, unit)
        for (what, unit), figure in zip(kinds, figures, strict=False)
        if figure not in ("-", "−")
    }
    return make(parted["name"].strip(" :"), given)
