"""What an import would do, against records that hold something already."""

import json

import pytest
from hypothesis import given, settings

from restoration.engineering.wire_list.known import KnownWiring, LinkFacts
from restoration.engineering.wire_list.outcome import ImportPlan
from restoration.engineering.wire_list.plan import plan_import
from restoration.engineering.wire_list.writing import write_csv
from tests.engineering.wire_list.making import NEEDED, known_after, planned, text_list, wires_of, wirings

K1 = LinkFacts("K1", "GATE 1", "A", "1", "B", "1", "0.6", "red", 0.45, "L1", True, "by hand")
KNOWN = KnownWiring(
    racks=frozenset({"R1", "R2"}),
    slots={"A": "R1", "B": "", "C": "R2"},
    terminals=frozenset({("A", "1"), ("A", "2"), ("B", "1"), ("C", "1")}),
    signals=frozenset({"GATE 1"}),
    links={"K1": K1},
)


def listed(*rows, headings=()):
    """A list with the needed columns last."""
    return text_list(*rows, headings=[*headings, *NEEDED])


def reasons(plan):
    return [(refusal.line, refusal.column, refusal.value, refusal.reason) for refusal in plan.refused]


def test_a_first_import_makes_all_that_it_names():
    data = listed(
        ["K1", "GATE 1", "R1", "", "A", "1", "B", "1"],
        ["", "GATE 1", "R1", "R2", "A", "1", "C", "1"],
        headings=["link", "signal", "from_rack", "to_rack"],
    )
    plan = planned(data)
    assert [link.code for link in plan.to_add] == ["K1", "A:1 > C:1"]
    assert list(plan.new_racks) == ["R1", "R2"]
    assert dict(plan.new_slots) == {"A": "R1", "B": "", "C": "R2"}
    assert list(plan.new_terminals) == [("A", "1"), ("B", "1"), ("C", "1")]
    assert list(plan.new_signals) == ["GATE 1"]
    assert plan.sentences() == [
        "The list names 2 interconnects on 2 rows: 2 to add, 0 to change, 0 as they stand.",
        "New with it: 2 racks, 3 slots, 3 terminals, 1 signal.",
    ]


def test_a_second_import_of_the_same_list_changes_nothing():
    data = text_list(*[["A", "1", "B", "1"]] * 3, ["A", "1", "C", "1"])
    known = known_after(planned(data))
    assert list(known.links) == ["A:1 > B:1", "A:1 > B:1 (2)", "A:1 > B:1 (3)", "A:1 > C:1"]
    again = planned(data, known, create_missing=False)
    assert (again.unchanged, again.changes_nothing) == (4, True)


@given(wirings())
@settings(max_examples=40, deadline=None)
def test_any_list_read_twice_changes_nothing(rows):
    data = write_csv([row._replace(link="") for row in rows])
    first = planned(data)
    known = known_after(first)
    assert len(known.links) == len(rows) == len(first.to_add)
    again = plan_import(wires_of(data), known)
    assert again.changes_nothing
    assert again.unchanged == len(rows)


def test_places_that_are_not_known_are_refused_where_none_may_be_created():
    data = listed(["R9", "A", "1", "X", "1"], ["", "A", "9", "B", "1"], ["", "X", "1", "C", "1"], headings=["to_rack"])
    advice = "correct it, or let the import create what is missing."
    plan = planned(data, KNOWN, create_missing=False)
    assert reasons(plan) == [
        (2, "to_rack", "R9", f"No rack “R9” is known; {advice}"),
        (2, "to_slot", "X", f"No slot “X” is known; {advice}"),
        (3, "from_terminal", "9", f"The slot “A” has no terminal “9”; {advice}"),
        (4, "from_slot", "X", f"No slot “X” is known; {advice}"),
    ]
    assert plan.changes_nothing


def test_signals_are_always_made():
    plan = planned(listed(["NEW", "A", "2", "B", "1"], headings=["signal"]), KNOWN, create_missing=False)
    assert plan.can_be_saved
    assert list(plan.new_signals) == ["NEW"]


