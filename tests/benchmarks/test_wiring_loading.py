"""Loading the wiring takes at most three bare reads of its rows, from a thousand links to a million, in one run.

In the same run the whole cone after loading stands beside the plain recursive query of SQL for the same slots.
"""

import random
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from django.db import connection
from django.db.backends.base.base import BaseDatabaseWrapper

from restoration.engineering.wiring import cone
from restoration.machine.wiring.known import KnownWiring
from restoration.machine.wiring.loading import READS, load_wiring

MOST_TIMES_BARE = 3.0
LINKS_A_SLOT, LOADS_A_SOURCE, LAYERS, BACKWARD = 8, 3, 150, 0.006
TABLES = ("machine_slot", "machine_terminal", "machine_interconnect", "machine_stage", "machine_stageport")
SIZES = {1_000: 60, 10_000: 15, 100_000: 5, 1_000_000: 3}  # links, and how often each is timed
CONE = """
    WITH RECURSIVE reached(slot) AS (
      SELECT %d UNION
      SELECT load.slot_id FROM reached
      JOIN machine_terminal AS source ON source.slot_id = reached.slot
      JOIN machine_interconnect AS link ON link.source_id = source.id
      JOIN machine_terminal AS load ON load.id = link.load_id)
    SELECT slot FROM reached ORDER BY slot"""

pytestmark = [
    pytest.mark.benchmark,
    pytest.mark.django_db,
    pytest.mark.skipif(connection.vendor != "sqlite", reason="The large database is made in a file of SQLite."),
]


