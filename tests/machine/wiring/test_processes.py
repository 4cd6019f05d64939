"""Two worker processes: what one writes to the wiring is in the next answer of the other."""

import json
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path
from typing import Any
from urllib.error import URLError
from urllib.parse import urlencode
from urllib.request import Request, urlopen

import pytest
from django.db import connection
from django.urls import reverse

from restoration.people.models import Person
from tests.factories import make_link, make_slot
from tests.reading import words

ROOT = Path(__file__).resolve().parents[3]


class Worker:
    """A process of its own, with the site and its own connection to the database."""

    def __init__(self, stack: ExitStack, folder: Path) -> None:
        self.process = stack.enter_context(
            subprocess.Popen(
                [sys.executable, "-m", "tests.machine.wiring.worker"],
                cwd=ROOT,
                env={**os.environ, "DATABASE_URL": database_url(), "DATA_DIR": str(folder)},
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                text=True,
            )
        )
        stack.callback(self.process.stdin.close)

    def ask(self, **asked: Any) -> dict[str, Any]:
        print(json.dumps(asked), file=self.process.stdin, flush=True)
        return json.loads(self.process.stdout.readline())


def database_url() -> str:
    """The address of the database that this test runs on."""
    told = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{told['NAME']}"
    password = f":{told['PASSWORD']}" if told["PASSWORD"] else ""
    return f"postgres://{told['USER']}{password}@{told['HOST']}:{told['PORT']}/{told['NAME']}"


@pytest.fixture
def workers(transactional_db: None, tmp_path: Path) -> Iterator[tuple[Worker, Worker]]:
    with ExitStack() as stack:
        yield Worker(stack, tmp_path), Worker(stack, tmp_path)


def test_a_wire_joined_through_one_is_in_the_next_answer_of_the_other(workers: tuple[Worker, Worker]) -> None:
    one, other = workers
    make_link("A-01:1", "B-01:1")
    for number in range(2, 8):
        make_slot(f"B-{number:02}")
    before = [worker.ask(**{"from": "A-01"}) for worker in workers]
    assert [told["slots"] for told in before] == [["B-01"], ["B-01"]]
    assert before[0]["pid"] != before[1]["pid"]
    for number in range(2, 8):
        reached = [f"B-{at:02}" for at in range(1, number + 1)]
        writer, reader = (one, other) if number % 2 else (other, one)
        told = writer.ask(join=["A-01:1", f"B-{number:02}:1"], **{"from": "A-01"})
        assert told["slots"] == reached
        assert reader.ask(**{"from": "A-01"})["slots"] == reached


def test_what_one_undoes_the_other_never_sees_and_neither_reads_anew(workers: tuple[Worker, Worker]) -> None:
    one, _ = workers
    make_link("A-01:1", "B-01:1")
    make_slot("B-02")
    before = [worker.ask(**{"from": "A-01"}) for worker in workers]
    assert one.ask(join=["A-01:1", "B-02:1"], undo=True)["seen"] == 2
    after = [worker.ask(**{"from": "A-01"}) for worker in workers]
    assert after == before


def test_both_follow_a_write_that_came_from_neither(workers: tuple[Worker, Worker]) -> None:
    make_link("A-01:1", "B-01:1")
    assert [worker.ask(**{"from": "A-01"})["slots"] for worker in workers] == [["B-01"]] * 2
    make_link("B-01:2", "C-01:1")
    assert [worker.ask(**{"from": "A-01"})["slots"] for worker in workers] == [["B-01", "C-01"]] * 2
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM machine_interconnect")
    assert [worker.ask(**{"from": "A-01"})["slots"] for worker in workers] == [[]] * 2


class Site:
    """The site as it is served: two workers of one web server, each request on a connection of its own."""

    def __init__(self, stack: ExitStack, folder: Path, session: str) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.address = f"127.0.0.1:{free.getsockname()[1]}"
        self.log, self.session = folder / "requests", session
        command = ["-w", "2", "-b", self.address, "--access-logfile", str(self.log), "--access-logformat", "%(p)s"]
        self.process = stack.enter_context(
            subprocess.Popen(
                [sys.executable, "-m", "gunicorn", *command, "--no-control-socket", "restoration.wsgi"],
                cwd=ROOT,
                env={**os.environ, "DATABASE_URL": database_url(), "DATA_DIR": str(folder), "SECRET_KEY": "x" * 50},
                stderr=subprocess.DEVNULL,
            )
        )
        stack.callback(self.process.terminate)
        self._wait()

    def _wait(self) -> None:
        for _ in range(300):
            try:
                self.ask("/people/sign-in/")
                return
            except (URLError, ConnectionError):
                time.sleep(0.1)
        raise AssertionError("The web server did not begin to answer within 30 s.")

    def ask(self, path: str, sent: dict[str, str] | None = None, cookies: str = "") -> str:
        """Ask for a page, or send a form to it, and give the page that it ends on."""
        data = urlencode(sent).encode() if sent is not None else None
        headers = {"Cookie": f"sessionid={self.session}; {cookies}", "Connection": "close"}
        with urlopen(Request(f"http://{self.address}{path}", data, headers), timeout=30) as answer:
            return str(answer.read().decode())

    def reached(self) -> set[str]:
        """The slots that the page of a followed signal names."""
        address = f"{reverse('machine:follow')}?{urlencode({'from': 'A-01', 'way': 'down', 'hops': 'all'})}"
        return set(re.findall(r"B-0\d", words(self.ask(address))))

    def workers_that_answered(self) -> set[str]:
        """Who answered so far, by process."""
        return set(self.log.read_text().split())

    def until_both_answered(self) -> list[set[str]]:
        """Ask until both workers have answered a question of this round: several at once, or one may take them all."""
        answers, before = [], len(self.log.read_text().split())
        with ThreadPoolExecutor(4) as askers:
            for _ in range(100):
                answers += [asked.result() for asked in [askers.submit(self.reached) for _ in range(4)]]
                if len(set(self.log.read_text().split()[before:])) == 2:
                    break
        return answers


@pytest.fixture
def site(transactional_db: None, tmp_path: Path, site_lead: Person, as_person: Any, settings: Any) -> Iterator[Site]:
    settings.SECRET_KEY = "x" * 50
    session = as_person(site_lead).cookies["sessionid"].value
    with ExitStack() as stack:
        yield Site(stack, tmp_path, session)


def test_the_web_server_follows_a_wire_added_through_either_worker(site: Site) -> None:
    make_link("A-01:1", "B-01:1")
    for number in range(2, 6):
        make_slot(f"B-0{number}")
    expected = {"B-01"}
    assert all(answer == expected for answer in site.until_both_answered())
    assert len(site.workers_that_answered()) == 2
    for number in range(2, 6):
        ends = {"from_slot": "A-01", "from_terminal": "1", "to_slot": f"B-0{number}", "to_terminal": "1"}
        token = "t" * 32
        page = site.ask(
            reverse("machine:interconnect-add"),
            {**ends, "code": f"n{number}", "csrfmiddlewaretoken": token},
            cookies=f"csrftoken={token}",
        )
        assert f"n{number}" in words(page)
        expected.add(f"B-0{number}")
        assert all(answer == expected for answer in site.until_both_answered())
