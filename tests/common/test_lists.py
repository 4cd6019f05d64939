"""Lists in parts, narrowed by an address."""

import pytest
from django.test import RequestFactory

from restoration.common.lists import LARGEST_PART, narrowed, part_of
from restoration.logbook.filters import EntryFilter
from restoration.logbook.models import Entry


@pytest.mark.parametrize(("page", "number"), [("", 1), ("2", 2), ("99", 3), ("0", 3), ("-4", 3), ("two", 1)])
def test_an_address_beyond_the_ends_gives_the_nearest_part(page: str, number: int) -> None:
    part = part_of(RequestFactory().get("/lines", {"page": page}), list(range(120)))
    assert (part.number, part.paginator.count, part.paginator.per_page) == (number, 120, 50)


def test_no_part_is_larger_than_the_largest() -> None:
    part = part_of(RequestFactory().get("/lines"), list(range(1000)), size=500)
    assert len(part) == LARGEST_PART


@pytest.mark.django_db
def test_a_filter_that_cannot_be_read_lets_nothing_through_and_says_why() -> None:
    lines = Entry.objects.all()
    unread = EntryFilter({"kind": "gate"}, queryset=lines)
    assert narrowed(unread).query.is_empty()
    assert unread.form.errors["kind"] == ["Select a valid choice. gate is not one of the available choices."]
    assert not narrowed(EntryFilter({"kind": "rack"}, queryset=lines)).query.is_empty()
    assert not narrowed(EntryFilter({}, queryset=lines)).query.is_empty()
