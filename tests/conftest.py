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
from hypothesis import settings as laws
from playwright.sync_api import Browser

from restoration.logbook.guards import install_guards, remove_guards
from restoration.people.models import Person, RoleHolding
from restoration.people.roles import Role
from tests.browser import launched

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # Playwright's sync driver runs an event loop

# The one check asks the same of everybody, so that it is right or wrong for a reason and not by the day's draw.
# The search draws anew: pytest --hypothesis-profile=search. No law is held to a time.
laws.register_profile("same", derandomize=True, deadline=None)
laws.register_profile("search", derandomize=False, deadline=None)
laws.load_profile("same")

_empty_tables = TransactionTestCase._fixture_teardown


def _empty_tables_without_guards(self: Any) -> None:
    """The guards of the log book refuse the emptying that follows a test with real transactions."""
    remove_guards(connection)
    _empty_tables(self)
    install_guards(connection)


TransactionTestCase._fixture_teardown = _empty_tables_without_guards  # type: ignore[method-assign]

TOUCHES_A_DATABASE = {"db", "transactional_db", "django_db_setup", "live_server"}


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """On another engine than SQLite, leave out what has no database: it would only be the same test again."""
    if connection.vendor == "sqlite":
        return
    alike = [item for item in items if not _touches_a_database(item)]
    config.hook.pytest_deselected(items=alike)
    items[:] = [item for item in items if _touches_a_database(item)]


def _touches_a_database(item: pytest.Item) -> bool:
    marked = item.get_closest_marker("django_db") is not None
    return marked or not TOUCHES_A_DATABASE.isdisjoint(getattr(item, "fixturenames", ()))


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """On SQLite the test database is a file, as on a site.

    One in memory is a single connection that all threads of a live server share; under load it breaks.
    Nothing here need outlive a power cut, so its file is not forced to the disk.
    """
    if connection.vendor == "sqlite":
        told = connections["default"].settings_dict
        told["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "test.sqlite3")
        told["OPTIONS"]["init_command"] += "PRAGMA synchronous=OFF;"


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
def in_threads(transactional_db: None) -> Callable[..., list[Any]]:
    """Run acts at the same moment, each in a thread with a connection of its own; give what each returned or raised."""

    def run(*acts: Callable[[], Any]) -> list[Any]:
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

    return run


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
