"""The kinds of wire that the wire list names, and what each is as a line."""

from dataclasses import dataclass
from typing import Any

from django.db.models import Count, IntegerField, OuterRef, Subquery
from django.db.models.functions import Coalesce
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.lists import part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.common.text import can_be_stored
from restoration.engineering.in_place.case import WireConstants
from restoration.machine import services
from restoration.machine.ends import wire_kind_of
from restoration.machine.forms.wire_kinds import WireKindEditForm, WireKindForm, wire_kind_as_stored
from restoration.machine.lines import constants_of
from restoration.machine.models import Interconnect, WireKind
from restoration.machine.views.form_page import FormPage, answer_on_page
from restoration.people.access import needs, who
from restoration.people.roles import Permission

NAMES_TOLD = 40  # names of wires without a kind that the list tells; the rest are counted


@dataclass(frozen=True)
class WireKindRow:
    """One kind of wire in the list: what it is, and what it is as a line."""

    kind: WireKind
    line: WireConstants


@needs(Permission.SEE_RECORDS)
def wire_kind_list(request: HttpRequest) -> HttpResponse:
    on_it = Interconnect.objects.filter(wire=OuterRef("name")).order_by().values("wire").annotate(count=Count("pk"))
    links = Coalesce(Subquery(on_it.values("count"), output_field=IntegerField()), 0)
    page_obj = part_of(request, WireKind.objects.annotate(link_count=links).order_by("name"))
    context = {
        "page_obj": page_obj,
        "rows": [WireKindRow(kind, constants_of(kind)) for kind in page_obj],
        **names_without_a_kind(),
    }
    return show(request, "machine/wire_kind_list.html", context)


def names_without_a_kind() -> dict[str, Any]:
    """The names on the wire list that no kind of wire has, the most used first, and how many more there are."""
    named = Interconnect.objects.exclude(wire="").exclude(wire__in=WireKind.objects.values("name"))
    counted = named.order_by().values("wire").annotate(count=Count("pk")).order_by("-count", "wire")
    names = list(counted[: NAMES_TOLD + 1])
    more = counted.count() - NAMES_TOLD if len(names) > NAMES_TOLD else 0
    return {"names": names[:NAMES_TOLD], "more_names": more, "name_count": len(names[:NAMES_TOLD]) + more}


@needs(Permission.EDIT_MACHINE)
def wire_kind_add(request: HttpRequest) -> HttpResponse:
    name = request.GET.get("name", "")
    form = WireKindForm(posted(request), initial={"name": name} if can_be_stored(name) else {})

    def act() -> str:
        services.add_wire_kind(name=form.cleaned_data["name"], given=form.given(), by=who(request))
        return reverse("machine:wire-kind-list")

    lead = "From how a wire lies and how thick it is follow its impedance and its delay."
    page = FormPage("Add a kind of wire", "Add it", reverse("machine:wire-kind-list"), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def wire_kind_edit(request: HttpRequest, pk: int) -> HttpResponse:
    kind = get_object_or_404(WireKind, pk=pk)
    form = WireKindEditForm(posted(request), initial=wire_kind_as_stored(kind))

    def act() -> str:
        version = form.cleaned_data["version"] or kind.version
        services.edit_wire_kind(kind=kind, version=version, given=form.given(), by=who(request))
        return reverse("machine:wire-kind-list")

    lead = "Predictions from now on are reckoned with what is written here; those that were kept stay as they are."
    page = FormPage(f"Edit the wire {kind.name}", "Store it", reverse("machine:wire-kind-list"), lead)
    return answer_on_page(request, form, act, page, stored=wire_kind_as_stored)


def wire_of(link: Interconnect) -> WireKindRow | None:
    """What is known of the wire of one link, for its page."""
    kind = wire_kind_of([link]).get(link.wire)
    return WireKindRow(kind, constants_of(kind)) if kind else None
