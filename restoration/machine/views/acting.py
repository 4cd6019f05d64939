"""What the views of this app share: lists in parts, and forms that end in one act."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, cast

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect

from restoration.common.pages import show
from restoration.common.posts import TokenForm, store_once
from restoration.common.versions import EditedMeanwhile, Theirs
from restoration.people.models import Person

PART = 50
LARGEST_PART = 150
CONFLICT = 409
REFUSED = 422


def part_of(request: HttpRequest, rows: Any, *, size: int = PART) -> Page[Any]:
    """Give the part of a list that the address asks for; an address beyond its ends gives the nearest part."""
    return Paginator(rows, min(size, LARGEST_PART)).get_page(request.GET.get("page"))


def narrowed(filter_set: Any, rows: QuerySet[Any]) -> QuerySet[Any]:
    """Give what a filter lets through; one that cannot be read lets nothing through and says why."""
    return filter_set.qs if filter_set.is_valid() else rows.none()


def me(request: HttpRequest) -> Person:
    """Give whoever is signed in; these views are shut to visitors."""
    return cast(Person, request.user)


def posted(request: HttpRequest) -> QueryDict | None:
    """Give what a form is bound to: what was sent, even nothing at all, or None where nobody sent it."""
    return request.POST if request.method == "POST" else None


@dataclass(frozen=True)
class FormPage:
    """The words around a form that has no page of its own."""

    title: str
    act: str
    back: str
    lead: str = ""
    note: str = ""


def answer_form(
    request: HttpRequest,
    form: TokenForm,
    act: Callable[[], str],
    *,
    page: FormPage | None = None,
    template: str = "machine/form.html",
    context: Mapping[str, Any] | None = None,
    stored: Callable[[Any], dict[str, Any]] | None = None,
) -> HttpResponse:
    """Show a form, or run its act once and go where the act says.

    `act` returns an address. What it refuses stands in the form with status 422. Where two people wrote at
    once, `stored` gives what the row holds now by field name, and the form is shown again with status 409.
    """
    status, news = 200, {}
    if request.method == "POST":
        status = REFUSED
        if form.is_valid():
            try:
                return redirect(store_once(form.cleaned_data["form_token"], act))
            except ValidationError as refused:
                take_in(form, refused)
            except EditedMeanwhile as meanwhile:
                status, news = CONFLICT, _both_texts(form, meanwhile, stored)
    return show(request, template, {"form": form, "page": page, **(context or {}), **news}, status=status)


def take_in(form: forms.Form, refused: ValidationError) -> None:
    """Put what a service refused beside the field it is about, or above the form."""
    by_field = refused.error_dict if hasattr(refused, "error_dict") else {NON_FIELD_ERRORS: refused.error_list}
    for name, errors in by_field.items():
        form.add_error(name if name in form.fields else None, errors)


def _both_texts(
    form: forms.Form, meanwhile: EditedMeanwhile, stored: Callable[[Any], dict[str, Any]] | None
) -> dict[str, Any]:
    """Keep one's own words in the form, give it the new version, and list what the other one stored."""
    now = stored(meanwhile.current) if stored else {}
    their_rows = [
        Theirs(str(form.fields[name].label), in_words(form, name, value))
        for name, value in now.items()
        if name != "version" and name in form.fields and not _same(form, name, value)
    ]
    form.data = form.data.copy()  # type: ignore[attr-defined]
    form.data["version"] = str(now.get("version", ""))  # type: ignore[index]
    form.add_error(None, str(meanwhile))
    return {"theirs": their_rows}


def _same(form: forms.Form, name: str, stored: Any) -> bool:
    sent = str(form.data.get(name) or "").replace("\r\n", "\n").strip()
    return sent == str(stored if stored is not None else "").replace("\r\n", "\n").strip()


def in_words(form: forms.Form, name: str, value: Any) -> str:
    """A stored value as the form would show it: of a choice, its words."""
    field = form.fields[name]
    if isinstance(field, forms.ChoiceField):
        words = {str(key): str(word) for key, word in cast(Any, field).choices}
        return words.get(str(value if value is not None else ""), "")
    return str(value if value is not None else "")
