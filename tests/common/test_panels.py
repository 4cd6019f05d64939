"""A higher app's part of a lower app's page: in its order, once, and drawn as it comes."""

from collections.abc import Iterator

import pytest
from django.template import Context, Template
from django.test import RequestFactory
from django.utils.html import format_html

from restoration.common import panels
from restoration.common.panels import add_panel


@pytest.fixture(autouse=True)
def _own_places() -> Iterator[None]:
    kept = dict(panels._panels)
    yield
    panels._panels.clear()
    panels._panels.update(kept)


def drawn(place: str, subject: object) -> str:
    page = Template("{% load panels %}{% panels place subject %}")
    return page.render(Context({"request": RequestFactory().get("/"), "place": place, "subject": subject}))


def test_panels_stand_in_their_order_with_their_own_escaping() -> None:
    add_panel("lid", order=20, name="faults", render=lambda request, subject: format_html("<p>{}</p>", subject))
    add_panel("lid", order=10, name="checks", render=lambda request, subject: format_html("<b>{}</b>", request.path))
    assert drawn("lid", "a < b") == "<b>/</b>\n<p>a &lt; b</p>"


def test_the_same_name_again_replaces_the_panel() -> None:
    for word in ("first", "second"):
        add_panel("lid", order=10, name="checks", render=lambda request, subject, word=word: format_html("{}", word))
    assert drawn("lid", None) == "second"


def test_a_place_that_nobody_fills_is_empty() -> None:
    assert drawn("nowhere", None) == ""
