"""A wire list in and out through the browser: send it, see what would change, say yes."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from restoration.common.acting import REFUSED, stored_answer
from restoration.common.lists import narrowed
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.engineering.wire_list.wires import WireRow
from restoration.engineering.wire_list.writing import write_csv, write_xlsx
from restoration.machine.filters import InterconnectFilter
from restoration.machine.forms.wiring import ConfirmForm, WireListForm
from restoration.machine.models import Interconnect
from restoration.machine.services import ImportOutcome, import_wire_list
from restoration.machine.services.wire_list import wires_for_export
from restoration.machine.waiting_files import NotWaitingError, WaitingFile, find, forget, keep
from restoration.people.access import needs, who
from restoration.people.roles import Permission

SHOWN = 100  # rows of each kind on the page; the rest are counted
KINDS = {
    "csv": ("text/csv; charset=utf-8", write_csv),
    "xlsx": ("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", write_xlsx),
}


@needs(Permission.IMPORT_WIRE_LIST)
def wire_list_import(request: HttpRequest) -> HttpResponse:
    form = WireListForm(posted(request), request.FILES or None)
    outcome, status = None, 200
    if request.method == "POST":
        status = REFUSED
        if form.is_valid():
            given = form.cleaned_data
            name, data = given["file"].name or "wire list", given["file"].read()
            how = {"create_missing": given["create_missing"], "both_ends": given["both_ends"]}
            outcome = import_wire_list(data=data, name=name, by=who(request), dry_run=True, **how)
            if not outcome.is_refused:
                word = keep(data, name=name, sent_by=who(request).pk, **how)
                return redirect("machine:wire-list-confirm", word)
    context = {"form": form, "outcome": outcome, "shown": SHOWN}
    return show(request, "machine/wire_list_import.html", context, status=status)


@needs(Permission.IMPORT_WIRE_LIST)
def wire_list_confirm(request: HttpRequest, word: str) -> HttpResponse:
    waiting, data = _waiting(request, word)
    form = ConfirmForm(posted(request))
    if request.method == "POST" and form.is_valid():
        return _bring_in(request, form, waiting, data)
    return _show_plan(request, form, waiting, _read(request, waiting, data, dry_run=True))


def _bring_in(request: HttpRequest, form: ConfirmForm, waiting: WaitingFile, data: bytes) -> HttpResponse:
    """Bring in exactly the bytes that were shown; refused if the machine changed so that they no longer fit."""
    outcomes: list[ImportOutcome] = []

    def act() -> str:
        outcomes.append(_read(request, waiting, data, dry_run=False))
        if outcomes[-1].is_refused:
            raise ValidationError("The machine's records changed meanwhile, and the list no longer fits them.")
        return reverse("machine:interconnect-list")

    answer = stored_answer(request, form, act)
    if answer is None:
        return _show_plan(request, form, waiting, outcomes[-1], status=REFUSED)
    forget(waiting)
    for outcome in outcomes:
        messages.success(request, f"The wire list is in. {outcome.plan.sentences()[0]}")
    return answer


def _read(request: HttpRequest, waiting: WaitingFile, data: bytes, *, dry_run: bool) -> ImportOutcome:
    return import_wire_list(
        data=data,
        name=waiting.name,
        by=who(request),
        create_missing=waiting.create_missing,
        both_ends=waiting.both_ends,
        dry_run=dry_run,
    )


def _waiting(request: HttpRequest, word: str) -> tuple[WaitingFile, bytes]:
    try:
        waiting, data = find(word)
    except NotWaitingError as gone:
        raise Http404("This wire list no longer waits: it is in already, or was sent more than a day ago.") from gone
    if waiting.sent_by != who(request).pk:
        raise Http404("This wire list was sent by someone else.")
    return waiting, data


def _show_plan(
    request: HttpRequest, form: ConfirmForm, waiting: WaitingFile, outcome: ImportOutcome, *, status: int = 200
) -> HttpResponse:
    context: dict[str, Any] = {"form": form, "waiting": waiting, "outcome": outcome, "shown": SHOWN}
    return show(request, "machine/wire_list_confirm.html", context, status=status)


@needs(Permission.SEE_RECORDS)
def wire_list_export(request: HttpRequest) -> HttpResponse:
    """The list as it is narrowed, as a file that `import_wire_list` reads unchanged."""
    kind = request.GET.get("kind", "csv")
    if kind not in KINDS:
        raise Http404(f"A wire list is written as csv or xlsx; “{kind}” was asked for.")
    media_type, write = KINDS[kind]
    links = Interconnect.objects.all()
    filter_set = InterconnectFilter(request.GET, queryset=links, request=request)
    rows: list[WireRow] = list(wires_for_export(narrowed(filter_set)))
    response = HttpResponse(write(rows), content_type=media_type)
    response["Content-Disposition"] = f'attachment; filename="wire-list.{kind}"'
    return response
