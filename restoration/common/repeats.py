"""Answers a post that was stored already before its form is looked at again.

The first sending may have changed what the form allows: a chassis that is fitted is no longer offered for
fitting. The second sending of the same form must find its answer all the same. The same form with other
words in it, after going back in the browser, is another act and must not be taken for the first.
"""

import hashlib
import uuid
from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from restoration.common.models import StoredPost

NOT_WORDS = ("csrfmiddlewaretoken", "form_token")


class RepeatedPostMiddleware:
    """Sends a post that is known to where the first one led; stands after the question who may.

    The token that a form carries is replaced by one that follows from it and from what was sent, by whom
    and where: equal sendings share it, and any other has its own.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], args: Any, kwargs: Any
    ) -> HttpResponse | None:
        """Look for this sending among the stored posts."""
        token = token_of(request) if request.method == "POST" else None
        if token is None:
            return None
        stored = StoredPost.objects.filter(token=token).first()
        if stored is not None and stored.address:
            return HttpResponseRedirect(stored.address)
        sent = request.POST.copy()
        sent["form_token"] = str(token)
        request.POST = sent  # type: ignore[assignment]
        return None


def token_of(request: HttpRequest) -> uuid.UUID | None:
    """The token of this very sending; None where the form carried none, or words that are none."""
    try:
        given = uuid.UUID(request.POST.get("form_token", ""))
    except ValueError:
        return None
    return uuid.uuid5(given, fingerprint(request))


def fingerprint(request: HttpRequest) -> str:
    """Sum up who sent what to which address: words as they stand, files by name and size."""
    digest = hashlib.sha256(f"{request.user.pk}\n{request.get_full_path()}".encode(errors="replace"))
    for name in sorted(set(request.POST) - set(NOT_WORDS)):
        digest.update(repr((name, request.POST.getlist(name))).encode(errors="replace"))
    for name in sorted(request.FILES):
        files = [(file.name, file.size) for file in request.FILES.getlist(name)]
        digest.update(repr((name, files)).encode(errors="replace"))
    return digest.hexdigest()
