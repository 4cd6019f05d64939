"""Racks: the row of them, and each from the front."""

from dataclasses import dataclass, field, replace

from django.db.models import Prefetch, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.lists import LARGEST_PART, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.forms.places import RackEditForm, RackForm
from restoration.machine.marks import GateMark, Marks, SlotFront, fronts_for, marks_for, one_mark
from restoration.machine.models import Chassis, Fitting, Interconnect, Rack, Slot
from restoration.machine.views.form_page import FormPage, answer_on_page
from restoration.people.access import needs, who
from restoration.people.roles import Permission


@dataclass(frozen=True)
class Plate:
    """One slot as it is drawn on the rack's front."""

    slot: Slot
    chassis: Chassis | None
    gates: list[GateMark]
    front: SlotFront = field(default_factory=SlotFront)

    @property
    def standing(self) -> str:
        """One mark for the whole slot."""
        if not self.chassis:
            return one_mark(self.front.gates) if self.front.on_its_way else "void"
        return one_mark([*self.gates, *self.front.wires])

    @property
    def marks(self) -> list[GateMark]:
        """The small marks on the plate: the gates of the chassis in it or on its way, then its wires."""
        return [*(self.gates or self.front.gates), *self.front.wires]

    @property
    def what(self) -> str:
        """What the slot does: in its own words, or by the title of its drawing."""
        return self.slot.function or (self.slot.design.title if self.slot.design else "")

    @property
    def label(self) -> str:
        """The mark as it is named aloud."""
        return f"{self.slot.code}: {self.standing}" if self.chassis else f"{self.slot.code}: empty"


def with_fittings(slots: QuerySet[Slot]) -> QuerySet[Slot]:
    """Slots with their design and what is in them now, in two reads."""
    standing = Fitting.objects.standing().select_related("chassis")
    return slots.select_related("design").prefetch_related(
        Prefetch("fittings", queryset=standing, to_attr="standing_fittings")
    )


def chassis_in(slot: Slot) -> Chassis | None:
    """What is fitted now; the slot comes from `with_fittings`."""
    fittings: list[Fitting] = slot.standing_fittings  # type: ignore[attr-defined]
    return fittings[0].chassis if fittings else None


def plates_of(slots: list[Slot]) -> list[Plate]:
    """Draw slots as plates, with the marks of what is in them, in one read of marks."""
    fitted = {slot.pk: chassis_in(slot) for slot in slots}
    marks: Marks = marks_for(chassis_ids=[chassis.pk for chassis in fitted.values() if chassis])
    return [
        Plate(slot, chassis, marks.of_chassis(chassis.pk) if chassis else [])
        for slot, chassis in ((slot, fitted[slot.pk]) for slot in slots)
    ]


@dataclass(frozen=True)
class RackRow:
    """One rack in the row of them."""

    rack: Rack
    plates: list[Plate]

    @property
    def fitted(self) -> int:
        """How many of its slots hold a chassis."""
        return sum(1 for plate in self.plates if plate.chassis)


@needs(Permission.SEE_RECORDS)
def rack_list(request: HttpRequest) -> HttpResponse:
    racks = part_of(request, Rack.objects.in_order())
    slots = list(with_fittings(Slot.objects.filter(rack__in=[rack.pk for rack in racks]).from_the_top()))
    plates = plates_of(slots)
    rows = [RackRow(rack, [plate for plate in plates if plate.slot.rack_id == rack.pk]) for rack in racks]
    fitted = Fitting.objects.standing().exclude(slot__rack=None).count()
    context = {"rows": rows, "page_obj": racks, "slot_count": Slot.objects.exclude(rack=None).count(), "fitted": fitted}
    return show(request, "machine/rack_list.html", context)


@needs(Permission.SEE_RECORDS)
def rack_detail(request: HttpRequest, code: str) -> HttpResponse:
    rack = get_object_or_404(Rack, code=code)
    slots = part_of(request, with_fittings(rack.slots.order_by("position", "code")), size=LARGEST_PART)
    fronts = fronts_for([slot.pk for slot in slots])
    plates = [replace(plate, front=fronts.get(plate.slot.pk, SlotFront())) for plate in plates_of(list(slots))]
    context = {
        "rack": rack,
        "plates": plates,
        "page_obj": slots,
        "fitted": Fitting.objects.standing().filter(slot__rack=rack).count(),
        "link_count": Interconnect.objects.touching_rack(rack).count(),
        "gate_names": next((", ".join(mark.gate for mark in plate.marks) for plate in plates if plate.marks), ""),
    }
    return show(request, "machine/rack_detail.html", context)


@needs(Permission.EDIT_MACHINE)
def rack_add(request: HttpRequest) -> HttpResponse:
    form = RackForm(posted(request), initial={"position": Rack.objects.count() + 1})

    def act() -> str:
        given = form.cleaned_data
        rack = services.add_rack(
            code=given["code"], function=given["function"], position=given["position"], by=who(request)
        )
        return rack.get_absolute_url()

    lead = "A rack is known by the letter or number painted on it."
    page = FormPage("Add a rack", "Add the rack", reverse("machine:rack-list"), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def rack_edit(request: HttpRequest, code: str) -> HttpResponse:
    rack = get_object_or_404(Rack, code=code)
    form = RackEditForm(posted(request), initial={"function": rack.function, "position": rack.position})

    def act() -> str:
        given = form.cleaned_data
        services.edit_rack(rack=rack, function=given["function"], position=given["position"], by=who(request))
        return rack.get_absolute_url()

    lead = "What is painted on the rack stays; what it does and where it stands may change."
    page = FormPage(f"Edit rack {rack.code}", "Store it", rack.get_absolute_url(), lead)
    return answer_on_page(request, form, act, page)
