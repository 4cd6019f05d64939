"""The pages of the stores: the list narrowed, each line, and what is filled in."""

from dataclasses import replace
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from restoration.logbook.models import Entry
from restoration.people.models import Person
from restoration.workshop.models import Grade, PartKind, StoresLine
from restoration.workshop.services import PartGiven, add_to_stores, edit_stores_line, take_from_stores
from tests.counting import queries_of
from tests.reading import last_line, words

RESISTOR = PartGiven(PartKind.RESISTOR, 4700.0, 0.05, rating_w=0.5, quantity=12, make="Harbour HR", place="drawer A3")
CAPACITOR = PartGiven(
    PartKind.CAPACITOR, 1e-10, 0.1, rating_v=500.0, grade=Grade.MODERN, make="Loft ceramic", place="box 2"
)
SENT = {
    "kind": "resistor",
    "value": "4k7",
    "tolerance": "5 %",
    "rating_w": "½ W",
    "rating_v": "",
    "quantity": "12",
    "grade": "period spare",
    "make": "Harbour HR",
    "place": "drawer A3",
    "remarks": "",
}
CAUTION = "They may hold asbestos, PCB oil, cadmium, beryllia, mercury or a radioactive source."


def page(name: str, *args: Any) -> str:
    return reverse(f"workshop:{name}", args=args)


@pytest.fixture
def keeper(storekeeper: Person, as_person: Any) -> Client:
    client: Client = as_person(storekeeper)
    return client


@pytest.fixture
def lines(storekeeper: Person) -> list[StoresLine]:
    """Three resistors and a capacitor that is used up."""
    parts = [RESISTOR, replace(RESISTOR, value=10e3, grade=Grade.ORIGINAL), replace(RESISTOR, value=47.0), CAPACITOR]
    return [add_to_stores(part=part, by=storekeeper) for part in parts]


def test_an_empty_list_says_so(keeper: Client) -> None:
    said = words(keeper.get(page("stores")))
    assert "Nothing is written down of what the stores hold." in said
    assert "then proposals for a link are made of parts that are there." in said


def test_the_list_says_what_is_there_the_smallest_first(keeper: Client, lines: list[StoresLine]) -> None:
    said = words(keeper.get(page("stores")))
    assert "36 parts on 4 lines; 1 line is used up." in said
    assert "47 Ω resistor ± 5 %, 0.5 W 12 period spare Harbour HR, drawer A3" in said
    assert "100 pF capacitor ± 10 %, 500 V none modern substitute Loft ceramic, box 2" in said
    assert said.index("47 Ω") < said.index("4.7 kΩ") < said.index("10 kΩ") < said.index("100 pF")
    assert CAUTION in said


NARROWED = [
    ("kind=resistor", ["47 Ω", "4.7 kΩ", "10 kΩ"]),
    ("kind=resistor&least=4k7&most=9k1", ["4.7 kΩ"]),
    ("kind=resistor&least=4k7", ["4.7 kΩ", "10 kΩ"]),
    ("kind=resistor&most=4,7 k", ["47 Ω", "4.7 kΩ"]),
    ("kind=capacitor&least=100&most=0.1 nF", ["100 pF"]),
    ("grade=original", ["10 kΩ"]),
    ("to_hand=no", ["100 pF"]),
    ("to_hand=yes", ["47 Ω", "4.7 kΩ", "10 kΩ"]),
    ("text=box", ["100 pF"]),
    ("text=harbour&grade=original", ["10 kΩ"]),
]


@pytest.mark.parametrize(("query", "values"), NARROWED)
def test_the_list_is_narrowed(keeper: Client, lines: list[StoresLine], query: str, values: list[str]) -> None:
    said = words(keeper.get(f"{page('stores')}?{query}"))
    found = [value for value in ("47 Ω", "4.7 kΩ", "10 kΩ", "100 pF") if f" {value} " in said]
    assert found == values


REFUSED = [
    ("least=100", "Choose resistors or capacitors first: “100” is a value of either."),
    ("kind=resistor&least=little", "“little” was given, and this is a resistance: 0.4, 1k5 or 22M, say."),
    ("kind=resistor&least=10k&most=1k", "The greatest value is below the least; change one of them."),
]


