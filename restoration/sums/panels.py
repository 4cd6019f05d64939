"""The way from a stored capture to what is hum in it."""

from urllib.parse import urlencode

from django.http import HttpRequest
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from restoration.common.panels import add_panel
from restoration.proving.models import Capture


def hum_in_it(request: HttpRequest, capture: Capture) -> SafeString:
    """A link to the lines of this capture."""
    asked = urlencode({"capture": capture.pk, "own_hz": "", "mains_hz": "50 Hz"})
    return format_html('<a href="{}?{}">Hum in it</a>', reverse("sums:sum", args=["ripple"]), asked)


def register() -> None:
    """Put each panel in its place."""
    add_panel("capture", order=10, name="hum in it", render=hum_in_it)
