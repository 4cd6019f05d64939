"""A screen for each person of a journey; a journey that leaves a complaint in the browser has failed."""

from collections.abc import Callable, Iterator

import pytest
from django.db import connection
from playwright.sync_api import Browser

from restoration.people.models import Person
from tests.browser import DESK, PHONE, SIGHTS, Sight, Visit, arrive

# How a page lies on a screen is no matter of the engine: another than SQLite is shown two of the four.
LOOKED_AT = SIGHTS if connection.vendor == "sqlite" else [Sight(PHONE, scripts=False), Sight(DESK, scripts=True)]


@pytest.fixture(params=LOOKED_AT, ids=str)
def sight(request: pytest.FixtureRequest) -> Sight:
    """A phone and a desk, each with scripts and without."""
    return request.param


@pytest.fixture
def enter(
    browser: Browser, live_server, sight: Sight, transactional_db: None
) -> Iterator[Callable[[Person | None], Visit]]:
    """Let a person, or a visitor, sit down at a screen."""
    visits: list[Visit] = []

    def sit_down(person: Person | None) -> Visit:
        visits.append(arrive(browser, live_server.url, sight, person))
        return visits[-1]

    yield sit_down
    complaints = [complaint for visit in visits for complaint in visit.complaints]
    assert complaints == []
