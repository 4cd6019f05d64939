"""What every test may lean on: a fixed cast, and a database that can be emptied between tests."""

import os
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection, connections
from django.test import Client, TransactionTestCase
from playwright.sync_api import Browser

from restoration.logbook.guards import install_guards, remove_guards
from restoration.people.models import Person, RoleHolding
from restoration.people.roles import Role
from tests.browser import launched

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # Playwright's sync driver runs an event loop

_empty_tables = TransactionTestCase._fixture_teardown


def _empty_tables_without_guards(self: Any) -> None:
    """The guards of the log book refuse the emptying that follows a test with real transactions."""
    remove_guards(connection)
    _empty_tables(self)
    install_guards(connection)


TransactionTestCase._fixture_teardown = _empty_tables_without_guards  # type: ignore[method-assign]


@pytest.fixture(scope="session")
def _chromium() -> Iterator[Browser]:
    with launched() as started:
        yield started


@pytest.fixture
def browser(_chromium: Browser) -> Iterator[Browser]:
    """One browser for all the tests of a run; what a test opened in it is closed with the test."""
    yield _chromium
    for context in _chromium.contexts:
        context.close()


@pytest.fixture(autouse=True)
def _own_media(settings: Any, tmp_path: Path) -> None:
    """Each test keeps its uploads to itself."""
    settings.MEDIA_ROOT = tmp_path / "media"


def make_person(name: str, *roles: Role, email: str | None = "") -> Person:
    """Make a volunteer with roles; an e-mail address follows from the name unless None is given."""
    address = f"{name.lower().replace(' ', '.')}@kestrelsands.example" if email == "" else email
    person = Person.objects.create(display_name=name, email=address)
    RoleHolding.objects.bulk_create(RoleHolding(person=person, role=role) for role in roles)
    return person


@pytest.fixture
def site_lead(db: None) -> Person:
    return make_person("Ama Boateng", Role.SITE_LEAD)


@pytest.fixture
def builder(db: None) -> Person:
    return make_person("Pilar Ortuno", Role.BUILDER)


@pytest.fixture
def tester(db: None) -> Person:
    return make_person("Tomasz Wilk", Role.TESTER)


@pytest.fixture
def second_tester(db: None) -> Person:
    return make_person("Marek Hale", Role.TESTER)


@pytest.fixture
def power_person(db: None) -> Person:
    return make_person("Ilse Brandt", Role.POWER)


@pytest.fixture
def drawings_keeper(db: None) -> Person:
    return make_person("Owen Prys", Role.DRAWINGS)


@pytest.fixture
def storekeeper(db: None) -> Person:
    return make_person("Nell Farrow", Role.STORES)


@pytest.fixture
def coordinator(db: None) -> Person:
    return make_person("Joan Teague", Role.COORDINATOR)


@pytest.fixture
def never_signs_in(db: None) -> Person:
    return make_person("Wilf Sandle", Role.BUILDER, email=None)


@pytest.fixture
def as_person() -> Any:
    """Give a client signed in as a person."""

    def sign_in(person: Person) -> Client:
        client = Client()
        client.force_login(person)
        return client

    return sign_in


@pytest.fixture
def in_threads(transactional_db: None, tmp_path: Path) -> Iterator[Callable[..., list[Any]]]:
    """Run acts at the same moment, each in a thread with a connection of its own; give what each returned or raised.

    SQLite in memory refuses a second writer instead of letting it wait, so there the threads share a copy of the
    database in a file, with the settings of a real site; look at what they left by calling this again.
    """
    own_name = connections.settings["default"]["NAME"]
    file = tmp_path / "threads.sqlite3"

    def run(*acts: Callable[[], Any]) -> list[Any]:
        if connection.vendor == "sqlite" and not file.exists():
            copy = connection.Database.connect(str(file))
            connection.connection.backup(copy)
            copy.close()
            connections.settings["default"]["NAME"] = str(file)
        start = threading.Barrier(len(acts))

        def one(act: Callable[[], Any]) -> Any:
            start.wait()
            try:
                return act()
            except Exception as fault:  # it is the answer of this thread
                return fault
            finally:
                connection.close()

        with ThreadPoolExecutor(len(acts)) as pool:
            return list(pool.map(one, acts))

    yield run
    connections.settings["default"]["NAME"] = own_name


@pytest.fixture
def run_command(capsys: pytest.CaptureFixture[str]) -> Any:
    """Run a management command; return its exit status and what it printed."""

    def run(*words: str) -> tuple[int, str, str]:
        status = 0
        try:
            call_command(*words)
        except SystemExit as end:
            status = int(end.code or 0)
        printed = capsys.readouterr()
        return status, printed.out, printed.err

    return run