def test_a_column_that_the_list_has_overwrites_blanks_too():
    data = listed(["K1", "", "blue", "", "", "no", "", "A", "1", "B", "1"],
                  headings=["link", "signal", "colour", "length_m", "loom", "critical", "remarks"])  # fmt: skip
    (change,) = planned(data, KNOWN).to_change
    assert change.old == K1
    assert change.new == LinkFacts("K1", "", "A", "1", "B", "1", "0.6", "blue", None, "", False, "")
    assert change.fields == ("signal", "colour", "length_m", "loom", "critical", "remarks")


def test_a_column_that_the_list_lacks_leaves_the_record_alone():
    plan = planned(listed(["K1", "A", "1", "B", "1"], headings=["link"]), KNOWN)
    assert (plan.unchanged, plan.changes_nothing) == (1, True)


def test_a_link_that_goes_elsewhere_now_is_a_change():
    (change,) = planned(listed(["K1", "A", "1", "C", "1"], headings=["link"]), KNOWN).to_change
    assert change.fields == ("to_slot",)
    assert change.new == K1._replace(to_slot="C")


def test_a_blank_rack_never_clears_a_slots_rack():
    plan = planned(listed(["", "", "A", "1", "B", "1"], headings=["from_rack", "to_rack"]), KNOWN)
    assert plan.can_be_saved
    assert not plan.slot_racks


def test_a_slot_without_a_rack_gets_the_one_the_list_gives():
    plan = planned(listed(["R2", "A", "1", "B", "1"], headings=["to_rack"]), KNOWN, create_missing=False)
    assert list(plan.slot_racks) == [("B", "R2")]
    assert plan.sentences()[1] == "1 known slot had no rack and will have the one the list gives."


def test_a_slot_in_another_rack_than_the_records_say_is_refused():
    plan = planned(listed(["R2", "A", "1", "B", "1"], headings=["from_rack"]), KNOWN)
    assert reasons(plan) == [
        (
            2,
            "from_rack",
            "R2",
            "The slot “A” is put in the rack “R2” here and in “R1” by the records; a slot stands in one rack.",
        )
    ]


def test_a_slot_whose_rack_is_named_on_a_later_line_only():
    data = listed(["", "D", "1", "B", "1"], ["R2", "D", "2", "B", "1"], headings=["from_rack"])
    assert dict(planned(data).new_slots)["D"] == "R2"


@pytest.mark.parametrize("both_ends", [False, True])
def test_two_signals_on_a_terminal_are_taken_in_and_asked_about(both_ends):
    data = listed(["K5", "GATE 5", "A", "1", "C", "1"], headings=["link", "signal"])
    plan = planned(data, KNOWN, both_ends=both_ends)
    assert len(plan.to_add) == 1
    assert plan.as_json()["two_signals"] == [
        {"slot": "A", "terminal": "1", "signals": ["GATE 1", "GATE 5"], "links": ["K5", "K1"]}
    ]
    assert "1 terminal carries two signals: a query is raised." in plan.sentences()


def test_a_list_that_puts_a_signal_right_asks_nothing():
    plan = planned(listed(["K1", "GATE 5", "A", "1", "B", "1"], headings=["link", "signal"]), KNOWN)
    assert plan.two_signals == ()


def test_a_list_without_signals_keeps_those_of_its_links_in_mind():
    known = KnownWiring(
        KNOWN.racks, KNOWN.slots, KNOWN.terminals, KNOWN.signals, {"K1": K1, "K2": K1._replace(code="K2", signal="X")}
    )
    plan = planned(listed(["K1", "A", "1", "B", "1"], headings=["link"]), known)
    assert [(found.slot, found.signals) for found in plan.two_signals] == [
        ("A", ("GATE 1", "X")),
        ("B", ("GATE 1", "X")),
    ]


def test_two_signals_elsewhere_in_the_records_are_not_this_lists_matter():
    known = KnownWiring(
        KNOWN.racks, KNOWN.slots, KNOWN.terminals, KNOWN.signals, {"K1": K1, "K2": K1._replace(code="K2", signal="X")}
    )
    assert planned(listed(["A", "2", "C", "1"]), known).two_signals == ()


