"""A link of the small machine of which enough is written down to predict it."""

import pytest

from restoration.workshop.models import StoresLine
from tests.conditioning.links import made_link, note_on


@pytest.fixture
def link(db):
    return made_link()


@pytest.fixture
def drawer(db):
    return StoresLine.objects.create(
        kind="resistor", value=330.0, tolerance=0.05, rating_w=0.5, quantity=3, place="drawer 4"
    )


@pytest.fixture
def write_note(link, tester, second_tester):
    """Write a modification note on the link: 330 Ω in series unless told otherwise."""

    def write(**given):
        return note_on(given.pop("link", link), tester, second_tester, **given)

    return write
