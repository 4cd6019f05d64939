"""What is written down of many terminals and wires, found for those who work with them."""

from collections.abc import Iterable
from dataclasses import dataclass

from restoration.engineering.figures import MILLIAMPERES, OHMS, PICOFARADS, Unit
from restoration.machine.figures import figure_in_words
from restoration.machine.models import Interconnect, Terminal, TerminalFigures, WireKind


@dataclass(frozen=True)
class EndFigure:
    """One figure of a terminal: its words, its unit, and whether it may be zero."""

    words: str
    unit: Unit
    may_be_nothing: bool = True


END_FIGURES = {
    "drive_ohm": EndFigure("drive resistance", OHMS),
    "drive_most_a": EndFigure("greatest drive current", MILLIAMPERES, may_be_nothing=False),
    "load_ohm": EndFigure("load resistance", OHMS, may_be_nothing=False),
    "load_f": EndFigure("load capacitance", PICOFARADS),
    "grid_stopper_ohm": EndFigure("grid stopper", OHMS),
}


def drive_in_words(figures: TerminalFigures) -> str:
    """Say what a terminal drives with: 1 kΩ, 12 mA at most; nothing where it drives nothing."""
    most = _said(figures, "drive_most_a")
    return ", ".join(part for part in (_said(figures, "drive_ohm"), f"{most} at most" if most else "") if part)


def load_in_words(figures: TerminalFigures) -> str:
    """Say what a terminal asks of whoever drives it: 1 MΩ ∥ 47 pF behind 10 kΩ; nothing where nothing is said."""
    grid = " ∥ ".join(part for part in (_said(figures, "load_ohm"), _said(figures, "load_f")) if part)
    stopper = _said(figures, "grid_stopper_ohm")
    return f"{grid or 'a load not said'} behind {stopper}" if stopper else grid


def _said(figures: TerminalFigures, name: str) -> str:
    value = getattr(figures, name)
    return "" if value is None else figure_in_words(value, END_FIGURES[name].unit)


def figures_of(terminals: Iterable[Terminal]) -> dict[int, TerminalFigures]:
    """What the design of its slot says of each terminal, by row id; those of which nothing is said are left out.

    Two reads, however many there are.
    """
    wanted = {terminal.pk for terminal in terminals}
    placed = Terminal.objects.filter(pk__in=wanted).exclude(slot__design=None)
    places = list(placed.values_list("pk", "slot__design_id", "code"))
    of_designs = TerminalFigures.objects.filter(
        design__in={design for _, design, _ in places}, terminal__in={mark for _, _, mark in places}
    )
    said = {(row.design_id, row.terminal): row for row in of_designs.select_related("design")}
    return {pk: said[design, mark] for pk, design, mark in places if (design, mark) in said}


def wire_kind_of(interconnects: Iterable[Interconnect]) -> dict[str, WireKind]:
    """The kinds of wire that these links are made of, by the name that the wire list gives them; one read."""
    names = {interconnect.wire for interconnect in interconnects} - {""}
    return {kind.name: kind for kind in WireKind.objects.filter(name__in=names)}
