"""The wiring in memory is read once and used until something is written to it, by whatever way; never longer."""

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import connection, transaction

from restoration.engineering.wiring import cone
from restoration.machine import services
from restoration.machine.models import Interconnect, WiringStamp
from restoration.machine.stamp import install_stamp, remove_stamp
from restoration.machine.wiring import KnownWiring, find_place, keeping, wiring_now
from restoration.people.models import Person
from tests.counting import queries_in
from tests.factories import make_link, make_terminal
from tests.machine.wire_lists import wire, wires


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keeping, "_kept", keeping.WiringKept())


def reached(text: str = "B-05", *, down: bool = True) -> list[str]:
    """The slots that one reaches from a place."""
    known = wiring_now()
    return sorted(known.slot_codes(cone(known.graph, known.start(find_place(text)), down=down).slots))


def test_it_is_read_once(piece: SimpleNamespace) -> None:
    first = wiring_now()
    assert isinstance(first, KnownWiring)
    assert wiring_now() is first
    assert queries_in(wiring_now) == 1
    assert reached() == ["C-04", "C-06", "D-02"]


def sql() -> None:
    source, load = make_terminal("C-04:8").pk, make_terminal("E-01:1").pk
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE machine_interconnect SET source_id = %s, load_id = %s WHERE code = '216'", [source, load]
        )


def in_bulk() -> None:
    Interconnect.objects.bulk_create(
        [Interconnect(code="9", source=make_terminal("C-04:8"), load=make_terminal("E-01:1"))]
    )


def updated() -> None:
    Interconnect.objects.filter(code="216").update(source=make_terminal("C-04:8"), load=make_terminal("E-01:1"))


def by_list() -> None:
    data = wires(wire("C-04:8", "E-01:1", link="9"))
    assert services.import_wire_list(data=data, name="loft.csv", by=None, create_missing=True).is_saved


def by_service() -> None:
    services.add_slot(code="E-01", by=None)
    services.add_interconnect(source=services.End("C-04", "8"), load=services.End("E-01", "1"), by=None)


@pytest.mark.parametrize("write", [sql, in_bulk, updated, by_list, by_service], ids=lambda write: write.__name__)
def test_a_write_by_any_way_is_in_the_next_answer(write: Callable[[], None], piece: SimpleNamespace) -> None:
    assert "E-01" not in reached("C-04")
    write()
    assert reached("C-04") == ["E-01"]
    Interconnect.objects.filter(source__slot__code="C-04").delete()
    assert reached("C-04") == []


def test_the_stages_of_a_design_are_in_the_next_answer(piece: SimpleNamespace, site_lead: Person) -> None:
    make_link("C-04:8", "E-01:1", code="9")
    assert reached() == ["C-04", "C-06", "D-02", "E-01"]
    apart = [services.StageGiven("one", False, "", ("2",), ("5",)), services.StageGiven("other", False, "", (), ("8",))]
    services.set_stages(design=piece.design, stages=apart, by=site_lead)
    assert reached() == ["C-04", "C-06", "D-02"]
    services.set_stages(design=piece.design, stages=[], by=site_lead)
    assert reached() == ["C-04", "C-06", "D-02", "E-01"]


def test_what_is_undone_is_never_served(transactional_db: None) -> None:
    make_link("B-05:7", "C-04:2")
    before = wiring_now()
    for code in "abc":
        with transaction.atomic():
            make_link("C-04:8", "E-01:1", code=code)
            assert reached() == ["C-04", "E-01"]
            with transaction.atomic():
                make_link("E-01:2", "F-01:1")
                assert reached() == ["C-04", "E-01", "F-01"]
                transaction.set_rollback(True)
            assert reached() == ["C-04", "E-01"]
            transaction.set_rollback(True)
        assert reached() == ["C-04"]
    assert len(wiring_now().links) == len(before.links) == 1


def test_no_more_than_two_are_kept(piece: SimpleNamespace) -> None:
    states = []
    for number in range(4):
        make_link("C-04:8", "E-01:1", code=f"n{number}")
        states.append(wiring_now())
    assert [known for _, known in keeping._kept._known] == states[-2:]


def test_without_triggers_nothing_is_kept(transactional_db: None) -> None:
    make_link("B-05:7", "C-04:2")
    remove_stamp(connection)
    try:
        first = wiring_now()
        make_link("C-04:8", "E-01:1")
        assert reached() == ["C-04", "E-01"]
        assert wiring_now() is not first
        assert keeping._kept._known == ()
    finally:
        install_stamp(connection)


def test_without_a_mark_nothing_is_kept(piece: SimpleNamespace, monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (keeping, "restoration.machine.wiring.loading"):
        target = module if isinstance(module, str) else module.__name__
        monkeypatch.setattr(f"{target}.read_stamp", lambda connection: None)
    assert wiring_now() is not wiring_now()
    WiringStamp.objects.all().delete()
    assert reached() == ["C-04", "C-06", "D-02"]


def test_threads_read_it_once_together(in_threads: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    make_link("B-05:7", "C-04:2")
    reads = []
    load = keeping.load_wiring
    monkeypatch.setattr(keeping, "load_wiring", lambda connection: reads.append(1) or load(connection))
    answers = in_threads(*[wiring_now] * 8)
    assert len({id(answer) for answer in answers}) == 1
    assert isinstance(answers[0], KnownWiring)
    assert len(reads) == 1


def test_threads_that_write_read_what_they_wrote(in_threads: Any) -> None:
    make_link("B-05:7", "C-04:2")

    def write_and_look(number: int) -> Callable[[], list[str]]:
        def act() -> list[str]:
            make_link("B-05:7", f"Z-{number:02}:1")
            return reached()

        return act

    answers = in_threads(*[write_and_look(number) for number in range(6)])
    assert all(f"Z-{number:02}" in answer for number, answer in enumerate(answers))
    assert reached() == ["C-04", *(f"Z-{number:02}" for number in range(6))]
