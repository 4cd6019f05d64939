"""A wire list of 50,000 rows comes in within five times a raw executemany of the same rows, in one run."""

import csv
import io
import random
import time
from collections.abc import Callable

import pytest
from django.db import connection, transaction

from restoration.engineering.wire_list.headings import COLUMNS
from restoration.machine.models import Interconnect, Rack, Signal, Slot, Terminal
from restoration.machine.services import import_wire_list
from restoration.machine.services.wire_list.storing import COLUMNS as STORED

ROWS = 50_000
TIMES_RAW = 5.0
RUNS = 3
SLOTS, TERMINALS = 500, 40

pytestmark = [pytest.mark.benchmark, pytest.mark.django_db(transaction=True)]


def long_list() -> bytes:
    """A list as a large machine has it: three loads on a source, every load terminal used once."""
    chance = random.Random(1951)
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    writer.writerows(_row(number, chance) for number in range(ROWS))
    return text.getvalue().encode()


def _row(number: int, chance: random.Random) -> list[object]:
    source, out = divmod(number // 3, TERMINALS)
    load, into = number * 7 % SLOTS, number // SLOTS
    return [
        f"W{number:05}", f"signal {number // 3}", f"R{source // 20:02}", f"S-{source:03}", f"o{out}",
        f"R{load // 20:02}", f"S-{load:03}", f"i{into}", "7/0.2", "green", f"{chance.uniform(0.2, 6):.2f}",
        f"L{number % 90}", "yes" if number % 9 == 0 else "", "",
    ]  # fmt: skip


def seconds(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


def raw_rows() -> list[tuple[object, ...]]:
    return list(Interconnect.objects.order_by("code").values_list(*STORED))


def store_raw(rows: list[tuple[object, ...]]) -> None:
    names, places = ", ".join(STORED), ", ".join(["%s"] * len(STORED))
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {Interconnect._meta.db_table} ({names}) VALUES ({places})", rows)


def empty(*models: type) -> None:
    with connection.cursor() as cursor:
        for model in models:
            cursor.execute(f"DELETE FROM {model._meta.db_table}")  # type: ignore[attr-defined]


def test_a_long_list_comes_in_within_five_times_raw_storing() -> None:
    data = long_list()

    def bring_in() -> None:
        outcome = import_wire_list(data=data, name="long.csv", by=None, create_missing=True)
        assert (outcome.is_saved, len(outcome.plan.to_add)) == (True, ROWS)

    whole, raw = [], []
    for _ in range(RUNS):
        empty(Interconnect, Terminal, Slot, Rack, Signal)
        whole.append(seconds(bring_in))
        rows = raw_rows()
        empty(Interconnect)
        raw.append(seconds(lambda rows=rows: store_raw(rows)))
    ratio = min(whole) / min(raw)
    print(f"import {min(whole):.2f} s, raw executemany {min(raw):.2f} s, {ratio:.1f} times on {connection.vendor}")
    assert ratio <= TIMES_RAW
