"""Writing a modification note, reading it, and the card of its parts for whoever fits them."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.http import urlencode

from restoration.commissioning.changing.ahead import look_ahead
from restoration.commissioning.changing.touched import Touched
from restoration.commissioning.changing.views import photo_of
from restoration.common.acting import REFUSED, answer_form
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.conditioning import services
from restoration.conditioning.asked import Asked, asked_of
from restoration.conditioning.choosing import Chosen
from restoration.conditioning.forms import NoteForm
from restoration.conditioning.known import KnownCase, case_of
from restoration.conditioning.models import ModificationNote, NoteClass
from restoration.conditioning.note_words import chain_of, filled_in, rows_of_prediction
from restoration.conditioning.outcomes import outcome_of
from restoration.conditioning.page import LinkInPlace, in_place
from restoration.conditioning.stress import ratings_of
from restoration.conditioning.views.links import kept_of
from restoration.engineering.doubt import Kind
from restoration.engineering.in_place import Arrangement
from restoration.machine.models import Interconnect
from restoration.people.access import needs, require, who
from restoration.people.roles import Permission
from restoration.proving.models.signal_checks import End

FORM = "conditioning/note_form.html"


@needs(Permission.RECORD_CHANGE)
def note_add(request: HttpRequest, code: str) -> HttpResponse:
    """One step from what was chosen to a modification note; before it is stored it says what it puts in doubt."""
    link = get_object_or_404(Interconnect.objects.with_ends().select_related("signal"), code=code)
    known = case_of(link)
    asked = asked_of(request, known.arrangement)
    if asked.choice is None:
        as_it_is = urlencode({"choose": Chosen(known.arrangement, {}).words})
        context = {"link": link, "known": known, "asked": asked, "as_it_is": as_it_is}
        return show(request, "conditioning/note_parts.html", context, status=REFUSED if asked.is_refused else 200)
    page = _reckoned(known, asked)
    form = _form(request, known, asked.choice, page)
    context = {
        "link": link,
        "known": known,
        "asked": asked,
        "page": page,
        "load_rows": [row for row in page.table(End.LOAD).rows if row.is_first] if page else [],
        "ahead": look_ahead(_change_kind(known, asked.choice), Touched(interconnect=link)),
        "chain": chain_of(link, asked.choice.arrangement),
    }
    return answer_form(request, form, lambda: _recorded(request, form, known, page), FORM, context)


def _reckoned(known: KnownCase, asked: Asked) -> LinkInPlace | None:
    """What the link will show with what was chosen; None where that cannot be reckoned, which forbids no note."""
    try:
        return in_place(known, basis=asked.basis, choice=asked.choice)
    except ValueError:
        return None


def _change_kind(known: KnownCase, choice: Chosen) -> Kind:
    """The kind of change by whose rules to look ahead: parts that stay as they are mean a wire led another way."""
    return Kind.REMADE if choice.arrangement == known.arrangement else Kind.CONDITIONED


def _form(request: HttpRequest, known: KnownCase, choice: Chosen, page: LinkInPlace | None) -> NoteForm:
    files = request.FILES if request.method == "POST" else None
    told = filled_in(known, choice, page)
    return NoteForm(
        posted(request),
        files,
        me=who(request),
        before=known.arrangement,
        choice=choice,
        note=known.rows.note,
        told=told,
    )


def _recorded(request: HttpRequest, form: NoteForm, known: KnownCase, page: LinkInPlace | None) -> str:
    told = form.told()
    if told["kind"] == NoteClass.REROUTED:
        require(who(request), Permission.JOIN_WIRE)
    note = services.record_note(
        interconnect=known.link,
        arrangement=form.choice.arrangement,
        parts=form.used(ratings_of(page.chosen) if page and page.chosen else {}),
        prediction=kept_of(page, request) if page is not None else None,
        put_back=form.put_back(),
        entered_by=who(request),
        **told,
    )
    count = note.change.doubts.filter(is_asked=True).count()
    places = f"{count} place{'s' if count != 1 else ''}"
    messages.success(request, f"Stored as modification note {note.pk}; evidence stands in doubt in {places}.")
    return note.get_absolute_url()


def load_note(pk: int) -> ModificationNote:
    """Find a note with all that its page shows."""
    notes = ModificationNote.objects.select_related(
        "change__interconnect__signal",
        "change__interconnect__source__slot",
        "change__interconnect__load__slot",
        "change__done_by",
        "change__second_person",
        "change__entered_by",
        "change__replaced_by",
        "prediction",
    )
    return get_object_or_404(notes.prefetch_related("parts__stores_line"), pk=pk)


@needs(Permission.SEE_RECORDS)
def note_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """One modification note: what is on the link, how it comes off, what was predicted and what came of it."""
    note = load_note(pk)
    link = note.change.interconnect
    outcome = outcome_of(note.prediction) if note.prediction else None
    newest = ModificationNote.objects.in_force().of(link).last() if link else None
    context = {
        **_of_note(note),
        "later": getattr(note.change, "replaced_by", None),
        "is_newest": newest == note,
        "newer": newest if newest != note else None,
        "outcome": outcome,
        "rows": rows_of_prediction(note.prediction, outcome),
        "photos": [photo_of(note.change)] if note.change.image else [],
        "doubts": note.change.doubts.filter(is_asked=True).count(),
    }
    return show(request, "conditioning/note_detail.html", context)


@needs(Permission.SEE_RECORDS)
def note_card(request: HttpRequest, pk: int) -> HttpResponse:
    """The card that goes to whoever makes and fits the parts."""
    note = load_note(pk)
    return show(request, "conditioning/note_card.html", {**_of_note(note), "address": _address(request, note)})


def _of_note(note: ModificationNote) -> dict[str, Any]:
    arrangement = Arrangement.of_dict(note.arrangement)
    link = note.change.interconnect
    return {
        "note": note,
        "change": note.change,
        "link": link,
        "arrangement": arrangement,
        "parts": list(note.parts.all()),
        "chain": chain_of(link, arrangement) if link else [],
    }


def _address(request: HttpRequest, note: ModificationNote) -> str:
    return request.build_absolute_uri(reverse("conditioning:note-detail", args=[note.pk]))
