"""What the rows say of the slots and interconnects that are shown, and only of those."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from django.db.models import QuerySet
from django.urls import reverse

from restoration.common.converters import PaintedCode
from restoration.machine.marks import GateMark, one_mark, recorded_marks_for
from restoration.machine.models import Fitting, Interconnect, Rack, Slot, Terminal


@dataclass(frozen=True)
class SlotFacts:
    """A slot as its plate shows it, with the gates of the chassis in it."""

    code: str
    what: str
    rack: str
    order: tuple[int, str, int, str]
    serial: str
    gates: Sequence[GateMark]
    address: str

    @property
    def standing(self) -> str:
        """One mark for the plate."""
        return one_mark(self.gates) if self.serial else "void"

    @property
    def label(self) -> str:
        """The mark as it is named aloud."""
        return f"{self.code}: {self.standing}" if self.serial else f"{self.code}: empty"


@dataclass(frozen=True)
class LinkFacts:
    """An interconnect as its wire shows it: its ends, and how it stands."""

    code: str
    signal: str
    source_terminal: str
    load_terminal: str
    standing: str
    address: str

    @property
    def is_lifted(self) -> bool:
        """Whether the wire is there and joins nothing."""
        return self.standing == "withdrawn"


@dataclass(frozen=True)
class Facts:
    """Slots, interconnects, racks and further terminals by their row ids."""

    slots: dict[int, SlotFacts]
    links: dict[int, LinkFacts]
    racks: dict[int, str]
    terminals: dict[int, str]


PAINTED = PaintedCode()
SAFE = "!$&'()*+,;=/~:@"  # what an address holds unchanged, as in django.urls
SLOT_FIELDS = ("pk", "code", "function", "design__title", "rack__code", "rack__position", "position")
LINK_FIELDS = ("pk", "code", "signal__name", "source__code", "load__code")


def facts_of(
    slot_ids: Iterable[int], link_ids: Iterable[int], rack_ids: Iterable[int], terminal_ids: Iterable[int]
) -> Facts:
    """Read what is shown, in a constant number of reads."""
    slots = Slot.objects.filter(pk__in=list(slot_ids)).order_by().values_list(*SLOT_FIELDS)
    links = Interconnect.objects.filter(pk__in=list(link_ids)).order_by().values_list(*LINK_FIELDS)
    wanted = [row[0] for row in slots]
    standing = Fitting.objects.standing().filter(slot__in=wanted).order_by()
    fitted = {
        slot: (pk, serial) for slot, pk, serial in standing.values_list("slot_id", "chassis_id", "chassis__serial")
    }
    marks = recorded_marks_for(
        chassis_ids=[pk for pk, _ in fitted.values()], interconnect_ids=[row[0] for row in links]
    )
    slot_page, link_page = _pages("machine:slot-detail"), _pages("machine:interconnect-detail")
    return Facts(
        {row[0]: _slot(row, *fitted.get(row[0], (0, "")), marks.chassis, slot_page) for row in slots},
        {row[0]: _link(row, one_mark(marks.of_interconnect(row[0])), link_page) for row in links},
        _codes(Rack.objects.order_by(), rack_ids),
        _codes(Terminal.objects.order_by(), terminal_ids),
    )


Page = Callable[[str], str]


def _pages(name: str) -> Page:
    """The address of the page of a code, as `reverse` gives it, without asking for each of many."""
    before, _, after = reverse(name, args=["~"]).rpartition(PAINTED.to_url("~"))
    return lambda code: f"{before}{quote(PAINTED.to_url(code), safe=SAFE)}{after}"


def _link(row: tuple[Any, ...], standing: str, page: Page) -> LinkFacts:
    _, code, signal, source, load = row
    return LinkFacts(code, signal or "", source, load, standing, page(code))


def _codes(rows: QuerySet[Any], ids: Iterable[int]) -> dict[int, str]:
    wanted = list(ids)
    return dict(rows.filter(pk__in=wanted).values_list("pk", "code")) if wanted else {}


def _slot(row: tuple[Any, ...], chassis: int, serial: str, gates: dict[int, list[GateMark]], page: Page) -> SlotFacts:
    _, code, function, title, rack, rack_position, position = row
    order = (rack_position or 0, rack or "", position, code)
    return SlotFacts(code, function or title or "", rack or "", order, serial, gates.get(chassis, ()), page(code))
