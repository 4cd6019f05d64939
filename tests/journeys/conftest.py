"""A screen for each person of a journey; a journey that leaves a complaint in the browser has failed."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser

from restoration.people.models import Person
from tests.browser import SIGHTS, Sight, Visit, arrive


@pytest.fixture(params=SIGHTS, ids=str)
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
