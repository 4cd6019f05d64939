"""Pages of the instruments."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from restoration.common.acting import answer_form
from restoration.common.lists import part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.people.access import needs, who
from restoration.people.roles import Permission
from restoration.proving.forms.instruments import InstrumentEditForm, InstrumentForm, instrument_as_stored
from restoration.proving.models import Instrument
from restoration.proving.services import add_instrument, edit_instrument


@needs(Permission.SEE_RECORDS)
def instrument_list(request: HttpRequest) -> HttpResponse:
    """What there is to measure with, and what is due for a check."""
    today = timezone.localdate()
    context = {
        "page": part_of(request, Instrument.objects.all()),
        "today": today,
        "due": Instrument.objects.filter(check_due_on__lt=today).count(),
        "may_keep": who(request).may(Permission.KEEP_INSTRUMENTS),
    }
    return show(request, "proving/instrument_list.html", context)


@needs(Permission.KEEP_INSTRUMENTS)
def instrument_add(request: HttpRequest) -> HttpResponse:
    """Put an instrument on the list."""
    form = InstrumentForm(posted(request), initial={"gain_accuracy_percent": 3})

    def act() -> str:
        instrument = add_instrument(mark=form.cleaned_data["mark"], facts=form.facts(), by=who(request))
        messages.success(request, f"Instrument {instrument.mark} is on the list.")
        return reverse("proving:instrument-list")

    return answer_form(request, form, act, "proving/instrument_form.html")


@needs(Permission.KEEP_INSTRUMENTS)
def instrument_edit(request: HttpRequest, mark: str) -> HttpResponse:
    """Write what is known of an instrument anew."""
    instrument = get_object_or_404(Instrument, mark=mark)
    form = InstrumentEditForm(posted(request), initial=instrument_as_stored(instrument))

    def act() -> str:
        version = form.cleaned_data["version"]
        edit_instrument(instrument=instrument, version=version, facts=form.facts(), by=who(request))
        messages.success(request, f"What is written of instrument {mark} is stored.")
        return reverse("proving:instrument-list")

    context = {"instrument": instrument}
    template = "proving/instrument_form.html"
    return answer_form(request, form, act, template=template, context=context, stored=instrument_as_stored)
