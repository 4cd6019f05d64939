"""What the worked table does not show: refusals, rules changed, rails and knocks at their edges."""

from dataclasses import replace

import pytest

from restoration.engineering.doubt import DEFAULT_RULES, RECORDED, Kind, Reach, RuleBook, Share, Subject, doubts
from tests.engineering.doubt.drawn import DrawnAround, DrawnWire
from tests.engineering.doubt.small_machine import SMALL_MACHINE
from tests.engineering.doubt.worked_table import as_lines

BOOK = RuleBook(DEFAULT_RULES)


def lines(kind: Kind, book: RuleBook = BOOK, machine=SMALL_MACHINE, **about) -> list[str]:
    """What a change of the small machine puts in doubt, line by line."""
    around = DrawnAround(machine)
    return as_lines(doubts(around.subject(kind, **about), book, around))


def only(number: int, **changes) -> RuleBook:
    """A book of one rule, in other words."""
    return RuleBook([replace(BOOK.by_number[number], **changes)])


@pytest.mark.parametrize("kind", RECORDED)
def test_a_change_that_names_nothing_is_refused_with_a_sentence(kind):
    with pytest.raises(ValueError, match=r"^An? .+ (was|were) given\.$|^An .+; none was given\.$"):
        doubts(Subject(kind), BOOK, DrawnAround(SMALL_MACHINE))


def test_an_instrument_needs_its_last_good_moment():
    around = DrawnAround(SMALL_MACHINE)
    with pytest.raises(ValueError, match=r"^An instrument out of limits was last good at a moment; none was given\.$"):
        doubts(around.subject(Kind.INSTRUMENT, instrument="OSC-1"), BOOK, around)


def test_the_version_of_the_rule_is_named():
    around = DrawnAround(SMALL_MACHINE)
    found = doubts(around.subject(Kind.SWAPPED, slot="A-01"), only(2, version=4), around)
    assert {(one.rule, one.version) for one in found} == {(2, 4)}


def test_a_rule_without_gates_finds_nothing():
    assert lines(Kind.SWAPPED, only(2, gates=frozenset()), slot="C-01") == []


def test_a_group_is_still_found_where_the_rule_of_its_wire_asks_for_nothing():
    silent = replace(BOOK.by_number[5], gates=frozenset())
    book = RuleBook([silent, BOOK.by_number[6]])
    assert lines(Kind.LIKE_VALVE, book, slot="A-01") == ["6 group CLK: functional check: slot A-01 → group CLK"]


def test_of_critical_ones_only_those_come_back_at_all():
    assert lines(Kind.SWAPPED, only(2, share=Share.CRITICAL), slot="B-01") == [
        "2 link 02: rung out, signal-checked: slot B-01 → link 02 → source at A-02",
        "2 link 10: rung out, signal-checked: slot B-01 → link 10 → load at C-02",
    ]


def test_one_in_one_is_all():
    every = lines(Kind.EARTH, only(28, one_in=1), earth="E-1")
    assert not [line for line in every if line.startswith("-")]
    assert len(every) == 10


@pytest.mark.parametrize(
    ("number", "share", "said"),
    [
        (28, Share.SAMPLE, "rule 28 asks for one in 5, and link 02 is not among them"),
        (25, Share.CRITICAL_AND_SAMPLE, "rule 25 asks for one in 5 of the rest, and link 06 is not among them"),
        (35, Share.CRITICAL_SAMPLE, "rule 35 asks for one in 5 of the critical ones, and link 10 is not among them"),
    ],
)
def test_what_is_passed_over_says_why(number, share, said):
    about = {25: {"rail": "HT-1"}, 28: {"earth": "E-1"}, 35: {"racks": ("C",)}}[number]
    around = DrawnAround(SMALL_MACHINE)
    book = only(number, share=share, one_in=5)
    found = doubts(around.subject(BOOK.by_number[number].kind, **about), book, around)
    assert said in {one.why_not for one in found}


def test_a_wire_back_into_its_own_slot_is_met_once():
    back = replace(SMALL_MACHINE, wires=(*SMALL_MACHINE.wires, DrawnWire("12", "A-01:o", "A-01:in")))
    assert [line for line in lines(Kind.SWAPPED, only(2), back, slot="A-01") if "12" in line] == [
        "2 link 12: rung out, signal-checked: slot A-01 → link 12 → load at A-01"
    ]


def test_a_wire_with_both_ends_on_the_rail_comes_by_the_end_one_walks_to_first():
    found = lines(Kind.RAIL, only(25, share=Share.ALL), rail="HT-1")
    assert "25 link 02: signal-checked: rail HT-1 → slot A-02 → link 02" in found
    assert len([line for line in found if "link 02:" in line]) == 1


def test_a_heater_rail_leaves_no_gate_of_the_ht_supply_in_doubt():
    assert lines(Kind.RAIL, only(26), rail="HR-1") == [
        "26 rack B: heaters proved: rail HR-1 → rack B",
        "26 rack C: heaters proved: rail HR-1 → rack C",
    ]
    assert lines(Kind.RAIL, only(26, gates=frozenset({"HT proved"})), rail="HR-1") == []


def test_an_earth_and_racks_given_with_it_touch_those_racks_alone():
    assert lines(Kind.EARTH, only(29), earth="E-1", racks=("B",)) == ["29 rack B: bonded: earth E-1 → rack B"]


def test_a_group_touched_at_several_slots_comes_by_the_shortest_way():
    found = lines(Kind.REST, only(37), racks=("A", "B"))
    assert found == [
        "37 group ADD: functional check: rack B → slot B-01 → group ADD",
        "37 group CLK: functional check: rack A → slot A-01 → group CLK",
    ]


def test_a_group_of_critical_wires_alone_needs_one_at_its_own_slots():
    book = RuleBook([BOOK.by_number[35], replace(BOOK.by_number[37], share=Share.CRITICAL)])
    plain = replace(SMALL_MACHINE, groups={"SUM": (("B-02",), ()), "PRT": (("C-02",), ())})
    assert [line for line in lines(Kind.REST, book, plain, racks=("B", "C")) if "group" in line] == [
        "37 group PRT: functional check: rack C → slot C-02 → group PRT"
    ]


def test_a_knock_in_a_slot_does_not_reach_its_rack():
    assert lines(Kind.KNOCK, only(40), slot="B-01") == []


def test_an_empty_slot_has_no_chassis_to_doubt():
    bare = replace(SMALL_MACHINE, chassis=())
    assert lines(Kind.LIKE_VALVE, only(4), bare, slot="A-01") == []


def test_reaches_that_need_what_a_change_does_not_name_find_nothing():
    book = RuleBook(
        replace(BOOK.by_number[4], number=number + 1, reach=reach)
        for number, reach in enumerate(Reach)
        if reach is not Reach.GROUPS
    )
    found = lines(Kind.LIKE_VALVE, book, chassis="SR-2")
    assert [line.partition(" ")[2] for line in found] == ["chassis SR-2: HT on: chassis SR-2"] * 3