@pytest.mark.parametrize(("query", "sentence"), REFUSED)
@pytest.mark.parametrize("headers", [{}, {"HX-Request": "true"}])
def test_a_range_that_means_nothing_finds_nothing_and_says_why(
    keeper: Client, lines: list[StoresLine], query: str, sentence: str, headers: dict[str, str]
) -> None:
    answer = keeper.get(f"{page('stores')}?{query}", headers=headers)
    assert answer.status_code == 200
    assert sentence in words(answer)
    assert "4.7 kΩ resistor" not in words(answer)


def test_a_list_narrowed_to_nothing_says_so(keeper: Client, lines: list[StoresLine]) -> None:
    assert "No line of the stores is found." in words(keeper.get(f"{page('stores')}?text=lighthouse"))


def test_htmx_is_given_the_rows_and_a_history_restore_the_page(keeper: Client, lines: list[StoresLine]) -> None:
    part = keeper.get(page("stores"), headers={"HX-Request": "true"})
    assert "4.7 kΩ resistor" in words(part)
    assert "<h1" not in part.content.decode()
    assert part["Vary"].count("HX-Request") == 1
    restore = {"HX-Request": "true", "HX-History-Restore-Request": "true"}
    assert "<h1" in keeper.get(page("stores"), headers=restore).content.decode()


def test_a_line_tells_what_was_done_with_it(keeper: Client, lines: list[StoresLine], tester: Person) -> None:
    take_from_stores(line=lines[0], count=2, by=tester, why="link 214")
    said = words(keeper.get(page("stores-line", lines[0].pk)))
    assert "10 are there, in drawer A3." in said
    assert "Tomasz Wilk took 2 × 4.7 kΩ resistor, 5 %, 0.5 W from the stores: link 214." in said
    assert "Rating 0.5 W" in said
    assert CAUTION in said
    assert "None is left in box 2." in words(keeper.get(page("stores-line", lines[3].pk)))


def test_parts_are_put_on_the_list_as_they_are_written(keeper: Client) -> None:
    answer = keeper.post(page("stores-add"), SENT)
    line = StoresLine.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, line.get_absolute_url())
    assert {name: getattr(line, name) for name in vars(RESISTOR)} == vars(RESISTOR)
    form = keeper.get(page("stores-edit", line.pk)).content.decode()
    assert 'value="4.7 kΩ"' in form
    assert 'name="tolerance" value="5"' in form
    assert 'name="rating_w" value="0.5"' in form


WRONG = [
    ({"value": ""}, "Give the value of the part, such as 4k7 or 100p."),
    ({"value": "lots"}, "“lots” was given, and this is a resistance: 0.4, 1k5 or 22M, say."),
    ({"value": "0"}, "0 was given; the value of a part is above zero and finite."),
    ({"value": "-4k7"}, "was given, and this is a resistance"),
    ({"tolerance": ""}, "Give the tolerance in per cent; 20 % is usual where none is marked."),
    ({"tolerance": "100"}, "100 % was given; the tolerance of a part is below 100 %."),
    ({"rating_w": "0"}, "0 was given; the rating in watts of a part is above zero and finite."),
    ({"rating_w": "a half"}, "“a half” was given, and this is a power"),
    ({"quantity": "-1"}, "There cannot be fewer than none; give 0 or more."),
    ({"quantity": "1.5"}, "Parts are counted in whole numbers."),
    ({"quantity": "1000001"}, "That is more than 1,000,000; check the number."),
    ({"quantity": ""}, "Say how many there are; 0 if there are none left."),
    ({"kind": "spoon"}, "spoon is not one of the available choices."),
]


@pytest.mark.parametrize(("wrong", "sentence"), WRONG)
def test_what_cannot_be_is_refused_and_nothing_stored(keeper: Client, wrong: dict[str, str], sentence: str) -> None:
    answer = keeper.post(page("stores-add"), {**SENT, **wrong})
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not StoresLine.objects.exists()
    assert not Entry.objects.exists()


