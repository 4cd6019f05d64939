"""What slots and racks share: rails and earths, each with its list, its page and its forms."""

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.acting import answer_form
from restoration.common.lists import part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.forms.shared import EarthEditForm, EarthForm, RailEditForm, RailForm
from restoration.machine.models import Earth, Rail
from restoration.machine.views.form_page import FormPage
from restoration.people.access import needs, who
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def rail_list(request: HttpRequest) -> HttpResponse:
    rails = Rail.objects.annotate(slot_count=Count("slots")).order_by("code")
    return show(request, "machine/rail_list.html", {"page_obj": part_of(request, rails)})


@needs(Permission.SEE_RECORDS)
def rail_detail(request: HttpRequest, code: str) -> HttpResponse:
    rail = get_object_or_404(Rail, code=code)
    slots = rail.slots.select_related("rack", "design").from_the_top()
    return show(request, "machine/rail_detail.html", {"rail": rail, "page_obj": part_of(request, slots)})


@needs(Permission.EDIT_MACHINE)
def rail_add(request: HttpRequest) -> HttpResponse:
    form = RailForm(posted(request))

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("code", "kind", "function", "slots")}
        return services.add_rail(by=who(request), **given).get_absolute_url()

    lead = "A rail is a supply line; what is changed on it is felt by every slot that hangs on it."
    page = FormPage("Add a rail", "Add the rail", reverse("machine:rail-list"), lead)
    return answer_form(request, form, act, "machine/rail_form.html", {"page": page})


@needs(Permission.EDIT_MACHINE)
def rail_edit(request: HttpRequest, code: str) -> HttpResponse:
    rail = get_object_or_404(Rail, code=code)
    slots = list(rail.slots.values_list("pk", flat=True))
    form = RailEditForm(posted(request), initial={"kind": rail.kind, "function": rail.function, "slots": slots})

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("kind", "function", "slots")}
        return services.edit_rail(rail=rail, by=who(request), **given).get_absolute_url()

    lead = "This corrects what is written of the rail. A change made to the rail itself is recorded as a change."
    page = FormPage(f"Edit rail {rail.code}", "Store it", rail.get_absolute_url(), lead)
    return answer_form(request, form, act, "machine/rail_form.html", {"page": page})


@needs(Permission.SEE_RECORDS)
def earth_list(request: HttpRequest) -> HttpResponse:
    earths = Earth.objects.annotate(rack_count=Count("racks")).order_by("code")
    return show(request, "machine/earth_list.html", {"page_obj": part_of(request, earths)})


@needs(Permission.SEE_RECORDS)
def earth_detail(request: HttpRequest, code: str) -> HttpResponse:
    earth = get_object_or_404(Earth, code=code)
    racks = earth.racks.annotate(slot_count=Count("slots")).in_order()
    return show(request, "machine/earth_detail.html", {"earth": earth, "page_obj": part_of(request, racks)})


@needs(Permission.EDIT_MACHINE)
def earth_add(request: HttpRequest) -> HttpResponse:
    form = EarthForm(posted(request))

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("code", "function", "racks")}
        return services.add_earth(by=who(request), **given).get_absolute_url()

    lead = "An earth is a bar or a bond that several racks share; what is changed on it is felt in all of them."
    page = FormPage("Add an earth", "Add the earth", reverse("machine:earth-list"), lead)
    return answer_form(request, form, act, "machine/earth_form.html", {"page": page})


@needs(Permission.EDIT_MACHINE)
def earth_edit(request: HttpRequest, code: str) -> HttpResponse:
    earth = get_object_or_404(Earth, code=code)
    racks = list(earth.racks.values_list("pk", flat=True))
    form = EarthEditForm(posted(request), initial={"function": earth.function, "racks": racks})

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("function", "racks")}
        return services.edit_earth(earth=earth, by=who(request), **given).get_absolute_url()

    lead = "This corrects what is written of the earth. A change made to the earth itself is recorded as a change."
    page = FormPage(f"Edit earth {earth.code}", "Store it", earth.get_absolute_url(), lead)
    return answer_form(request, form, act, "machine/earth_form.html", {"page": page})
