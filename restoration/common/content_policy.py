"""Sends the Content-Security-Policy named in settings, in the shape that Django 6 takes over."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse


class ContentPolicyMiddleware:
    """Only this site's own files run or load in its pages."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self.policy = "; ".join(f"{name} {' '.join(sources)}" for name, sources in settings.SECURE_CSP.items())

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", self.policy)
        return response
