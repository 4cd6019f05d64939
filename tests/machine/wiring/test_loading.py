"""Rows into arrays: every terminal, link and stage at its place, all of one moment."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from django.db import connection

from restoration.engineering.wiring import cone
from restoration.machine.models import Interconnect, Slot, Stage, StagePort, Terminal
from restoration.machine.wiring import find_place, loading, place_of_link
from restoration.machine.wiring.known import KnownWiring
from tests.factories import make_design, make_link, make_slot, make_terminal


def load() -> KnownWiring:
    return loading.load_wiring(connection)[1]


def reached(known: KnownWiring, text: str, **asked: Any) -> list[str]:
    return sorted(known.slot_codes(cone(known.graph, known.start(find_place(text)), **asked).slots))


def test_an_empty_database_is_an_empty_wiring(db: None) -> None:
    known = load()
    assert (len(known.slots), len(known.terminals), len(known.links)) == (0, 0, 0)
    make_slot("C-04")
    known = load()
    assert (len(known.slots), len(known.links)) == (1, 0)


def test_every_row_has_its_place_and_its_name(piece: SimpleNamespace) -> None:
    known = load()
    for slot in Slot.objects.all():
        assert known.slot_codes([known.slot_index(slot.pk)]) == [slot.code]
    for terminal in Terminal.objects.select_related("slot"):
        assert known.terminal_names([known.terminal_index(terminal.pk)]) == [str(terminal)]
    for link in Interconnect.objects.all():
        assert known.link_codes([known.link_index(link.pk)]) == [link.code]
    assert set(known.slot_ids) == set(Slot.objects.values_list("pk", flat=True))
    assert set(known.terminal_ids) == set(Terminal.objects.values_list("pk", flat=True))
    assert set(known.link_ids) == set(Interconnect.objects.values_list("pk", flat=True))


def test_a_start_may_be_a_slot_a_terminal_or_a_link(piece: SimpleNamespace) -> None:
    known = load()
    assert reached(known, "B-05", down=True) == ["C-04", "C-06", "D-02"]
    assert reached(known, "D-02:4", down=False) == ["B-05"]
    found = cone(known.graph, known.start(place_of_link("215")), down=True)
    assert "C-06" in known.slot_codes(found.slots)
    assert "C-04" not in known.slot_codes(found.slots)


def test_ids_far_apart_change_nothing(db: None) -> None:
    slot = Slot.objects.create(pk=10**10, code="A")
    other = Slot.objects.create(pk=7, code="B")
    out = Terminal.objects.create(pk=10**12, slot=slot, code="1")
    into = Terminal.objects.create(pk=3, slot=other, code="1")
    Interconnect.objects.create(pk=10**11, code="x", source=out, load=into)
    known = load()
    assert reached(known, "A", down=True) == ["B"]
    assert known.link_codes([known.link_index(10**11)]) == ["x"]


@pytest.fixture
def staged(db: None) -> None:
    """Two slots of one design whose two stages are apart; the second is a barrier. S drives both inputs of each."""
    other, design = make_design("KS-100"), make_design("KS-204")
    for name, into, out in (("idle", "x", "y"),):
        stage = Stage.objects.create(design=other, name=name)
        StagePort.objects.create(stage=stage, terminal=into, way="in")
        StagePort.objects.create(stage=stage, terminal=out, way="out")
    for name, into, out, is_barrier in (("gate", "1", "5", False), ("former", "2", "6", True)):
        stage = Stage.objects.create(design=design, name=name, is_barrier=is_barrier)
        StagePort.objects.create(stage=stage, terminal=into, way="in")
        StagePort.objects.create(stage=stage, terminal=out, way="out")
        StagePort.objects.create(stage=stage, terminal="no such terminal", way="out")
    for code in ("A", "B"):
        make_slot(code, rack=None, design=design)
        make_link(f"S:{code}1", f"{code}:1")
        make_link(f"S:{code}2", f"{code}:2")
        make_link(f"{code}:5", f"{code}-gate:1")
        make_link(f"{code}:6", f"{code}-former:1")


def test_each_slot_of_a_design_has_its_stages(staged: None) -> None:
    known = load()
    for code in ("A", "B"):
        assert reached(known, f"{code}:1", down=True) == [f"{code}-gate"]
        assert reached(known, f"S:{code}1", down=True) == [code, f"{code}-gate"]
        assert reached(known, f"S:{code}2", down=True) == [code, f"{code}-former"]
        assert reached(known, f"S:{code}2", down=True, stop_at_barriers=True) == [code]
        assert reached(known, f"S:{code}1", down=True, stop_at_barriers=True) == [code, f"{code}-gate"]
        assert reached(known, f"{code}-gate", down=False) == sorted([code, "S"])


def test_it_is_of_one_moment(transactional_db: None, in_threads: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody names slots and joins them after each question of ours: we see all of a moment, or none of it."""
    make_link("B-05:7", "C-04:2")
    ask, asked = loading._columns, []

    def ask_while_others_write(*given: Any) -> Any:
        found = ask(*given)
        number = len(asked)
        asked.append(in_threads(lambda: make_link(f"N-{number}:1", f"N-{number}:2").pk)[0])
        return found

    monkeypatch.setattr(loading, "_columns", ask_while_others_write)
    known = load()
    assert all(isinstance(pk, int) for pk in asked)
    assert (len(asked), len(known.slots), len(known.links)) == (5, 2, 1)
    monkeypatch.setattr(loading, "_columns", ask)
    assert len(load().links) == 6


def test_written_to_meanwhile_in_a_transaction_it_is_read_again(
    piece: SimpleNamespace, monkeypatch: pytest.MonkeyPatch
) -> None:
    reads = []
    read = loading.read_rows

    def read_and_write(*given: Any) -> Any:
        rows = read(*given)
        if len(reads) < 2:
            make_link("C-04:8", f"N-{len(reads)}:1")
        reads.append(1)
        return rows

    monkeypatch.setattr(loading, "read_rows", read_and_write)
    assert len(load().links) == 5
    assert len(reads) == 3


def test_a_wiring_never_at_rest_is_said_to_be(piece: SimpleNamespace, monkeypatch: pytest.MonkeyPatch) -> None:
    read = loading.read_rows

    def read_and_write(*given: Any) -> Any:
        rows = read(*given)
        make_link("C-04:8", f"N-{Slot.objects.count()}:1")
        return rows

    monkeypatch.setattr(loading, "read_rows", read_and_write)
    with pytest.raises(RuntimeError) as refused:
        load()
    assert str(refused.value) == "The wiring was written to each of the 5 times that it was read."


def test_no_row_is_kept_as_an_object(piece: SimpleNamespace) -> None:
    make_terminal("C-04:9")
    known = load()
    for numbering in (known.slots, known.terminals, known.links):
        assert isinstance(numbering.ids, np.ndarray)
        assert numbering.ids.dtype == np.int64
