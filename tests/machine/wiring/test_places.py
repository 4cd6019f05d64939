"""Places as people name them, whatever signs their codes hold; what names nothing is refused in a sentence."""

from types import SimpleNamespace

import pytest
from numpy import array

from restoration.machine.models import Slot, Terminal
from restoration.machine.wiring import Place, find_place, place_of_link
from restoration.machine.wiring.names import link_codes, slot_codes, terminal_names
from tests.factories import make_link, make_slot, make_terminal
from tests.machine.wire_lists import AWKWARD
from tests.reading import refused


def test_a_slot_then_a_terminal(piece: SimpleNamespace) -> None:
    terminal = Terminal.objects.get(slot=piece.slot)
    assert find_place("C-04") == Place("C-04", slot=piece.slot.pk)
    assert find_place("C-04:2") == Place("C-04:2", slot=piece.slot.pk, terminal=terminal.pk)
    assert place_of_link("214") == Place("214", link=piece.link.pk)


@pytest.mark.parametrize("code", [*AWKWARD, ":", "a:b", "::", ":x", "x:"])
def test_any_sign_may_be_painted(code: str, db: None) -> None:
    slot = make_slot(code, rack=None)
    terminal = Terminal.objects.create(slot=slot, code=code)
    assert find_place(code).slot == slot.pk
    assert find_place(f"{code}:{code}").terminal == terminal.pk


def test_a_slot_is_meant_before_a_terminal(db: None) -> None:
    make_terminal("C-04:2")
    slot = make_slot("C-04:2", rack=None)
    assert find_place("C-04:2") == Place("C-04:2", slot=slot.pk)


def test_the_split_counts_of_which_both_parts_exist(db: None) -> None:
    terminal = Terminal.objects.create(slot=make_slot("A:1", rack=None), code="2:3")
    make_slot("A", rack=None)
    assert find_place("A:1:2:3").terminal == terminal.pk


def test_a_name_of_two_terminals_is_refused(db: None) -> None:
    Terminal.objects.create(slot=make_slot("A", rack=None), code="1:2")
    Terminal.objects.create(slot=make_slot("A:1", rack=None), code="2")
    sentence = "“A:1:2” names terminal 1:2 of slot A and terminal 2 of slot A:1; give the slot alone."
    assert refused(find_place, "A:1:2") == sentence


WRONG = [
    ("X-99", "There is no slot “X-99”; give a slot by its code, or a terminal as slot:terminal."),
    ("", "There is no slot “”; give a slot by its code, or a terminal as slot:terminal."),
    ("c-04", "There is no slot “c-04”; give a slot by its code, or a terminal as slot:terminal."),
    ("X-99:1", "There is no slot “X-99:1”; give a slot by its code, or a terminal as slot:terminal."),
    ("C-04:9", "Slot C-04 has no terminal “9”; it has 2."),
    ("B-05:9", "Slot B-05 has no terminal “9”; it has 7, a0, a1, a2, a3, a4 and 4 more."),
    ("C\x00", "There is no slot “C\x00”; give a slot by its code, or a terminal as slot:terminal."),
    ("\udcff:1", "There is no slot “\udcff:1”; give a slot by its code, or a terminal as slot:terminal."),
    ("E-01:1", "Slot E-01 has no terminal “1”; none of it is named yet."),
]


@pytest.mark.parametrize(("text", "sentence"), WRONG)
def test_what_names_nothing_is_refused(text: str, sentence: str, piece: SimpleNamespace) -> None:
    make_slot("E-01")
    for number in range(9):
        make_terminal(f"B-05:a{number}")
    assert refused(find_place, text) == sentence


def test_an_unlisted_link_is_refused(piece: SimpleNamespace) -> None:
    sentence = "There is no link “999” on the wire list; give the code of a link as it is listed."
    assert refused(place_of_link, "999") == sentence


def test_codes_come_in_the_order_asked_for(piece: SimpleNamespace, monkeypatch: pytest.MonkeyPatch) -> None:
    ids = Slot.objects.order_by("-code").values_list("pk", flat=True)
    links = [link.pk for link in reversed(piece.links)]
    terminals = [make_terminal("D-02:4").pk, make_terminal("B-05:7").pk]
    make_link("B-05:7", "C-04:2", code="not asked for")
    for whole_table, at_once in ((10_000, 2), (0, 500)):
        monkeypatch.setattr("restoration.machine.wiring.names.WHOLE_TABLE", whole_table)
        monkeypatch.setattr("restoration.machine.wiring.names.AT_ONCE", at_once)
        assert slot_codes(array([*ids, ids[0]])) == ["D-02", "C-06", "C-04", "B-05", "D-02"]
        assert link_codes(array(links)) == ["216", "215", "214"]
        assert terminal_names(array(terminals)) == ["D-02:4", "B-05:7"]
