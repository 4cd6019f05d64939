"""The fault log: the list, one fault's story, and the acts on it."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from restoration.common.pages import show
from restoration.common.posts import TokenForm, posted, store_once
from restoration.common.versions import EditedMeanwhile, theirs
from restoration.faults import services
from restoration.faults.filters import FaultFilter
from restoration.faults.forms import AttemptForm, CloseForm, OpenForm, ReopenForm, RewordForm
from restoration.faults.models import Fault
from restoration.faults.reading import as_hours, minutes_lost, story, with_story
from restoration.logbook.models import Entry
from restoration.machine.models import Interconnect
from restoration.people.access import needs, who
from restoration.people.roles import Permission
from restoration.proving.models import SignalCheck


@needs(Permission.SEE_RECORDS)
def fault_list(request: HttpRequest) -> HttpResponse:
    """All faults, the newest first."""
    narrowed = FaultFilter(request.GET, queryset=with_story(Fault.objects.order_by("-opened_at", "-pk")))
    page = Paginator(narrowed.qs, 50).get_page(request.GET.get("page"))
    rows = [(fault, as_hours(minutes_lost([fault]))) for fault in page]
    context = {"filter": narrowed, "page": page, "rows": rows, "open_count": Fault.objects.open().count()}
    return show(request, "faults/fault_list.html", context, fragment="rows")


@needs(Permission.SEE_RECORDS)
def fault_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """The story of one fault."""
    fault = get_object_or_404(with_story(Fault.objects.all()), pk=pk)
    context = {"fault": fault, "story": story(fault), "time_lost": as_hours(minutes_lost([fault]))}
    return show(request, "faults/fault_detail.html", context)


@needs(Permission.LOG_FAULT)
def fault_add(request: HttpRequest, code: str) -> HttpResponse:
    """A new fault on a link; a failed check fills it in."""
    link = get_object_or_404(Interconnect.objects.with_ends(), code=code)
    check = _check_named(request, link)
    form = OpenForm(posted(request), me=who(request), initial=_from_check(check))

    def act() -> str:
        given = form.cleaned_data
        fault = services.open_fault(
            interconnect=link,
            symptom=given["symptom"],
            how_often=given["how_often"],
            conditions=given["conditions"],
            seen_by=given["done_by"],
            entered_by=who(request),
            at=given["done_at"],
            from_check=check,
        )
        return fault.get_absolute_url()

    answer = _stored(request, form, act, "The fault is in the log.")
    earlier = with_story(Fault.objects.at(link))
    context = {"link": link, "check": check, "form": form, "earlier": earlier}
    return answer or _page(request, "fault_add", form, context)


def _check_named(request: HttpRequest, link: Interconnect) -> SignalCheck | None:
    named = request.GET.get("check", "")
    return get_object_or_404(link.signal_checks, pk=named) if named.isdigit() else None


def _from_check(check: SignalCheck | None) -> dict[str, str]:
    """Fill a fault in from what a check found outside its limits."""
    if check is None:
        return {}
    outside = [
        f"{reading.get_quantity_display()} at the {reading.get_end_display()}, {reading.stage}"
        for reading in check.readings.filter(verdict="outside")
    ]
    found = f"outside its limits: {'; '.join(outside)}" if outside else check.result
    return {"symptom": f"Signal check {check.pk}: {found}.", "conditions": check.also_running}


@needs(Permission.LOG_FAULT)
def fault_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Better words for what was seen."""
    fault = get_object_or_404(Fault.objects.select_related("interconnect"), pk=pk)
    start = {name: getattr(fault, name) for name in ("symptom", "how_often", "conditions", "version")}
    form = RewordForm(posted(request), initial=start)

    def act() -> str:
        given = form.cleaned_data
        words = {name: given[name] for name in ("version", "symptom", "how_often", "conditions")}
        services.edit_fault(fault=fault, by=who(request), **words)
        return fault.get_absolute_url()

    context = {"fault": fault, "form": form}
    try:
        answer = _stored(request, form, act, f"Fault {pk} is in its new words.")
    except EditedMeanwhile as news:
        return _both(request, "fault_edit", form, context, news)
    return answer or _page(request, "fault_edit", form, context)


