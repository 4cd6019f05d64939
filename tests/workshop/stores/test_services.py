"""Parts put on the list, written anew, taken and put back: each with its line in the log book, or not at all."""

import math
from dataclasses import replace
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from restoration.common.versions import EditedMeanwhile
from restoration.logbook.models import Entry
from restoration.people.models import Person
from restoration.workshop.models import Grade, PartKind, StoresLine
from restoration.workshop.services import (
    PartGiven,
    add_to_stores,
    edit_stores_line,
    put_into_stores,
    take_from_stores,
)
from tests.reading import last_line, refused

RESISTOR = PartGiven(
    PartKind.RESISTOR, 4700.0, 0.05, rating_w=0.5, rating_v=350.0, quantity=12, make="Harbour HR", place="drawer A3"
)


@pytest.fixture
def line(storekeeper: Person) -> StoresLine:
    return add_to_stores(part=RESISTOR, by=storekeeper)


def test_parts_are_put_on_the_list_with_a_line(line: StoresLine) -> None:
    assert {name: getattr(line, name) for name in vars(RESISTOR)} == vars(RESISTOR)
    assert last_line().sentence == (
        "Nell Farrow put 12 × 4.7 kΩ resistor, 5 %, 0.5 W, 350 V, period spare on the list of the stores, in drawer A3."
    )
    assert list(Entry.objects.about("stores line", str(line.pk))) == [last_line()]


def test_what_stood_there_before_is_kept_in_the_line(line: StoresLine, storekeeper: Person) -> None:
    edit_stores_line(line=line, version=1, part=replace(RESISTOR, quantity=9, place="drawer B1"), by=storekeeper)
    assert StoresLine.objects.get().quantity == 9
    assert last_line().details == {"changed": {"place": ["drawer A3", "drawer B1"], "quantity": [12, 9]}}
    assert last_line().sentence == (
        "Nell Farrow wrote anew what the stores hold: 9 × 4.7 kΩ resistor, 5 %, 0.5 W, 350 V, period spare."
    )


def test_the_second_of_two_writers_is_told(line: StoresLine, storekeeper: Person, site_lead: Person) -> None:
    edit_stores_line(line=line, version=1, part=replace(RESISTOR, quantity=9), by=storekeeper)
    with pytest.raises(EditedMeanwhile):
        edit_stores_line(line=line, version=1, part=replace(RESISTOR, quantity=5), by=site_lead)
    assert StoresLine.objects.get().quantity == 9
    assert Entry.objects.count() == 2


def test_parts_taken_while_somebody_writes_the_line_anew_are_not_put_back(
    line: StoresLine, storekeeper: Person, tester: Person
) -> None:
    take_from_stores(line=line, count=2, by=tester, why="link 214")
    with pytest.raises(EditedMeanwhile):
        edit_stores_line(line=line, version=1, part=replace(RESISTOR, place="drawer B1"), by=storekeeper)
    assert StoresLine.objects.get().quantity == 10


def test_taking_and_putting_back_move_the_number(line: StoresLine, tester: Person) -> None:
    taken = take_from_stores(line=line, count=2, by=tester, why="shunt on link 214.")
    assert (taken.quantity, taken.version) == (10, 2)
    assert last_line().sentence == (
        "Tomasz Wilk took 2 × 4.7 kΩ resistor, 5 %, 0.5 W, 350 V from the stores: shunt on link 214."
    )
    assert last_line().details == {"before": 12, "now": 10}
    assert put_into_stores(line=line, count=1, by=tester, why="").quantity == 11
    assert last_line().sentence == "Tomasz Wilk put 1 × 4.7 kΩ resistor, 5 %, 0.5 W, 350 V into the stores."


def test_the_last_part_can_be_taken_and_no_more(line: StoresLine, tester: Person) -> None:
    said = refused(take_from_stores, line=line, count=13, by=tester, why="link 214")
    assert said == (
        "13 × 4.7 kΩ resistor, 5 %, 0.5 W, 350 V were asked for, and the stores hold 12; "
        "take what is there, or choose another part."
    )
    assert take_from_stores(line=line, count=12, by=tester, why="link 214").quantity == 0
    said = refused(take_from_stores, line=line, count=1, by=tester, why="link 214")
    assert "1 × 4.7 kΩ resistor, 5 %, 0.5 W, 350 V was asked for, and the stores hold none" in said
    assert (StoresLine.objects.get().quantity, Entry.objects.count()) == (0, 2)


@pytest.mark.parametrize("act", [take_from_stores, put_into_stores])
def test_parts_move_by_whole_numbers(act: Any, line: StoresLine, tester: Person) -> None:
    said = refused(act, line=line, count=0, by=tester, why="link 214")
    assert said == "Parts are taken and put back by whole numbers from 1 on; 0 was given."


