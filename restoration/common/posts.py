"""Each post is stored once, however often a poor connection sends it."""

import uuid
from collections.abc import Callable

from django import forms
from django.db import IntegrityError, transaction
from django.http import HttpRequest, QueryDict

from restoration.common.models import StoredPost


class TokenForm(forms.Form):
    """A form that carries a token of its own, so that sending it twice stores it once."""

    form_token = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        if not self.is_bound:
            self.initial.setdefault("form_token", uuid.uuid4())

    def clean_form_token(self) -> uuid.UUID:
        """A post without a token (a script, an old page) still counts as one act."""
        return self.cleaned_data.get("form_token") or uuid.uuid4()


def posted(request: HttpRequest) -> QueryDict | None:
    """What was sent, for binding a form; None where the page is only asked for. An empty post is a post."""
    return request.POST if request.method == "POST" else None


def store_once(token: uuid.UUID, act: Callable[[], str]) -> str:
    """Run `act` in one transaction and keep the address it returns; a repeated token returns that address.

    The token is claimed before the act, so that two posts at the same moment wait for one another and
    only one acts. Whatever `act` raises undoes the claim with it.
    """
    try:
        with transaction.atomic():
            claim = StoredPost.objects.create(token=token, address="")
            claim.address = act()
            claim.save(update_fields=["address"])
            return claim.address
    except IntegrityError:
        stored = StoredPost.objects.filter(token=token).first()
        if stored is None:  # the act itself broke a rule of the database
            raise
        return stored.address
