"""Pages on which a signal is checked, and what was found is read."""

import math
from typing import Any

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from restoration.common.acting import answer_form
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.people.access import needs, who
from restoration.people.roles import Permission, may
from restoration.proving.check_page import (
    RESULT_MARKS,
    drawing_of,
    earlier_captures,
    ends_shown,
    lead_of,
    outcome_again,
    warnings_of,
)
from restoration.proving.drawing import Drawing, samples_as_json
from restoration.proving.forms.signal_checks import SignalCheckForm
from restoration.proving.in_place import empty_slots, nothing_proved_yet
from restoration.proving.loads import loads_by_the_book
from restoration.proving.measuring import GAIN_ACCURACY, PART_BY_EYE, TIME_BY_EYE
from restoration.proving.models import Capture, SignalCheck
from restoration.proving.quantities import limit_reads, words
from restoration.proving.services.signal_checks import limits_of, record_signal_check
from restoration.proving.services.wire_checks import is_joined
from restoration.proving.views.acts import load_link, to_be_corrected

FEWEST_BUCKETS, BUCKETS, MOST_BUCKETS = 50, 2000, 10_000


@needs(Permission.CHECK_SIGNAL)
def add(request: HttpRequest, code: str) -> HttpResponse:
    """Record a signal check: captures or figures, found and left."""
    link = load_link(code)
    limits = limits_of(link)
    replaces = to_be_corrected(request, SignalCheck, interconnect=link)
    files = request.FILES if request.method == "POST" else None
    form = SignalCheckForm(posted(request), files, me=who(request), interconnect=link, limits=limits, replaces=replaces)

    def act() -> str:
        check = record_signal_check(interconnect=link, **form.record())
        messages.success(request, f"Recorded: signal check of link {link.code}. Result: {check.result}.")
        return check.get_absolute_url()

    context = {
        "link": link,
        "replaces": replaces,
        "limits": [(words(row.quantity), limit_reads(row)) for row in limits],
        "loads": loads_by_the_book(link),
        "joined": is_joined(link, timezone.now()),
        "unproved": nothing_proved_yet(empty_slots(link, timezone.now())),
        "gain": GAIN_ACCURACY * 100,
        "time": TIME_BY_EYE * 100,
        "part": PART_BY_EYE * 100,
    }
    return answer_form(request, form, act, "proving/signal_check_add.html", context)


@needs(Permission.SEE_RECORDS)
def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one signal check: what it came to, the traces, the figures beside their limits."""
    check = load_check(pk)
    outcome = outcome_again(check)
    captures = list(check.captures.all())
    context = {
        "check": check,
        "link": check.interconnect,
        "lead": lead_of(check, outcome),
        "mark": RESULT_MARKS[check.result],
        "reasons": outcome.reasons,
        "ends": ends_shown(check),
        "captures": captures,
        "warnings": warnings_of(captures),
        "may_concede": may(who(request), Permission.ACCEPT_ON_CONCESSION),
        "may_check": may(who(request), Permission.CHECK_SIGNAL),
        "no_limits": not any(row.verdict for row in check.readings.all()),
        "concession": getattr(check, "concession", None),
        "replaced_by": getattr(check, "replaced_by", None),
    }
    return show(request, "proving/signal_check_detail.html", context)


def load_check(pk: int) -> SignalCheck:
    """Find a signal check with all that its page shows, the packed samples among it."""
    checks = SignalCheck.objects.select_related(
        "interconnect__signal",
        "interconnect__source__slot",
        "interconnect__load__slot",
        "instrument",
        "done_by",
        "second_person",
        "entered_by",
        "replaces",
        "replaced_by",
        "concession__given_by",
    )
    return get_object_or_404(checks.prefetch_related("readings", "captures"), pk=pk)


@needs(Permission.SEE_RECORDS)
def original(request: HttpRequest, pk: int) -> FileResponse:
    """Hand out a capture as it came, as a file to keep and never as a page to open."""
    capture = get_object_or_404(Capture.objects.defer("packed"), pk=pk)
    try:
        file = capture.original.open()
    except FileNotFoundError as gone:
        raise Http404("The original of this capture is not in the store of files.") from gone
    answer = FileResponse(
        file, as_attachment=True, filename=capture.original_name, content_type="application/octet-stream"
    )
    answer.headers["X-Content-Type-Options"] = "nosniff"
    return answer


@needs(Permission.SEE_RECORDS)
def trace(request: HttpRequest, pk: int) -> JsonResponse:
    """Give the samples behind one figure, thinned; `start_s`, `stop_s` and `points` ask for a stretch, finer."""
    capture = get_object_or_404(Capture.objects.defer("packed"), pk=pk)
    check = load_check(capture.check_made_id)
    taken = [each for each in check.captures.all() if each.end == capture.end]
    readings = [row for row in check.readings.all() if row.end == capture.end]
    drawing = drawing_of(capture.end, taken, readings, earlier_captures(check, capture.end))
    return samples_asked_for(request, drawing)


def samples_asked_for(request: HttpRequest, drawing: Drawing) -> JsonResponse:
    """Give the stretch of a drawing that an address asks for, or say why there is none such."""
    start_s, stop_s = number(request, "start_s"), number(request, "stop_s")
    begin_s = drawing.frame.start_s if start_s is None else start_s
    end_s = drawing.frame.stop_s if stop_s is None else stop_s
    if not begin_s < end_s:
        return JsonResponse(
            {"refused": [f"What is shown runs from earlier to later, not from {begin_s:g} to {end_s:g}."]}, status=422
        )
    points = number(request, "points") or BUCKETS
    buckets = int(min(max(points, FEWEST_BUCKETS), MOST_BUCKETS))
    return JsonResponse(samples_as_json(drawing, start_s=begin_s, stop_s=end_s, buckets=buckets))


def number(request: HttpRequest, name: str) -> float | None:
    """Read a number from the address; whatever is none counts as not given."""
    given: Any = request.GET.get(name, "")
    try:
        value = float(given)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