class Machine:
    """The rows of a machine of so many links: pulses run forward through its layers, and now and then back."""

    def __init__(self, links: int, *, is_staged: bool = False) -> None:
        self.links, self.slots = links, links // LINKS_A_SLOT
        self.outputs = -(-LINKS_A_SLOT // LOADS_A_SOURCE)
        self.is_staged = is_staged

    def rows(self) -> Iterator[tuple[str, str, Iterator[tuple[Any, ...]]]]:
        """Table, columns, and the rows: a slot has its outputs first, then an input for each link that ends there."""
        yield (
            "machine_slot",
            "id, code, position, function, design_id",
            ((slot + 1, f"S-{slot:06}", 0, "", 1 + slot % 4 if self.is_staged else None) for slot in range(self.slots)),
        )
        yield (
            "machine_terminal",
            "id, slot_id, code",
            (
                (slot * self._a_slot + at + 1, slot + 1, f"{'o' if at < self.outputs else 'i'}{at}")
                for slot in range(self.slots)
                for at in range(self._a_slot)
            ),
        )
        yield (
            "machine_interconnect",
            "id, code, source_id, load_id, wire, colour, loom, remarks, version",
            self._links(),
        )
        if self.is_staged:
            yield (
                "machine_stage",
                "id, design_id, name, is_barrier, parts",
                iter([(1, 1, "a", 0, ""), (2, 1, "b", 1, "")]),
            )
            ports = [(1 + at % 2, f"{'o' if at < self.outputs else 'i'}{at}", at < self.outputs) for at in range(11)]
            yield (
                "machine_stageport",
                "stage_id, terminal, way",
                ((stage, mark, "out" if is_out else "in") for stage, mark, is_out in ports),
            )

    @property
    def _a_slot(self) -> int:
        return self.outputs + LINKS_A_SLOT

    def _links(self) -> Iterator[tuple[Any, ...]]:
        chance = random.Random(1951)
        width = max(2, self.slots // LAYERS)
        for number in range(self.links):
            load = number // LINKS_A_SLOT
            ahead = chance.random() < BACKWARD or load == 0
            other = load + chance.randint(1, width) if ahead else load - chance.randint(1, width)
            source = min(max(other, 0), self.slots - 1) * self._a_slot + chance.randrange(self.outputs)
            into = load * self._a_slot + self.outputs + number % LINKS_A_SLOT
            yield number + 1, f"W{number:07}", source + 1, into + 1, "7/0.2", "green", "L12", "", 1


def large_database(machine: Machine, path: Path) -> BaseDatabaseWrapper:
    """A file of its own with the site's own tables and indexes, filled by raw executemany."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT type, tbl_name, sql FROM sqlite_master WHERE sql IS NOT NULL")
        made = [row for row in cursor.fetchall() if row[1] in (*TABLES, "machine_wiringstamp")]
    wrapper = connection.copy()
    wrapper.settings_dict = {**connection.settings_dict, "NAME": str(path)}
    wrapper.ensure_connection()
    raw = wrapper.connection
    raw.execute("PRAGMA foreign_keys=OFF")
    raw.execute("PRAGMA synchronous=OFF")
    raw.execute("BEGIN")
    for kind in ("table", "index"):
        if kind == "index":
            for table, columns, rows in machine.rows():
                marks = ", ".join("?" * len(columns.split(",")))
                raw.executemany(f"INSERT INTO {table} ({columns}) VALUES ({marks})", rows)
        for statement in (sql for made_kind, _, sql in made if made_kind == kind):
            raw.execute(statement)
    raw.execute("INSERT INTO machine_wiringstamp (stamp) VALUES ('one')")
    raw.execute("COMMIT")
    return wrapper


def seconds(act: Callable[[], Any]) -> tuple[float, Any]:
    start = time.perf_counter()
    answer = act()
    return time.perf_counter() - start, answer


def read_bare(database: BaseDatabaseWrapper) -> int:
    """Fetch the answers to the same questions, and do nothing with them."""
    cursor = database.connection.cursor()
    return sum(len(cursor.execute(question).fetchall()) for question in READS)


def load(database: BaseDatabaseWrapper) -> KnownWiring:
    """Load it and follow one hop either way, so that nothing is left to be made ready later."""
    known = load_wiring(database)[1]
    for down in (True, False):
        cone(known.graph, known.graph.at_slot(0), down=down, hops=1)
    return known


def side_by_side(database: BaseDatabaseWrapper, runs: int) -> tuple[float, float, KnownWiring]:
    """The best times of a bare read and of loading, taken in turns."""
    bare, loading = [], []
    for _ in range(runs):
        bare.append(seconds(lambda: read_bare(database))[0])
        taken, known = seconds(lambda: load(database))
        loading.append(taken)
    return min(bare), min(loading), known


@pytest.mark.parametrize("links", SIZES)
def test_loading_takes_at_most_three_bare_reads(links: int, tmp_path: Path) -> None:
    database = large_database(Machine(links), tmp_path / "large.sqlite3")
    try:
        bare, loading, known = side_by_side(database, SIZES[links])
        assert (len(known.links), len(known.slots)) == (links, links // LINKS_A_SLOT)
        in_sql, rows = seconds(lambda: database.connection.execute(CONE % 1).fetchall())
        graph = known.graph
        times = [
            seconds(lambda: cone(graph, graph.at_slot(known.slot_index(1)), down=True)) for _ in range(SIZES[links])
        ]
        in_memory, found = min(taken for taken, _ in times), times[0][1]
    finally:
        database.close()
    assert np.array_equal(np.sort(known.slot_ids[found.slots]), np.array([slot for (slot,) in rows if slot != 1]))
    assert len(found.slots) > 0.9 * len(known.slots)
    print(
        f"{links:>9,} links: bare read {bare * 1e3:.1f} ms, loading {loading / bare:.2f} times; whole cone of "
        f"{len(found.slots):,} slots: SQL {in_sql * 1e3:.1f} ms, after loading {in_sql / in_memory:.0f} times faster"
    )
    assert loading <= MOST_TIMES_BARE * bare
    assert in_memory < in_sql


def test_stages_are_loaded_within_the_same_bound(tmp_path: Path) -> None:
    database = large_database(Machine(100_000, is_staged=True), tmp_path / "staged.sqlite3")
    try:
        bare, loading, known = side_by_side(database, SIZES[100_000])
    finally:
        database.close()
    assert len(known.slots) == 100_000 // LINKS_A_SLOT
    print(f"  100,000 links, a quarter of the slots with stages: loading {loading / bare:.2f} times the bare read")
    assert loading <= MOST_TIMES_BARE * bare
