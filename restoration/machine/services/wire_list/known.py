"""The recorded wiring, as the plan of an import and the writing of a list take it."""

from collections.abc import Iterator
from typing import Any

from django.db.models import QuerySet

from restoration.engineering.wire_list.known import KnownWiring, LinkFacts
from restoration.engineering.wire_list.wires import WireRow
from restoration.machine.models import Interconnect, Rack, Signal, Slot, Terminal

FACTS = (
    "code",
    "signal__name",
    "source__slot__code",
    "source__code",
    "load__slot__code",
    "load__code",
    "wire",
    "colour",
    "length_m",
    "loom",
    "is_critical",
    "remarks",
)
WIRES = (
    "code",
    "signal__name",
    "source__slot__rack__code",
    "source__slot__code",
    "source__code",
    "load__slot__rack__code",
    "load__slot__code",
    "load__code",
    "wire",
    "colour",
    "length_m",
    "loom",
    "is_critical",
    "remarks",
)


def known_wiring() -> KnownWiring:
    """Read what the records hold, in five questions however much it is."""
    return KnownWiring(
        racks=set(Rack.objects.order_by().values_list("code", flat=True)),
        slots={code: rack or "" for code, rack in Slot.objects.order_by().values_list("code", "rack__code")},
        terminals=set(Terminal.objects.order_by().values_list("slot__code", "code")),
        signals=set(Signal.objects.order_by().values_list("name", flat=True)),
        links={row[0]: _facts(row) for row in Interconnect.objects.order_by().values_list(*FACTS)},
    )


def _facts(row: tuple[Any, ...]) -> LinkFacts:
    return LinkFacts._make((row[0], row[1] or "", *row[2:10], bool(row[10]), row[11]))


def wires_for_export(links: QuerySet[Interconnect]) -> Iterator[WireRow]:
    """Give interconnects as the rows of a wire list, in the order of their codes."""
    rows = links.order_by("code").values_list(*WIRES).iterator(chunk_size=5000)
    for line, row in enumerate(rows, start=2):
        code, signal, from_rack, from_slot, from_terminal, to_rack, *rest = row
        yield WireRow(line, code, signal or "", from_rack or "", from_slot, from_terminal, to_rack or "", *rest)
