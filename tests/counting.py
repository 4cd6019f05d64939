"""Counts what is asked of the database, for what must not ask more as the machine grows."""

from collections.abc import Callable

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext


def queries_in(act: Callable[[], object]) -> int:
    """How many queries an act takes."""
    with CaptureQueriesContext(connection) as asked:
        act()
    return len(asked)


def queries_of(client: Client, address: str) -> int:
    """How many queries one page takes."""

    def look() -> None:
        assert client.get(address).status_code == 200

    return queries_in(look)
