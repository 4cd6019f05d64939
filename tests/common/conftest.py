"""What tests of two at the same moment lean on."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import connections
from django.db.backends.sqlite3.base import Database, DatabaseWrapper


@pytest.fixture
def shared_database(transactional_db: None, tmp_path: Path) -> Iterator[None]:
    """A database that several threads may write, each waiting for the other, as on the site.

    SQLite's database in memory does not wait, so it is copied into a file for the length of the test.
    """
    memory, settings = connections["default"], connections.settings["default"]
    if memory.vendor != "sqlite" or not memory.is_in_memory_db():
        yield
        return
    place = tmp_path / "heaters.sqlite3"
    memory.ensure_connection()
    file = Database.connect(place)
    memory.connection.backup(file)
    file.close()
    connections.settings["default"] = {**settings, "NAME": str(place)}
    connections["default"] = DatabaseWrapper(connections.settings["default"], "default")
    yield
    connections["default"].close()
    connections["default"], connections.settings["default"] = memory, settings
