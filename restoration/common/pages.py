"""One way to answer: the whole page, or the fragment that htmx asked for."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers


def show(
    request: HttpRequest, template: str, context: dict[str, Any], *, fragment: str = "", status: int = 200
) -> HttpResponse:
    """Render `template`, or only its partial `fragment` for an htmx request that is no history restore."""
    htmx = getattr(request, "htmx", None)
    part = fragment and htmx and not htmx.history_restore_request and not htmx.boosted
    response = render(request, f"{template}#{fragment}" if part else template, context, status=status)
    patch_vary_headers(response, ["HX-Request"])
    return response
