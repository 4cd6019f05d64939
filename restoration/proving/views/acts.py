"""What the pages of acts share: the link, and the record to correct."""

from typing import Any

from django.db.models import Model
from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404

from restoration.machine.models import Interconnect


def load_link(code: str) -> Interconnect:
    """Find a link by the code on the wire list, with all that its drawing shows."""
    return get_object_or_404(Interconnect.objects.with_ends(), code=code)


def to_be_corrected(request: HttpRequest, model: type[Model], **about: Any) -> Any:
    """Find the record that `?replaces=` names; it must be one about this very thing."""
    number = request.GET.get("replaces")
    if not number:
        return None
    if not number.isdecimal() or len(number) > 18:
        raise Http404(f"There is no record of the number {number[:40]}.")
    return get_object_or_404(model, pk=int(number), **about)
