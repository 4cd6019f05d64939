"""The mark of the wiring: the database renews it with every write, whatever way it comes, and never gives it twice."""

from collections.abc import Callable
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection, transaction

from restoration.machine.models import (
    Design,
    Interconnect,
    Rack,
    Rail,
    Signal,
    Slot,
    Stage,
    StagePort,
    Terminal,
    WiringStamp,
)
from restoration.machine.stamp import read_stamp, remove_stamp, stamp_stands
from tests.factories import make_design, make_link, make_rack, make_slot, make_terminal
from tests.machine.wire_lists import wire, wires


def stamp() -> str | None:
    return read_stamp(connection)


def sql(statement: str, *values: object) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement, values)


@pytest.fixture
def link(db: None) -> Interconnect:
    link = make_link(code="214")
    design = make_design("KS-204")
    stage = Stage.objects.create(design=design, name="former")
    StagePort.objects.create(stage=stage, terminal="2", way="in")
    Slot.objects.filter(code="C-04").update(design=design)
    return link


WRITES: dict[str, Callable[[], Any]] = {
    "a link saved": lambda: make_link("C-04:3", "B-05:1"),
    "links in bulk": lambda: Interconnect.objects.bulk_create(
        [Interconnect(code="x", source=make_terminal(), load=make_terminal())]
    ),
    "links in bulk, conflicts ignored": lambda: Interconnect.objects.bulk_create(
        [Interconnect(code="y", source=make_terminal(), load=make_terminal())], ignore_conflicts=True
    ),
    "an update of links": lambda: Interconnect.objects.update(
        load=make_terminal("C-04:2"), source_id=make_id("B-05:9")
    ),
    "a link taken out": lambda: Interconnect.objects.all().delete(),
    "raw SQL of a link": lambda: sql("UPDATE machine_interconnect SET source_id = load_id"),
    "raw SQL that takes out": lambda: sql("DELETE FROM machine_interconnect"),
    "a terminal named": lambda: make_terminal("C-04:99"),
    "a terminal renamed": lambda: Terminal.objects.filter(code="2").update(code="two"),
    "a terminal moved": lambda: Terminal.objects.filter(code="2").update(slot=Slot.objects.get(code="B-05")),
    "a slot added": lambda: make_slot("C-05"),
    "a slot to another rack": lambda: Slot.objects.update(rack=make_rack("Z")),
    "a slot of another design": lambda: Slot.objects.filter(code="C-04").update(design=make_design("KS-300")),
    "a slot without design": lambda: Slot.objects.filter(code="C-04").update(design=None),
    "a slot taken out": lambda: make_slot("C-77").delete(),
    "a stage added": lambda: Stage.objects.create(design=Design.objects.get(), name="gate"),
    "a barrier": lambda: Stage.objects.update(is_barrier=True),
    "a stage taken out": lambda: Stage.objects.all().delete(),
    "a port added": lambda: StagePort.objects.create(stage=Stage.objects.get(), terminal="3", way="out"),
    "a port the other way": lambda: StagePort.objects.update(way="out"),
    "a port taken out": lambda: StagePort.objects.all().delete(),
}
LEAVES_IT: dict[str, Callable[[], Any]] = {
    "remarks": lambda: Interconnect.objects.update(remarks="by the drum"),
    "the same ends again": lambda: Interconnect.objects.update(load=Interconnect.objects.get().load),
    "what a slot does": lambda: Slot.objects.update(function="Pulse former"),
    "the name of a stage": lambda: Stage.objects.update(name="gate"),
    "a rack": lambda: Rack.objects.create(code="Z"),
    "a rail": lambda: Rail.objects.create(code="HT-2", kind="HT"),
    "a signal": lambda: Signal.objects.create(name="clock"),
}


def make_id(painted: str) -> int:
    return int(make_terminal(painted).pk)


@pytest.mark.parametrize("write", WRITES.values(), ids=WRITES)
def test_every_write_to_the_wiring_renews_it(write: Callable[[], Any], link: Interconnect) -> None:
    before = stamp()
    assert before == stamp()
    write()
    assert stamp() not in (before, None)


@pytest.mark.parametrize("write", LEAVES_IT.values(), ids=LEAVES_IT)
def test_what_the_wiring_is_not_made_of_leaves_it(write: Callable[[], Any], link: Interconnect) -> None:
    before = stamp()
    write()
    assert stamp() == before


def test_a_wire_list_renews_it(db: None, run_command: Any, tmp_path: Any) -> None:
    file = tmp_path / "wires.csv"
    file.write_bytes(wires(wire(link="214")))
    before = stamp()
    assert run_command("import_wire_list", str(file), "--create-missing")[0] == 0
    added = stamp()
    file.write_bytes(wires(wire(link="214", load="C-06:1")))
    assert run_command("import_wire_list", str(file), "--create-missing")[0] == 0
    assert len({before, added, stamp()}) == 3


def test_the_mark_of_an_undone_transaction_never_comes_back(transactional_db: None) -> None:
    before, met = stamp(), set()
    for _ in range(3):
        with transaction.atomic():
            make_link()
            met.add(stamp())
            transaction.set_rollback(True)
        assert stamp() == before
    make_link()
    met.add(stamp())
    assert len(met) == 4
    assert before not in met


def test_the_mark_within_a_transaction_follows_its_savepoints(transactional_db: None) -> None:
    with transaction.atomic():
        make_link("B-05:7", "C-04:2")
        one = stamp()
        with transaction.atomic():
            make_link("B-05:7", "C-06:2")
            other = stamp()
            transaction.set_rollback(True)
        assert stamp() == one
        make_link("B-05:7", "D-02:4")
        assert stamp() not in (one, other)


def test_a_mark_taken_away_is_made_again(transactional_db: None) -> None:
    """Until a write has made it again nothing is kept in memory; SQLite makes it again at once."""
    make_link()
    before = stamp()
    WiringStamp.objects.all().delete()
    without = stamp()
    assert (without is None) == (connection.vendor == "postgresql")
    make_link("C-04:3", "B-05:1")
    assert stamp() not in (before, without, None)


def test_lost_triggers_are_set_again_after_a_migration(transactional_db: None) -> None:
    before = stamp()
    assert stamp_stands(connection)
    remove_stamp(connection)
    assert not stamp_stands(connection)
    call_command("migrate", verbosity=0)
    assert stamp_stands(connection)
    assert stamp() not in (before, None)


def test_writers_at_the_same_moment_neither_wait_nor_lose_a_mark(in_threads: Any) -> None:
    ends = make_terminal("A-01:1"), make_terminal("A-01:2")
    before = stamp()

    def write(code: str) -> Any:
        with transaction.atomic():
            Interconnect.objects.create(code=code, source=ends[0], load=ends[1])
            return read_stamp(connection)

    def writer(code: str) -> Callable[[], Any]:
        return lambda: write(code)

    inside = in_threads(*[writer(f"{number}") for number in range(8)])
    assert Interconnect.objects.count() == 8
    assert len({before, *inside, stamp()} - {None}) >= 9
    make_link("B-05:7", "C-04:2")
    assert WiringStamp.objects.count() == 1


def test_undone_and_done_again_the_triggers_stand(transactional_db: None) -> None:
    """Undone, nothing sets them again by itself: the tables that they write to may be the next to go."""
    try:
        call_command("migrate", "machine", "0002_wiring", verbosity=0)
        assert not stamp_stands(connection)
        make_slot()
    finally:
        call_command("migrate", verbosity=0)
    before = stamp()
    assert stamp_stands(connection)
    make_link()
    assert stamp() not in (before, None)
