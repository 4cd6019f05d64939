"""What this app shows on the page of a link: predicted beside measured, and what is on the wire."""

from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from restoration.common.panels import add_panel
from restoration.conditioning.models import ModificationNote, Prediction
from restoration.conditioning.note_words import ForetoldRow, rows_of_prediction
from restoration.conditioning.outcomes import PredictionOutcome, outcome_of
from restoration.engineering.in_place import Arrangement
from restoration.machine.models import Interconnect, Slot
from restoration.machine.models.limits import Quantity
from restoration.proving.models.signal_checks import End

SHOWN = (Quantity.AMPLITUDE, Quantity.OVERSHOOT, Quantity.RISE_TIME)


def register() -> None:
    """Put signals in place on the page of a link, and the way to their page among its acts."""
    add_panel("interconnect", order=25, name="signals in place", render=in_place_panel)
    add_panel("interconnect-actions", order=25, name="signals in place", render=act_panel)
    add_panel("slot-actions", order=25, name="bench against place", render=slot_act_panel)


def in_place_panel(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """Draw the newest prediction beside what was measured after it, and the parts on the wire."""
    notes = ModificationNote.objects.in_force().of(interconnect).select_related("change")
    note = notes.last()
    predictions = Prediction.objects.filter(interconnect=interconnect).prefetch_related("figures")
    prediction = predictions.last()
    outcome = outcome_of(prediction) if prediction else None
    context = {
        "link": interconnect,
        "note": note,
        "arrangement": Arrangement.of_dict(note.arrangement) if note else Arrangement(),
        "prediction": prediction,
        "outcome": outcome,
        "told": _shown(prediction, outcome),
    }
    return render_to_string("conditioning/_panel_in_place.html", context, request=request)


def _shown(prediction: Prediction | None, outcome: PredictionOutcome | None) -> list[ForetoldRow]:
    names = {Quantity(quantity).label for quantity in SHOWN}
    return [row for row in rows_of_prediction(prediction, outcome) if row.end == End.LOAD and row.name in names]


def act_panel(request: HttpRequest, interconnect: Any) -> SafeString:
    """Draw the way to the page of what happens on a link."""
    return render_to_string("conditioning/_act_in_place.html", {"link": interconnect}, request=request)


def slot_act_panel(request: HttpRequest, slot: Slot) -> SafeString:
    """Draw the way to bench against place on the page of a slot that drives a link."""
    if not Interconnect.objects.filter(source__slot=slot).exists():
        return SafeString("")
    return render_to_string("conditioning/_act_bench.html", {"slot": slot}, request=request)
