"""Counts what a page asks of the database, for the pages that must not ask more as the machine grows."""

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext


def queries_of(client: Client, address: str) -> int:
    """How many queries one page takes."""
    with CaptureQueriesContext(connection) as asked:
        answer = client.get(address)
    assert answer.status_code == 200
    return len(asked)