@needs(Permission.LOG_FAULT)
def attempt_add(request: HttpRequest, pk: int) -> HttpResponse:
    """What was tried at a fault."""
    fault = get_object_or_404(Fault.objects.select_related("interconnect"), pk=pk)
    form = AttemptForm(posted(request), me=who(request))

    def act() -> str:
        given = form.cleaned_data
        services.log_attempt(
            fault=fault,
            tried=given["tried"],
            read=given["read"],
            minutes=given["minutes"],
            done_by=given["done_by"],
            entered_by=who(request),
            at=given["done_at"],
        )
        return fault.get_absolute_url()

    answer = _stored(request, form, act, "What was tried is written down.")
    return answer or _page(request, "attempt_add", form, {"fault": fault, "form": form})


@needs(Permission.CLOSE_FAULT)
def fault_close(request: HttpRequest, pk: int) -> HttpResponse:
    """Cause, cure and proof; or no fault found."""
    fault = get_object_or_404(Fault.objects.select_related("interconnect"), pk=pk)
    form = CloseForm(posted(request), fault=fault, initial={"version": fault.version})

    def act() -> str:
        given = form.cleaned_data
        words = {name: given[name] for name in ("version", "outcome", "cause", "cure", "proof")}
        services.close_fault(fault=fault, by=who(request), at=given["done_at"], **words)
        return fault.get_absolute_url()

    context = {"fault": fault, "form": form}
    try:
        answer = _stored(request, form, act, f"Fault {pk} is closed.")
    except EditedMeanwhile as news:
        return _both(request, "fault_close", form, context, news)
    return answer or _page(request, "fault_close", form, context)


@needs(Permission.LOG_FAULT)
def fault_reopen(request: HttpRequest, pk: int) -> HttpResponse:
    """The same fault again."""
    fault = get_object_or_404(Fault.objects.select_related("interconnect"), pk=pk)
    form = ReopenForm(posted(request), me=who(request))

    def act() -> str:
        given = form.cleaned_data
        services.reopen_fault(
            fault=fault,
            what_was_seen=given["what_was_seen"],
            seen_by=given["done_by"],
            entered_by=who(request),
            at=given["done_at"],
        )
        return fault.get_absolute_url()

    answer = _stored(request, form, act, f"Fault {pk} is open again.")
    return answer or _page(request, "fault_reopen", form, {"fault": fault, "form": form})


def _stored(request: HttpRequest, form: TokenForm, act: Callable[[], str], done: str) -> HttpResponse | None:
    """Store the act once and go where it leads; None where the form must be shown again."""
    if not form.is_valid():
        return None
    try:
        address = store_once(form.cleaned_data["form_token"], act)
    except ValidationError as refused:
        form.add_error(None, refused)
        return None
    messages.success(request, done)
    return redirect(address)


def _page(request: HttpRequest, name: str, form: TokenForm, context: dict[str, Any]) -> HttpResponse:
    return show(request, f"faults/{name}.html", context, status=422 if form.is_bound else 200)


def _both(
    request: HttpRequest, name: str, form: TokenForm, context: dict[str, Any], news: EditedMeanwhile
) -> HttpResponse:
    """Show what the other wrote above one's own words, and take the new version on."""
    fault = Fault.objects.select_related("interconnect", "closed_by").get(pk=news.current.pk)
    rows = theirs(form, fault)
    sent = request.POST.copy()
    sent["version"] = str(fault.version)
    form.data = sent
    line = Entry.objects.about("fault", str(fault.pk)).newest_first().first()
    context |= {"fault": fault, "theirs": rows, "who": line and line.by_name, "when": line and line.written_at}
    return show(request, f"faults/{name}.html", context, status=409)
