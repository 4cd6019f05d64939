"""The page of what happens on a link, its samples, and keeping what it predicts."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from restoration.common.acting import REFUSED
from restoration.common.pages import show
from restoration.common.posts import TokenForm, store_once
from restoration.conditioning.asked import Asked, asked_of
from restoration.conditioning.drawing import drawing_of, figure, newest_captures
from restoration.conditioning.known import KnownCase, case_of
from restoration.conditioning.models import ModificationNote, Prediction
from restoration.conditioning.outcomes import outcomes_of
from restoration.conditioning.page import LinkInPlace, in_place, shown_proposals
from restoration.conditioning.services import keep_prediction
from restoration.machine.models import Interconnect
from restoration.people.access import needs, who
from restoration.people.roles import Permission, may
from restoration.proving.models.signal_checks import End
from restoration.proving.views.signal_checks import samples_asked_for

TEMPLATE = "conditioning/link.html"
NO_END = "The samples of a link are of its load end or its source end; “{}” was asked for."
PREDICTIONS_SHOWN = 8


@needs(Permission.SEE_RECORDS)
def link_page(request: HttpRequest, code: str) -> HttpResponse:
    """What will happen on this wire, what can be fitted, and what that would do."""
    link = _link(code)
    known = case_of(link)
    asked = asked_of(request, known.arrangement)
    context = {
        "link": link,
        "known": known,
        "asked": asked,
        "may_note": may(who(request), Permission.RECORD_CHANGE),
        "keep_form": TokenForm(),
        "notes": ModificationNote.objects.of(link).select_related("change__replaced_by", "change__done_by"),
        "kept": _kept(link),
    }
    is_refused = asked.is_refused
    if known.case is not None:
        try:
            context |= _reckoned(known, asked)
        except ValueError as cannot:
            context["unreckoned"] = str(cannot)
            is_refused |= asked.choice is not None
    return show(request, TEMPLATE, context, status=REFUSED if is_refused else 200)


def _link(code: str) -> Interconnect:
    return get_object_or_404(Interconnect.objects.with_ends().select_related("signal"), code=code)


def _reckoned(known: KnownCase, asked: Asked) -> dict[str, Any]:
    page = in_place(known, basis=asked.basis, choice=asked.choice)
    captures = newest_captures(known)
    return {
        "page": page,
        "proposals": shown_proposals(page),
        "ends": [_end(page, end, captures, asked) for end in (End.LOAD, End.SOURCE)],
    }


def _end(page: LinkInPlace, end: End, captures: Any, asked: Asked) -> dict[str, Any]:
    chosen = page.chosen.predicted if page.chosen else None
    drawing = drawing_of(page.known, end, page.now.predicted, chosen, captures)
    samples = f"{reverse('conditioning:link-trace', args=[page.known.link.code])}?end={end}&{asked.words}"
    link = page.known.link
    return {
        "end": end,
        "title": f"{end.label.capitalize()}, {link.load if end == End.LOAD else link.source}",
        "figure": figure(drawing, end, page.now.predicted, chosen, samples),
        "table": page.table(end),
    }


def _kept(link: Interconnect) -> list[dict[str, Any]]:
    """The predictions kept for a link, the newest first, each with what came of it."""
    newest = Prediction.objects.filter(interconnect=link).select_related("made_by", "note").prefetch_related("figures")
    predictions = list(newest.order_by("-made_at", "-pk")[:PREDICTIONS_SHOWN])
    outcomes = outcomes_of(predictions)
    return [{"prediction": each, "outcome": outcomes.get(each.pk)} for each in predictions]


@needs(Permission.SEE_RECORDS)
def link_trace(request: HttpRequest, code: str) -> JsonResponse:
    """Give the samples of one end for the plot that zooms."""
    known = case_of(_link(code))
    asked = asked_of(request, known.arrangement)
    end = request.GET.get("end", End.LOAD)
    said = [str(each) for each in known.missing]
    said += [NO_END.format(end[:20])] if end not in End.values else []
    said += [asked.refused or "The parts that the address asks for cannot be."] if asked.is_refused else []
    try:
        page = in_place(known, basis=asked.basis, choice=asked.choice)
    except ValueError as cannot:
        said.append(str(cannot))
    if said:
        return JsonResponse({"refused": list(dict.fromkeys(said))}, status=REFUSED)
    chosen = page.chosen.predicted if page.chosen else None
    drawing = drawing_of(known, end, page.now.predicted, chosen, newest_captures(known))
    return samples_asked_for(request, drawing)


@needs(Permission.RECORD_CHANGE)
@require_POST
def keep(request: HttpRequest, code: str) -> HttpResponse:
    """Keep what is predicted with the parts that the address asks for, or with those on the link."""
    known = case_of(_link(code))
    asked = asked_of(request, known.arrangement)
    form = TokenForm(request.POST)
    back = f"{reverse('conditioning:link', args=[code])}?{asked.words}"
    if known.case is None or asked.is_refused or not form.is_valid():
        messages.error(request, asked.refused or " ".join(map(str, known.missing)) or "Nothing was kept.")
        return redirect(back)
    try:
        page = in_place(known, basis=asked.basis, choice=asked.choice)
    except ValueError as cannot:
        messages.error(request, f"Nothing was kept. {cannot}")
        return redirect(back)

    def act() -> str:
        prediction = kept_of(page, request)
        messages.success(request, f"Kept as prediction {prediction.pk}; the next signal check is held against it.")
        return back

    try:
        return redirect(store_once(form.cleaned_data["form_token"], act))
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
        return redirect(back)


def kept_of(page: LinkInPlace, request: HttpRequest) -> Prediction:
    """Keep what a page predicts: with the chosen parts, or with those on the link."""
    foreseen = page.chosen or page.now
    return keep_prediction(
        interconnect=page.known.link,
        arrangement=foreseen.case.arrangement,
        figures=foreseen.figures,
        assumed=page.known.assumed,
        fit=page.known.rows.fit,
        by=who(request),
    )
