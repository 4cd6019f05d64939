"""Slots: the places for chassis, and what ends at each of their terminals."""

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.lists import LARGEST_PART, narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.filters import SlotFilter
from restoration.machine.forms.places import SlotEditForm, SlotForm, TerminalForm
from restoration.machine.marks import marks_for, one_mark
from restoration.machine.models import Interconnect, Rack, Slot, Terminal
from restoration.machine.views.form_page import FormPage, answer_on_page
from restoration.machine.views.racks import plates_of, with_fittings
from restoration.people.access import needs, who
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def slot_list(request: HttpRequest) -> HttpResponse:
    slots = with_fittings(Slot.objects.select_related("rack").from_the_top())
    filter_set = SlotFilter(request.GET, queryset=slots, request=request)
    page_obj = part_of(request, narrowed(filter_set))
    context = {"filter": filter_set, "page_obj": page_obj, "plates": plates_of(list(page_obj))}
    return show(request, "machine/slot_list.html", context, fragment="rows")


@dataclass(frozen=True)
class FarEnd:
    """What a terminal is joined to: the link, its other end, and how it stands."""

    link: Interconnect
    far: Terminal
    standing: str

    @property
    def label(self) -> str:
        """The mark as it is named aloud."""
        return f"link {self.link.code}: {self.standing}"


@dataclass(frozen=True)
class TerminalRow:
    """One terminal of a slot, with what it drives and what drives it."""

    terminal: Terminal
    drives: list[FarEnd]
    is_driven_by: list[FarEnd]


def terminal_rows(terminals: list[Terminal]) -> list[TerminalRow]:
    """Terminals with their links, in one read of links and one of marks."""
    ids = [terminal.pk for terminal in terminals]
    links = list(Interconnect.objects.filter(Q(source__in=ids) | Q(load__in=ids)).with_ends().order_by("code"))
    marks = marks_for(interconnect_ids=[link.pk for link in links])
    standing = {link.pk: one_mark(marks.of_interconnect(link.pk)) for link in links}
    drives: dict[int, list[FarEnd]] = defaultdict(list)
    driven: dict[int, list[FarEnd]] = defaultdict(list)
    for link in links:
        drives[link.source_id].append(FarEnd(link, link.load, standing[link.pk]))
        driven[link.load_id].append(FarEnd(link, link.source, standing[link.pk]))
    return [TerminalRow(terminal, drives[terminal.pk], driven[terminal.pk]) for terminal in terminals]


@needs(Permission.SEE_RECORDS)
def slot_detail(request: HttpRequest, code: str) -> HttpResponse:
    slot = get_object_or_404(with_fittings(Slot.objects.select_related("rack")), code=code)
    terminals = part_of(request, slot.terminals.order_by("code"), size=LARGEST_PART)
    context = {
        "slot": slot,
        "plate": plates_of([slot])[0],
        "spans": slot.fittings.select_related("chassis", "fitted_by", "removed_by").order_by("-fitted_at", "-pk"),
        "page_obj": terminals,
        "terminals": terminal_rows(list(terminals)),
        "link_count": Interconnect.objects.touching_slot(slot).count(),
    }
    return show(request, "machine/slot_detail.html", context)


@needs(Permission.EDIT_MACHINE)
def slot_add(request: HttpRequest) -> HttpResponse:
    rack = Rack.objects.filter(code=request.GET.get("rack", "")).first()
    form = SlotForm(posted(request), initial={"rack": rack, "position": rack.slots.count() + 1 if rack else 1})

    def act() -> str:
        given = form.cleaned_data
        slot = services.add_slot(
            code=given["code"],
            rack=given["rack"],
            position=given["position"],
            function=given["function"],
            design=given["design"],
            by=who(request),
        )
        return slot.get_absolute_url()

    back = rack.get_absolute_url() if rack else reverse("machine:slot-list")
    lead = "A slot is a place in a rack, whatever chassis may be in it."
    return answer_on_page(request, form, act, FormPage("Add a slot", "Add the slot", back, lead))


@needs(Permission.EDIT_MACHINE)
def slot_edit(request: HttpRequest, code: str) -> HttpResponse:
    slot = get_object_or_404(Slot, code=code)
    stored = {name: getattr(slot, name) for name in ("rack", "position", "function", "design")}
    form = SlotEditForm(posted(request), initial=stored)

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in stored}
        services.edit_slot(slot=slot, by=who(request), **given)
        return slot.get_absolute_url()

    lead = "What is painted on the slot stays; its place, its function and its design may change."
    page = FormPage(f"Edit slot {slot.code}", "Store it", slot.get_absolute_url(), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def terminal_add(request: HttpRequest, code: str) -> HttpResponse:
    slot = get_object_or_404(Slot, code=code)
    form = TerminalForm(posted(request))

    def act() -> str:
        services.add_terminal(slot=slot, code=form.cleaned_data["code"], by=who(request))
        return slot.get_absolute_url()

    lead = "A terminal is known by what is painted or engraved beside it."
    page = FormPage(f"Name a terminal of slot {slot.code}", "Name it", slot.get_absolute_url(), lead)
    return answer_on_page(request, form, act, page)