def test_a_line_is_not_filled_beyond_belief(line: StoresLine, tester: Person) -> None:
    said = refused(put_into_stores, line=line, count=999_989, by=tester, why="a gift")
    assert said == "With 999989 more there would be over 1,000,000 parts on this line; check the number."


def test_a_line_that_is_gone_is_told(line: StoresLine, tester: Person) -> None:
    StoresLine.objects.all().delete()
    said = refused(take_from_stores, line=line, count=1, by=tester, why="link 214")
    assert said == "This line is not on the list of the stores any more."


def test_two_who_take_the_last_part_at_once(transactional_db: None, in_threads: Any) -> None:
    line = add_to_stores(part=replace(RESISTOR, quantity=1), by=None)
    found = in_threads(*[lambda: take_from_stores(line=line, count=1, by=None, why="link 214")] * 2)
    assert sorted(type(one).__name__ for one in found) == ["StoresLine", "ValidationError"]
    assert in_threads(lambda: (StoresLine.objects.get().quantity, Entry.objects.count())) == [(0, 2)]


def test_an_act_of_the_command_line_says_so(db: None) -> None:
    add_to_stores(part=RESISTOR, by=None)
    assert last_line().sentence.startswith("The command line put 12 × 4.7 kΩ")


WRONG = [
    ({"value": 0.0}, "0 was given; the value of a part is above zero and finite."),
    ({"value": 1e-4}, "100 µΩ was given; the stores list resistors from 1 mΩ on."),
    ({"kind": "capacitor", "value": 1e-15}, "1 fF was given; the stores list capacitors from 10 fF on."),
    ({"value": math.nan}, "nan was given; the value of a part is above zero and finite."),
    ({"tolerance": -0.05}, "-0.05 was given; the tolerance of a part is above zero and finite."),
    ({"tolerance": 1.0}, "100 % was given; the tolerance of a part is below 100 %."),
    ({"rating_w": 0.0}, "0 was given; the rating in watts of a part is above zero and finite."),
    ({"rating_v": math.inf}, "inf was given; the rating in volts of a part is above zero and finite."),
    ({"quantity": -1}, "-1 was given; the number of parts is from 0 to 1,000,000."),
    ({"quantity": 1_000_001}, "1000001 was given; the number of parts is from 0 to 1,000,000."),
    ({"kind": "valve"}, "Value 'valve' is not a valid choice."),
]


@pytest.mark.parametrize(("facts", "sentence"), WRONG)
def test_nonsense_is_refused_and_nothing_half_saved(facts: dict[str, Any], sentence: str, line: StoresLine) -> None:
    assert refused(add_to_stores, part=replace(RESISTOR, **facts), by=None) == sentence
    assert refused(edit_stores_line, line=line, version=1, part=replace(RESISTOR, **facts), by=None) == sentence
    assert StoresLine.objects.count() == Entry.objects.count() == 1
    assert {name: getattr(StoresLine.objects.get(), name) for name in vars(RESISTOR)} == vars(RESISTOR)


CONSTRAINTS = [
    ("value", 1e-15, 0.0, "The value of a part is above zero."),
    ("tolerance", 0.999, 1.0, "A tolerance lies between nothing and the whole value."),
    ("tolerance", 1e-6, 0.0, "A tolerance lies between nothing and the whole value."),
    ("rating_w", None, 0.0, "A rating in watts is above zero, or left out."),
    ("rating_v", 1e-3, -1.0, "A rating in volts is above zero, or left out."),
]


@pytest.mark.parametrize(("name", "allowed", "refused_value", "sentence"), CONSTRAINTS)
def test_the_database_refuses_what_no_part_can_be(
    db: None, name: str, allowed: float | None, refused_value: float, sentence: str
) -> None:
    facts = {**vars(RESISTOR), "grade": Grade.ORIGINAL}
    StoresLine(**{**facts, name: allowed}).full_clean()
    StoresLine.objects.create(**{**facts, name: allowed})
    wrong = StoresLine(**{**facts, name: refused_value})
    with pytest.raises(ValidationError, match=sentence):
        wrong.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        wrong.save()


def test_to_hand_and_of_kind_answer_the_bench(db: None) -> None:
    add_to_stores(part=replace(RESISTOR, quantity=0), by=None)
    larger = add_to_stores(part=replace(RESISTOR, value=10e3), by=None)
    smaller = add_to_stores(part=replace(RESISTOR, value=47.0), by=None)
    capacitor = add_to_stores(part=replace(RESISTOR, kind=PartKind.CAPACITOR, value=1e-10), by=None)
    assert list(StoresLine.objects.to_hand().of_kind(PartKind.RESISTOR)) == [smaller, larger]
    assert list(StoresLine.objects.to_hand().of_kind(PartKind.CAPACITOR)) == [capacitor]
