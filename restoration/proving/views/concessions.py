"""The page on which something outside its limits is accepted all the same."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.common.acting import answer_form
from restoration.common.posts import posted
from restoration.people.access import needs, who
from restoration.people.roles import Permission
from restoration.proving.forms.instruments import ConcessionForm
from restoration.proving.models import BenchTest, RingOut, SignalCheck
from restoration.proving.services import give_concession
from restoration.proving.services.concessions import why_no_concession

KINDS: dict[str, type[Any]] = {"bench-test": BenchTest, "ring-out": RingOut, "signal-check": SignalCheck}


@needs(Permission.ACCEPT_ON_CONCESSION)
def concession_add(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Accept a record on concession, with the reason."""
    if kind not in KINDS:
        raise Http404(f"No concession is given on a “{kind}”.")
    record = get_object_or_404(KINDS[kind], pk=pk)
    back = address_of(record)
    form = ConcessionForm(posted(request))

    def act() -> str:
        give_concession(
            record=record, reason=form.cleaned_data["reason"], until=form.cleaned_data["until"], by=who(request)
        )
        messages.success(request, f"Accepted on concession: {record}.")
        return back

    context = {"record": record, "back": back, "refused": why_no_concession(record)}
    return answer_form(request, form, act, "proving/concession_add.html", context)


def address_of(record: Any) -> str:
    """Where a record is read: a page of its own, or that of the link it belongs to."""
    if isinstance(record, RingOut):
        return record.interconnect.get_absolute_url()
    address: str = record.get_absolute_url()
    return address
