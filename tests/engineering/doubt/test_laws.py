"""Laws that hold for every machine, every change and every book of rules."""

from dataclasses import replace

from hypothesis import given, note
from hypothesis import strategies as st

from restoration.engineering.doubt import DEFAULT_RULES, DoubtFound, Kind, RuleBook, Share, doubts
from tests.engineering.doubt.drawn import Drawing, DrawnAround
from tests.engineering.doubt.machines import EVERYTHING, books, changes, machines

DEFAULTS = RuleBook(DEFAULT_RULES)
Said = set[tuple[int, str, str, frozenset[str]]]


def found(drawing: Drawing, change: tuple[Kind, dict[str, object]], book: RuleBook) -> tuple[DoubtFound, ...]:
    """What a change of a drawn machine puts in doubt."""
    around = DrawnAround(drawing)
    note(str((drawing, change)))
    return doubts(around.subject(change[0], **change[1]), book, around)


def asked(all_found: tuple[DoubtFound, ...]) -> Said:
    """What is asked for, without the ways to it."""
    return {(one.rule, one.item.kind, one.item.code, one.gates) for one in all_found if one.is_asked}


@given(st.data())
def test_a_sample_asks_for_nothing_that_the_whole_does_not(data):
    drawing = data.draw(machines())
    change, book = data.draw(changes(drawing)), data.draw(books)
    assert asked(found(drawing, change, book)) <= asked(found(drawing, change, EVERYTHING))


@given(st.data())
def test_a_barrier_more_never_means_more_doubts(data):
    drawing = data.draw(machines())
    change = data.draw(changes(drawing))
    harder = drawing.with_barriers(*data.draw(st.lists(st.sampled_from(sorted(drawing.designs)), unique=True)))
    assert asked(found(harder, change, EVERYTHING)) <= asked(found(drawing, change, EVERYTHING))


@given(st.data())
def test_where_everything_is_asked_for_a_wire_more_never_means_fewer_doubts(data):
    drawing = data.draw(machines())
    change = data.draw(changes(drawing))
    kept = [wire for wire in drawing.wires if wire.code == change[1].get("link") or data.draw(st.booleans())]
    fewer = replace(drawing, wires=tuple(kept))
    assert asked(found(fewer, change, EVERYTHING)) <= asked(found(drawing, change, EVERYTHING))


@given(st.data())
def test_each_thing_comes_once_for_each_rule_and_every_line_says_how_and_why(data):
    drawing = data.draw(machines())
    change, book = data.draw(changes(drawing)), data.draw(books)
    every = found(drawing, change, book)
    keys = [(one.rule, one.item, one.record) for one in every]
    assert len(keys) == len(set(keys))
    for one in every:
        assert one.item.code in one.path
        assert one.gates <= book.by_number[one.rule].gates
        assert bool(one.why_not) is not one.is_asked
        assert one.is_asked or f"one in {book.by_number[one.rule].one_in}" in one.why_not


@given(st.data())
def test_asked_and_passed_over_together_are_all_that_the_rule_reaches(data):
    drawing = data.draw(machines())
    change, book = data.draw(changes(drawing)), data.draw(books)
    critical = {wire.code for wire in drawing.wires if wire.is_critical}
    whole = found(drawing, change, EVERYTHING)
    sampled = found(drawing, change, book)
    for rule in book.for_kind(change[0]):
        reached = {one.item.code for one in whole if one.rule == rule.number}
        if rule.leads_to == ("interconnect",):
            expected = reached & critical if rule.share in (Share.CRITICAL, Share.CRITICAL_SAMPLE) else reached
            assert {one.item.code for one in sampled if one.rule == rule.number} == expected


@given(st.data())
def test_a_sample_takes_one_in_so_many_of_each_rack_and_never_none(data):
    drawing = data.draw(machines())
    one_in = data.draw(st.integers(1, 4))
    earth = DEFAULTS.by_number[28]
    book = RuleBook([replace(earth, one_in=one_in)])
    every = found(drawing, (Kind.EARTH, {"racks": ("A", "B", "C")}), book)
    for rack in drawing.racks:
        here = [one for one in every if one.path.startswith(f"rack {rack} ")]
        assert sum(one.is_asked for one in here) == -(-len(here) // one_in)


@given(st.data())
def test_the_same_change_finds_the_same_however_the_machine_was_written_down(data):
    drawing = data.draw(machines())
    change = data.draw(changes(drawing))
    mixed = replace(drawing, wires=tuple(data.draw(st.permutations(drawing.wires))))
    book = DEFAULTS
    assert asked(found(mixed, change, book)) == asked(found(drawing, change, book))


@given(machines())
def test_a_drawing_that_only_follows_what_is_built_puts_nothing_in_doubt(drawing):
    drawing = replace(drawing, issues={"KS-A-01": ("A", "B", "C")})
    assert found(drawing, (Kind.DRAWING_AS_BUILT, {"issue": "KS-A-01/C"}), EVERYTHING) == ()