def test_a_blank_signal_beside_a_named_one_is_no_question():
    assert planned(listed(["K5", "", "A", "1", "C", "1"], headings=["link", "signal"]), KNOWN).two_signals == ()


def test_a_wire_from_a_terminal_to_itself_is_taken_in_and_asked_about():
    plan = planned(text_list(["A", "1", "B", "1"], ["A", "1", "A", "1"]))
    assert len(plan.to_add) == 2
    assert plan.as_json()["self_links"] == [
        {"line": 3, "link": "A:1 > A:1", "from_slot": "A", "from_terminal": "1", "to_slot": "A", "to_terminal": "1"}
    ]
    assert plan.sentences()[-1] == "1 wire runs from a terminal to itself: a query is raised."


def test_several_sources_on_a_signal_are_allowed_and_told():
    plan = planned(listed(["GATE 1", "C", "1", "B", "1"], headings=["signal"]), KNOWN)
    assert plan.as_json()["several_sources"] == [
        {"signal": "GATE 1", "sources": [{"slot": "A", "terminal": "1"}, {"slot": "C", "terminal": "1"}]}
    ]
    assert plan.two_signals == ()
    assert plan.sentences()[-1] == "1 signal has several sources, which is allowed."


def test_a_wire_without_a_code_beside_a_link_of_another_code_is_told():
    plan = planned(text_list(["A", "1", "B", "1"]), KNOWN)
    assert [link.code for link in plan.to_add] == ["A:1 > B:1"]
    assert plan.warnings == (
        "“A:1 > B:1” comes without a link code and is taken as one more wire beside “K1”, which joins the same ends.",
    )


def test_a_given_code_that_looks_formed_is_not_taken_for_another_wire():
    data = listed(["A:1 > B:1", "A", "1", "B", "1"], ["", "A", "1", "B", "1"], headings=["link"])
    assert [link.code for link in planned(data).to_add] == ["A:1 > B:1", "A:1 > B:1 (2)"]


def test_counts_are_of_what_the_list_names():
    data = listed(["R1", "A", "1", "B", "1"], ["R1", "A", "1", "C", "1"], headings=["from_rack"])
    told = planned(data, KNOWN).as_json()
    assert [told[name] for name in ("rows", "racks", "slots", "terminals", "interconnects")] == [2, 1, 3, 3, 2]
    assert [told[name] for name in ("added", "changed", "unchanged")] == [2, 0, 0]


KEYS = [
    "rows", "added", "changed", "unchanged", "racks", "slots", "terminals", "interconnects", "one_ended",
    "length_disagrees", "two_signals", "refused",
]  # fmt: skip


@pytest.mark.parametrize("data", [text_list(["A", "1", "A", "1"]), text_list(["A", "", "A", "1"]), text_list()])
def test_the_answer_for_programs_is_plain_and_has_every_name(data):
    told = planned(data).as_json()
    assert set(KEYS) <= set(told)
    assert json.loads(json.dumps(told)) == told


def test_a_list_without_rows_is_refused():
    plan = planned(text_list())
    assert [refusal.sentence() for refusal in plan.refused] == ["There is no wire in this list."]
    assert planned(text_list(), both_ends=True) == plan


def test_a_plan_that_refuses_says_so_first():
    plan = planned(text_list(["A", "", "B", "1"]))
    assert plan.sentences() == [
        "Nothing is saved: 1 cell or row is refused.",
        "Line 2, column from_terminal: A wire needs the terminal it starts from; this cell is blank.",
    ]


def test_warnings_come_last():
    plan = planned(text_list(["A", "1", "B", "1", "x"], headings=[*NEEDED, "Drawn by"]))
    assert plan.sentences()[-1].startswith("These columns are not part of a wire list")
    assert ImportPlan().sentences() == [
        "The list names 0 interconnects on 0 rows: 0 to add, 0 to change, 0 as they stand."
    ]
