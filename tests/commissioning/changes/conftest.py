"""The small machine of these tests, and who records on it."""

import pytest

from tests.commissioning.changes.small import Small


@pytest.fixture
def small(db):
    return Small()


@pytest.fixture
def people(tester, second_tester):
    """How a tester and a second one record."""
    return {"done_by": tester, "second_person": second_tester, "entered_by": tester, "why": "It was dark."}
