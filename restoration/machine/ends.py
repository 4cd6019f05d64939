"""What is written down of many terminals and wires, found for those who work with them."""

from collections.abc import Iterable

from restoration.machine.models import Interconnect, Terminal, TerminalFigures, WireKind


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
