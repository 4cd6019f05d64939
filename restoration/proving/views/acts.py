"""What the pages of acts share: the link, the record to correct, and storing once."""

from collections.abc import Callable
from typing import Any, cast

from django.core.exceptions import ValidationError
from django.db.models import Model
from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404

from restoration.common.posts import TokenForm, store_once
from restoration.machine.models import Interconnect
from restoration.people.models import Person


def load_link(code: str) -> Interconnect:
    """Find a link by the code on the wire list, with all that its drawing shows."""
    return get_object_or_404(Interconnect.objects.with_ends(), code=code)


def to_be_corrected(request: HttpRequest, model: type[Model], interconnect: Interconnect) -> Any:
    """Find the record that `?replaces=` names; it must be one of this link."""
    number = request.GET.get("replaces")
    if not number:
        return None
    if not number.isdecimal() or len(number) > 18:
        raise Http404(f"There is no record of the number {number[:40]}.")
    return get_object_or_404(model, pk=int(number), interconnect=interconnect)


def me_of(request: HttpRequest) -> Person:
    """Give the person signed in; whoever reaches one of these pages is."""
    return cast(Person, request.user)


def sent(request: HttpRequest) -> Any:
    """Give what was posted, or None where the form is only looked at."""
    return request.POST if request.method == "POST" else None


def stored_address(form: TokenForm, act: Callable[[], str]) -> str | None:
    """Store a valid form once; a refusal is written into the form, and None is returned."""
    if not form.is_valid():
        return None
    try:
        return store_once(form.cleaned_data["form_token"], act)
    except ValidationError as refusal:
        add_refusal(form, refusal)
        return None


def add_refusal(form: TokenForm, refusal: ValidationError) -> None:
    """Put each sentence beside the field that it speaks of, where the form has that field."""
    if not hasattr(refusal, "error_dict"):
        form.add_error(None, refusal)
        return
    for name, errors in refusal.error_dict.items():
        form.add_error(name if name in form.fields else None, errors)
