"""Lets a higher app show its part on a lower app's page.

The page of an interconnect belongs to `machine`; its checks and faults belong to apps above it. Those
apps register a panel for the place "interconnect" when they start, and the page asks for what is
registered. The panel is rendered with the page, so that it is there without scripts and on paper.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.utils.safestring import SafeString

Render = Callable[[HttpRequest, Any], SafeString]


@dataclass(frozen=True, order=True)
class Panel:
    """A part of a page: where it stands among the others, and what draws it."""

    order: int
    name: str
    render: Render


_panels: dict[str, list[Panel]] = {}


def add_panel(place: str, *, order: int, name: str, render: Render) -> None:
    """Register a panel for a place; registering the same name again replaces it."""
    kept = [panel for panel in _panels.get(place, []) if panel.name != name]
    _panels[place] = sorted([*kept, Panel(order, name, render)], key=lambda panel: (panel.order, panel.name))


def render_panels(place: str, request: HttpRequest, subject: Any) -> list[SafeString]:
    """Draw every panel registered for a place, in order."""
    return [panel.render(request, subject) for panel in _panels.get(place, [])]
