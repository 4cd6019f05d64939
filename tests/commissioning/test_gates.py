"""The tables of gates: what every gate says, in the order in which gates are passed."""

import pytest
from django.utils.text import slugify

from restoration.commissioning.gates import ACTS, GATES_OF, RECORDED_OF, TABLES, gate_of
from restoration.people.roles import Permission
from tests.reading import words

ALL = [(kind, gate) for kind, table in TABLES.items() for gate in table]


def test_the_gates_of_each_kind_stand_in_the_order_in_which_they_are_passed():
    assert GATES_OF == {
        "chassis": (
            "allotted",
            "built",
            "received",
            "cold-checked",
            "bench-tested",
            "fitted",
            "heaters on",
            "HT on",
            "proved in place",
        ),
        "interconnect": ("joined", "rung out", "signal-checked"),
        "rack": (
            "bonded",
            "mains side certified",
            "distribution rung out",
            "heaters proved",
            "HT proved",
            "open for fitting",
            "soaked",
        ),
        "group": (
            "members fitted",
            "links proved",
            "static check",
            "functional check",
            "margin check",
            "soak",
            "handed over",
        ),
    }


@pytest.mark.parametrize(("kind", "gate"), ALL, ids=lambda value: getattr(value, "code", value))
def test_each_gate_says_what_it_takes_who_signs_and_what_reopens_it(kind, gate):
    assert gate.evidence.endswith(".")
    assert gate.reopened_by.endswith(".")
    assert gate.act == gate.act.strip()
    assert not gate.act.endswith(".")
    assert ACTS[gate.code]
    assert not (gate.is_derived and gate.is_signed)
    assert gate_of(kind, gate.code) is gate


@pytest.mark.parametrize("kind", TABLES)
def test_the_word_in_the_address_names_one_gate(kind):
    assert len({slugify(code) for code in GATES_OF[kind]}) == len(GATES_OF[kind])


def test_a_gate_that_is_passed_with_ht_on_needs_two_persons():
    assert [gate.code for _, gate in ALL if gate.is_live and not gate.is_witnessed] == []
    assert {gate.code for _, gate in ALL if gate.is_live and gate.signed_by is Permission.SIGN_POWER} == {
        "heaters on",
        "HT on",
        "heaters proved",
        "HT proved",
        "soaked",
    }


def test_derived_gates_are_told_apart_from_those_with_records():
    assert {kind: set(GATES_OF[kind]) - set(RECORDED_OF[kind]) for kind in TABLES} == {
        "chassis": {"proved in place"},
        "interconnect": set(),
        "rack": set(),
        "group": {"members fitted", "links proved"},
    }


def test_there_is_no_gate_by_another_name_or_of_another_kind():
    assert gate_of("chassis", "bonded") is None
    assert gate_of("teapot", "bonded") is None


def test_the_page_shows_every_gate_of_all_four_kinds(tester, as_person):
    text = words(as_person(tester).get("/gates/"))
    for _, gate in ALL:
        assert gate.evidence in text
        assert gate.reopened_by in text
    assert "Nobody: it follows from other gates." in text
    assert "Whoever may sign for bonding, mains, heaters and HT; a second person is there all the time." in text
    assert "nothing here tests, approves or certifies anything" in text
