"""Reads the rows of the wiring into arrays, all of one moment, with the mark that goes with them."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import chain

import numpy as np
from django.db.backends.base.base import BaseDatabaseWrapper

from restoration.engineering.wiring import Wiring, build_wiring
from restoration.machine.stamp import read_stamp
from restoration.machine.wiring.known import KnownWiring
from restoration.machine.wiring.numbering import Integers, Numbering

TRIES = 5

SLOTS = "SELECT id FROM machine_slot"
TERMINALS = "SELECT id, slot_id FROM machine_terminal"
LINKS = "SELECT id, source_id, load_id FROM machine_interconnect"
STAGES = """
    SELECT stage.id, slot.id, CASE WHEN stage.is_barrier THEN 1 ELSE 0 END
    FROM machine_stage AS stage JOIN machine_slot AS slot ON slot.design_id = stage.design_id"""
PORTS = """
    SELECT port.stage_id, terminal.slot_id, terminal.id, CASE WHEN port.way = 'out' THEN 1 ELSE 0 END
    FROM machine_stageport AS port
    JOIN machine_stage AS stage ON stage.id = port.stage_id
    JOIN machine_slot AS slot ON slot.design_id = stage.design_id
    JOIN machine_terminal AS terminal ON terminal.slot_id = slot.id AND terminal.code = port.terminal"""
READS = {SLOTS: 1, TERMINALS: 2, LINKS: 3, STAGES: 3, PORTS: 4}  # how many columns each gives


@dataclass(frozen=True, eq=False)
class WiringRows:
    """What the tables say, a column an array: row ids throughout."""

    slots: Integers
    terminals: Integers
    links: Integers
    stages: Integers
    ports: Integers


def load_wiring(connection: BaseDatabaseWrapper) -> tuple[str | None, KnownWiring]:
    """Read the wiring and its mark; read again where somebody wrote to it meanwhile."""
    for _ in range(TRIES):
        with _one_moment(connection):
            before = read_stamp(connection)
            rows = read_rows(connection)
            after = read_stamp(connection)
        if before == after:
            return before, known_wiring(rows)
    raise RuntimeError(f"The wiring was written to each of the {TRIES} times that it was read.")


@contextmanager
def _one_moment(connection: BaseDatabaseWrapper) -> Iterator[None]:
    """Let all that is read be of one moment; inside a transaction its own rules hold.

    `atomic` would do more than that on SQLite: it takes the right to write, for which readers would queue.
    """
    if connection.in_atomic_block or not connection.get_autocommit():
        yield
        return
    is_postgresql = connection.vendor == "postgresql"
    with connection.cursor() as cursor:
        cursor.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY" if is_postgresql else "BEGIN DEFERRED")
        try:
            yield
        finally:
            cursor.execute("ROLLBACK")


def read_rows(connection: BaseDatabaseWrapper) -> WiringRows:
    """Ask for all rows of the wiring, in five questions."""
    return WiringRows(*(_columns(connection, question, count) for question, count in READS.items()))


def _columns(connection: BaseDatabaseWrapper, question: str, count: int) -> Integers:
    """Give the answer as `count` columns; the values go from the driver's cursor into the array, and no row is kept."""
    with connection.cursor() as cursor:
        cursor.execute(question)
        with connection.wrap_database_errors:
            values = np.fromiter(chain.from_iterable(cursor.cursor), dtype=np.int64)
    return values.reshape(-1, count).T


def known_wiring(rows: WiringRows) -> KnownWiring:
    """Put the rows into the places that the arithmetic counts by."""
    slots = Numbering("slot", np.sort(rows.slots[0]))
    terminals = Numbering("terminal", np.ascontiguousarray(rows.terminals[0]))
    links = Numbering("link", np.ascontiguousarray(rows.links[0]))
    return KnownWiring(_graph(rows, slots, terminals), slots, terminals, links)


def _graph(rows: WiringRows, slots: Numbering, terminals: Numbering) -> Wiring:
    stage_ids, stage_slots, is_barrier = rows.stages
    port_stages, port_slots, port_terminals, is_out = rows.ports
    # A design's stage is in every slot that the design goes into: slot and stage together name one.
    placed = stage_slots * (most := int(stage_ids.max(initial=0)) + 1) + stage_ids
    order = np.argsort(placed, kind="stable")
    return build_wiring(
        slot_count=len(slots),
        terminal_slot=slots.indexes(rows.terminals[1]),
        source=terminals.indexes(rows.links[1]),
        load=terminals.indexes(rows.links[2]),
        stage_slot=slots.indexes(stage_slots[order]),
        stage_barrier=is_barrier[order].astype(bool),
        port_stage=np.searchsorted(placed[order], port_slots * most + port_stages),
        port_terminal=terminals.indexes(port_terminals),
        port_is_out=is_out.astype(bool),
    )
