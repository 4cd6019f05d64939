"""Two worker processes: what one writes to the wiring is in the next answer of the other."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

from tests.factories import make_link, make_slot

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
