"""Forms that end in one act: store it once, say so and go on, or show the page again and say why not."""

from collections.abc import Callable, Mapping
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from restoration.common.pages import show
from restoration.common.posts import TokenForm, store_once
from restoration.common.versions import EditedMeanwhile, take_their_version

CONFLICT = 409
REFUSED = 422

Act = Callable[[], str]


def stored_answer(request: HttpRequest, form: TokenForm, act: Act, *, done: str = "") -> HttpResponse | None:
    """Run `act` once and go to the address it returns; None where the form is to be shown (again).

    What `act` refuses stands in the form. `done` is the sentence shown where it leads; an act that knows only
    afterwards what came of it says so itself.
    """
    if not form.is_valid():
        return None
    try:
        address = store_once(form.cleaned_data["form_token"], act)
    except ValidationError as refused:
        take_in(form, refused)
        return None
    if done:
        messages.success(request, done)
    return redirect(address)


def answer_form(
    request: HttpRequest,
    form: TokenForm,
    act: Act,
    template: str,
    context: Mapping[str, Any] | None = None,
    *,
    done: str = "",
    stored: Callable[[Any], Mapping[str, Any]] | None = None,
    told: Callable[[Any], Mapping[str, Any]] | None = None,
) -> HttpResponse:
    """Run the act of a form as `stored_answer` does, or show its page: 200, 422 refused, 409 edited meanwhile.

    Where two people wrote at once, `stored` gives what the row holds now by the names of the fields (without it
    its own fields are read), and `told` what else the page then says of the row.
    """
    shown = {**(context or {}), "form": form}
    try:
        answer = stored_answer(request, form, act, done=done)
    except EditedMeanwhile as news:
        shown["theirs"] = take_their_version(form, news, stored)
        shown |= told(news.current) if told else {}
        return show(request, template, shown, status=CONFLICT)
    return answer or show(request, template, shown, status=status_of(form))


def status_of(form: forms.BaseForm) -> int:
    """Tell the status of a page that shows this form: one that was sent and comes back is refused."""
    return REFUSED if form.is_bound else 200


def take_in(form: forms.Form, refused: ValidationError) -> None:
    """Put what a service refused beside the field it is about, or above the form."""
    by_field = refused.error_dict if hasattr(refused, "error_dict") else {NON_FIELD_ERRORS: refused.error_list}
    for name, errors in by_field.items():
        form.add_error(name if name in form.fields else None, errors)
