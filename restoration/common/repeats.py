"""Answers a post that was stored already before its form is looked at again.

The first sending may have changed what the form allows: a chassis that is fitted is no longer offered for
fitting. The second sending of the same form must find its answer all the same.
"""

import uuid
from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from restoration.common.models import StoredPost


class RepeatedPostMiddleware:
    """Sends a post whose token is known to where the first one led; stands after the question who may."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], args: Any, kwargs: Any
    ) -> HttpResponse | None:
        """Look for the token among the stored posts."""
        address = address_of(request.POST.get("form_token", "")) if request.method == "POST" else ""
        return HttpResponseRedirect(address) if address else None


def address_of(token: str) -> str:
    """Find where the post with this token led; nothing for a new token, or for words that are none."""
    try:
        stored = StoredPost.objects.filter(token=uuid.UUID(token)).first()
    except ValueError:
        return ""
    return stored.address if stored else ""