def test_the_same_sending_twice_is_stored_once(keeper: Client) -> None:
    form = keeper.get(page("stores-add")).context["form"]
    sent = {**SENT, "form_token": str(form["form_token"].value())}
    first, second = keeper.post(page("stores-add"), sent), keeper.post(page("stores-add"), sent)
    assert first["Location"] == second["Location"]
    assert StoresLine.objects.count() == 1


def test_both_texts_are_shown_and_sending_again_is_a_decision(
    keeper: Client, lines: list[StoresLine], site_lead: Person
) -> None:
    address = page("stores-edit", lines[0].pk)
    edit_stores_line(line=lines[0], version=1, part=replace(RESISTOR, place="box 9"), by=site_lead)
    sent = {**SENT, "value": "4.7 kΩ", "tolerance": "5", "rating_w": "0.5", "version": 1, "quantity": "11"}
    late = keeper.post(address, sent)
    assert late.status_code == 409
    assert [(row.label, row.text) for row in late.context["theirs"]] == [("How many", "12"), ("Place", "box 9")]
    said = late.content.decode()
    assert 'name="version" value="2"' in said
    assert 'name="quantity" value="11"' in said
    assert StoresLine.objects.get(pk=lines[0].pk).quantity == 12
    assert keeper.post(address, {**sent, "version": 2}).status_code == 302
    assert StoresLine.objects.get(pk=lines[0].pk).quantity == 11


def test_parts_are_taken_out_and_put_in_by_hand(keeper: Client, lines: list[StoresLine]) -> None:
    address = page("stores-move", lines[0].pk)
    assert "12 are there, in drawer A3." in words(keeper.get(address))
    answer = keeper.post(address, {"way": "take", "count": "5", "why": "kit for SR-14"})
    assert (answer.status_code, answer["Location"]) == (302, lines[0].get_absolute_url())
    assert last_line().sentence.endswith("took 5 × 4.7 kΩ resistor, 5 %, 0.5 W from the stores: kit for SR-14.")
    keeper.post(address, {"way": "put", "count": "1", "why": "one came back"})
    assert StoresLine.objects.get(pk=lines[0].pk).quantity == 8


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"count": "13"}, "13 × 4.7 kΩ resistor, 5 %, 0.5 W were asked for, and the stores hold 12"),
        ({"count": "0"}, "Take or put in at least one."),
        ({"why": ""}, "Say in a few words what for."),
        ({"count": ""}, "Say how many."),
    ],
)
def test_more_than_there_are_cannot_be_taken(
    keeper: Client, lines: list[StoresLine], sent: dict[str, str], sentence: str
) -> None:
    answer = keeper.post(page("stores-move", lines[0].pk), {"way": "take", "count": "1", "why": "kit", **sent})
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert StoresLine.objects.get(pk=lines[0].pk).quantity == 12


def test_who_reads_the_stores_and_who_keeps_them(lines: list[StoresLine], tester: Person, as_person: Any) -> None:
    client, line = as_person(tester), lines[0]
    for name, args in (("stores", ()), ("stores-line", (line.pk,))):
        said = client.get(page(name, *args)).content.decode()
        assert page("stores-add") not in said
        assert page("stores-edit", line.pk) not in said
        assert page("stores-move", line.pk) not in said
        assert Client().get(page(name, *args)).status_code == 302
    for name, args in (("stores-add", ()), ("stores-edit", (line.pk,)), ("stores-move", (line.pk,))):
        assert client.get(page(name, *args)).status_code == 403
        assert client.post(page(name, *args), SENT).status_code == 403
    assert as_person(tester).get(page("stores-line", 999)).status_code == 404


def test_the_list_asks_no_more_for_many_lines_than_for_few(keeper: Client) -> None:
    def queries_with(count: int) -> int:
        StoresLine.objects.bulk_create(StoresLine(**vars(RESISTOR)) for _ in range(count))
        return queries_of(keeper, page("stores"))

    assert queries_with(2) == queries_with(80)


def test_a_line_asks_no_more_with_a_long_story(keeper: Client, lines: list[StoresLine], tester: Person) -> None:
    address = page("stores-line", lines[0].pk)
    few = queries_of(keeper, address)
    for _ in range(11):
        take_from_stores(line=lines[0], count=1, by=tester, why="kit")
    assert queries_of(keeper, address) == few
