"""The fault log: the list, one fault's story, and the acts on it."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.common.acting import answer_form
from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
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
    filter_set = FaultFilter(request.GET, queryset=with_story(Fault.objects.order_by("-opened_at", "-pk")))
    page = part_of(request, narrowed(filter_set))
    rows = [(fault, as_hours(minutes_lost([fault]))) for fault in page]
    context = {"filter": filter_set, "page": page, "rows": rows, "open_count": Fault.objects.open().count()}
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

    context = {"link": link, "check": check, "earlier": with_story(Fault.objects.at(link))}
    return answer_form(request, form, act, "faults/fault_add.html", context, done="The fault is in the log.")


def _check_named(request: HttpRequest, link: Interconnect) -> SignalCheck | None:
    named = request.GET.get("check", "")
    return get_object_or_404(link.signal_checks, pk=named) if named.isdecimal() and len(named) < 18 else None


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

    done = f"Fault {pk} is in its new words."
    return answer_form(request, form, act, "faults/fault_edit.html", {"fault": fault}, done=done, told=_told)


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

    done = "What was tried is written down."
    return answer_form(request, form, act, "faults/attempt_add.html", {"fault": fault}, done=done)


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

    done = f"Fault {pk} is closed."
    return answer_form(request, form, act, "faults/fault_close.html", {"fault": fault}, done=done, told=_told)


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

    done = f"Fault {pk} is open again."
    return answer_form(request, form, act, "faults/fault_reopen.html", {"fault": fault}, done=done)


def _told(current: Fault) -> dict[str, Any]:
    """Say who stored the fault meanwhile, and when."""
    fault = Fault.objects.select_related("interconnect", "closed_by").get(pk=current.pk)
    line = Entry.objects.about("fault", str(fault.pk)).newest_first().first()
    return {"fault": fault, "who": line and line.by_name, "when": line and line.written_at}
