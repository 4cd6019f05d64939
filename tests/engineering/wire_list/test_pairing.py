"""Lists that name every wire once from each end."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.wire_list.known import KnownWiring
from restoration.engineering.wire_list.pairing import pair_ends
from tests.engineering.wire_list.making import NEEDED, known_after, planned, text_list, wire

A, B, C = ("A", "1"), ("B", "1"), ("C", "1")


def there(line, **said):
    return wire(line, A, B, **said)


def back(line, **said):
    return wire(line, B, A, **said)


def lines(rows):
    return [row.line for row in rows]


def test_the_row_named_first_gives_the_source_end():
    pairing = pair_ends([back(2), there(3)])
    assert [row.source for row in pairing.rows] == [B]
    assert not pairing.tells


def test_a_wire_named_at_one_end_stays_in_and_is_told():
    pairing = pair_ends([there(2), back(3), wire(4, A, C)])
    assert lines(pairing.rows) == [2, 4]
    assert lines(pairing.one_ended) == [4]


def test_the_same_direction_twice_is_two_wires_at_one_end():
    assert lines(pair_ends([there(2), there(3)]).one_ended) == [2, 3]


def test_a_pair_may_name_its_code_at_one_end_only():
    pairing = pair_ends([there(2), back(3, link="K1")])
    assert [row.link for row in pairing.rows] == ["K1"]
    assert not pairing.tells


def test_two_codes_are_never_one_wire():
    pairing = pair_ends([there(2, link="K1"), back(3, link="K2")])
    assert lines(pairing.one_ended) == [2, 3]


def test_parallel_wires_pair_by_code_whatever_their_order():
    pairing = pair_ends([there(2, link="K1"), there(3, link="K2"), back(4, link="K2"), back(5, link="K1")])
    assert [(row.line, row.link) for row in pairing.rows] == [(2, "K1"), (3, "K2")]
    assert not pairing.tells


def test_parallel_wires_without_codes_pair_with_what_is_like_them():
    rows = [there(2, colour="red", length_m=0.5), there(3, colour="blue", length_m=0.7)]
    rows += [back(4, colour="blue", length_m=0.7), back(5, colour="red", length_m=0.5)]
    pairing = pair_ends(rows)
    assert [(row.line, row.colour) for row in pairing.rows] == [(2, "red"), (3, "blue")]
    assert not pairing.tells


def test_parallel_wires_that_agree_in_all_but_length_pair_and_tell_it():
    rows = [there(2, colour="red", length_m=0.5), there(3, colour="blue", length_m=0.7)]
    rows += [back(4, colour="blue", length_m=0.9), back(5, colour="red", length_m=0.5)]
    (told,) = pair_ends(rows).length_disagrees
    assert (told.row.line, told.other_line, told.value, told.other_value) == (3, 4, 0.7, 0.9)


def test_a_row_with_a_code_takes_the_one_without_before_others_do():
    rows = [there(2), there(3, link="K1"), back(4), back(5, link="K2")]
    pairing = pair_ends(rows)
    assert pairing.one_ended == ()
    assert sorted(row.link for row in pairing.rows) == ["K1", "K2"]


def test_wires_from_a_terminal_to_itself_pair_two_by_two():
    pairing = pair_ends([wire(line, A, A) for line in (2, 3, 4)])
    assert lines(pairing.rows) == [2, 4]
    assert lines(pairing.one_ended) == [4]


def test_blanks_are_filled_from_the_other_end():
    first = there(2, from_rack="R1", wire="0.6", remarks="mind the cover")
    second = back(3, link="K1", from_rack="R2", signal="GATE", colour="red", length_m=0.5, loom="L1", critical=True)
    (row,) = pair_ends([first, second]).rows
    assert row == there(
        2, link="K1", signal="GATE", from_rack="R1", to_rack="R2", wire="0.6", colour="red", length_m=0.5, loom="L1",
        critical=True, remarks="mind the cover",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("first", "second", "critical"), [(True, False, True), (False, True, True), (False, False, False)]
)
def test_a_wire_is_critical_if_either_end_says_so(first, second, critical):
    assert pair_ends([there(2, critical=first), back(3, critical=second)]).rows[0].critical is critical


@pytest.mark.parametrize(
    ("one", "other", "disagree"),
    [
        (0.5, 0.501, False),
        (0.5, 0.5011, True),
        (10.0, 10.009, False),
        (10.0, 10.02, True),
        (0.0, 0.0, False),
        (0.0, 0.002, True),
        (None, 5.0, False),
        (5.0, None, False),
    ],
)
def test_lengths_disagree_beyond_a_millimetre_and_a_thousandth(one, other, disagree):
    pairing = pair_ends([there(2, length_m=one), back(3, length_m=other)])
    assert bool(pairing.length_disagrees) is disagree
    assert pairing.rows[0].length_m == (one if one is not None else other)


@pytest.mark.parametrize("column", ["signal", "wire", "colour", "loom", "remarks"])
def test_other_words_that_differ_are_told_and_the_first_is_taken(column):
    pairing = pair_ends([there(2, **{column: "this"}), back(3, **{column: "that"})])
    (told,) = pairing.disagrees
    assert (told.row.line, told.other_line, told.column, told.value, told.other_value) == (2, 3, column, "this", "that")
    assert getattr(pairing.rows[0], column) == "this"


ENDS = st.sampled_from([A, B, C])
ROW = st.tuples(
    ENDS, ENDS, st.sampled_from(["", "", "K1", "K2"]), st.sampled_from(["", "red"]), st.sampled_from([None, 1.0, 2.0])
)


@st.composite
def named_once_or_more(draw):
    return [
        wire(line, source, load, link=link, colour=colour, length_m=length)
        for line, (source, load, link, colour, length) in enumerate(draw(st.lists(ROW, max_size=14)), 2)
    ]


def joined(row):
    return tuple(sorted((row.source, row.load)))


@given(named_once_or_more())
def test_no_row_is_lost_or_used_twice(rows):
    pairing = pair_ends(rows)
    pairs = len(pairing.rows) - len(pairing.one_ended)
    assert 2 * pairs + len(pairing.one_ended) == len(rows)
    assert len(set(lines(pairing.rows))) == len(pairing.rows)
    assert set(lines(pairing.one_ended)) <= set(lines(pairing.rows)) <= set(lines(rows))
    assert lines(pairing.rows) == sorted(lines(pairing.rows))


@given(named_once_or_more())
def test_wires_without_codes_pair_as_often_as_they_can(rows):
    rows = [row._replace(link="") for row in rows]
    ways = Counter((row.source, row.load) for row in rows)
    both = sum(number // 2 if a == b else min(number, ways[(b, a)]) / 2 for (a, b), number in ways.items())
    pairing = pair_ends(rows)
    assert len(pairing.rows) - len(pairing.one_ended) == both


@given(st.lists(ROW, max_size=10))
def test_a_list_and_its_mirror_pair_completely(named):
    rows = [
        wire(line, source, load, link=f"{link}{line}" if link else "", colour=colour, length_m=length)
        for line, (source, load, link, colour, length) in enumerate(named, 2)
    ]
    mirror = [row.turned()._replace(line=row.line + 100) for row in rows]
    pairing = pair_ends(rows + mirror)
    assert not pairing.tells
    assert Counter(map(joined, pairing.rows)) == Counter(map(joined, rows))
    if all(row.link for row in rows):
        assert [row[1:] for row in pairing.rows] == [row[1:] for row in rows]


def test_a_list_from_both_ends_read_twice_changes_nothing():
    data = text_list(
        ["A", "1", "B", "1"], ["B", "1", "A", "1"], ["B", "1", "A", "1"], ["A", "1", "B", "1"], ["A", "2", "C", "1"]
    )
    known = known_after(planned(data, both_ends=True))
    assert sorted(known.links) == ["A:1 > B:1", "A:2 > C:1", "B:1 > A:1"]
    again = planned(data, known, both_ends=True)
    assert (again.unchanged, again.changes_nothing) == (3, True)


def test_the_direction_that_is_known_is_kept():
    known = known_after(
        planned(text_list(["K1", "A", "1", "B", "1"], ["", "A", "2", "B", "2"], headings=["link", *NEEDED]))
    )
    data = text_list(
        ["K1", "B", "1", "A", "1"], ["K1", "A", "1", "B", "1"], ["", "B", "2", "A", "2"], headings=["link", *NEEDED]
    )
    again = planned(data, known, both_ends=True)
    assert (again.unchanged, again.changes_nothing) == (2, True)
    assert [link.link for link in again.one_ended] == ["A:2 > B:2"]


def test_a_code_on_two_different_wires_is_refused():
    plan = planned(
        text_list(["K1", "A", "1", "B", "1"], ["K1", "B", "1", "C", "1"], headings=["link", *NEEDED]), both_ends=True
    )
    assert [(r.line, r.column) for r in plan.refused] == [(3, "link")]


def test_what_disagrees_is_given_to_programs_with_both_lines():
    headings = [*NEEDED, "length_m", "colour"]
    data = text_list(
        ["A", "1", "B", "1", "0.5", "red"],
        ["B", "1", "A", "1", "0.9", "blue"],
        ["C", "1", "A", "1", "", ""],
        headings=headings,
    )
    told = planned(data, KnownWiring(), both_ends=True).as_json()
    link = {"line": 2, "link": "A:1 > B:1", "from_slot": "A", "from_terminal": "1", "to_slot": "B", "to_terminal": "1"}
    assert told["rows"] == 3
    assert told["interconnects"] == 2
    assert told["length_disagrees"] == [{**link, "other_line": 3, "length_m": 0.5, "other_length_m": 0.9}]
    assert told["disagrees"] == [{**link, "other_line": 3, "colour": "red", "other_colour": "blue"}]
    assert told["one_ended"] == [
        {"line": 4, "link": "C:1 > A:1", "from_slot": "C", "from_terminal": "1", "to_slot": "A", "to_terminal": "1"}
    ]
