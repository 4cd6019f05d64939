"""A whole list of parts: read as people write it, put on the list wholly or not at all, each wrong line named."""

from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from restoration.logbook.models import Entry
from restoration.people.models import Person
from restoration.workshop.models import StoresLine
from restoration.workshop.services import ListedPart, PartGiven, bring_in_stores
from restoration.workshop.stores.reading import MOST_ROWS, read_list
from tests.counting import queries_in
from tests.reading import last_line, refused, words

LIST = """kind,value,tolerance,W,V,number,grade,make,place
R,4k7,5 %,½ W,,12,,Harbour HR,drawer A3

capacitor,0.1 µF,10,,350 V,3,Original,"Loft, mica",box 2
"""
PARTS = [
    ListedPart(2, PartGiven("resistor", 4700.0, 0.05, rating_w=0.5, quantity=12, make="Harbour HR", place="drawer A3")),
    ListedPart(
        4,
        PartGiven(
            "capacitor", 1e-7, 0.1, rating_v=350.0, quantity=3, grade="original", make="Loft, mica", place="box 2"
        ),
    ),
]
HEAD = "kind;value;tolerance;number\n"


@pytest.fixture
def keeper(storekeeper: Person, as_person: Any) -> Client:
    client: Client = as_person(storekeeper)
    return client


def send(client: Client, **sent: Any) -> Any:
    return client.post(reverse("workshop:stores-bring-in"), sent)


def test_a_list_is_read_as_people_write_it() -> None:
    assert read_list(LIST) == PARTS


@pytest.mark.parametrize("separator", [";", "\t"])
def test_semicolons_and_tabs_part_the_cells_too(separator: str) -> None:
    text = "Number;Kind;Value;Tolerance\r\n3;resistors;4,7 k;5\r\n".replace(";", separator)
    assert read_list(text) == [ListedPart(2, PartGiven("resistor", 4700.0, 0.05, quantity=3))]


REFUSED = [
    ("", "The list is empty; it starts with a row of headings."),
    (HEAD, "The list has headings and no parts below them."),
    ("kind,value,number\nR,1,1", "The first row has no heading tolerance; the headings are kind, value, tolerance, "
     "watts, volts, number, grade, make, place and remarks, of which kind, value, tolerance and number are needed."),
    ("kind,value,tolerance,number,shelf\n", "“shelf” is no heading of this list; the headings are kind, value,"),
    ("kind,value,tolerance,number,quantity\n", "The heading number stands there twice; the headings are"),
    (HEAD + "R;4k7;5;12;13", "Line 2 has more cells than there are headings"),
    (HEAD + 'R;"4k7;5;12', "Line 2: the double quotes of this row do not close; write it again."),
    (HEAD + "R;4k7;5;12\nR;lots;5;12", "Line 3, value: “lots” was given, and this is a resistance"),
    (HEAD + "R;4k7;;12", "Line 2, tolerance: Give the tolerance in per cent; 20 % is usual where none is marked."),
    (HEAD + "R;4k7;5;-1", "Line 2, number: There cannot be fewer than none; give 0 or more."),
    (HEAD + "valve;4k7;5;1", "Line 2, kind: Select a valid choice. valve is not one of the available choices."),
    (HEAD + "R;4k7;5;1\n" * (MOST_ROWS + 1), "The list has 1,001 lines; at most 1,000 are taken at once."),
]  # fmt: skip


@pytest.mark.parametrize(("text", "sentence"), REFUSED)
def test_a_list_that_cannot_be_taken_is_refused(text: str, sentence: str) -> None:
    assert sentence in refused(read_list, text)


def test_every_wrong_line_is_named() -> None:
    with pytest.raises(ValidationError) as refusal:
        read_list(HEAD + "R;lots;5;12\nR;4k7;5;12\nC;100p;x;-1")
    assert [message.split(":")[0] for message in refusal.value.messages] == [
        "Line 2, value",
        "Line 4, tolerance",
        "Line 4, number",
    ]


@given(st.text(max_size=60))
def test_any_text_below_the_headings_is_taken_or_refused_in_sentences(text: str) -> None:
    try:
        found = read_list(HEAD + text)
    except ValidationError as refusal:
        found = refusal.messages
    assert all(isinstance(part, ListedPart) or str(part).endswith((".", "?")) for part in found)
    assert found


def test_a_pasted_list_is_stored_with_one_line(keeper: Client) -> None:
    answer = send(keeper, text=LIST)
    assert (answer.status_code, answer["Location"]) == (302, reverse("workshop:stores"))
    stored = StoresLine.objects.order_by("-kind")
    assert [{name: getattr(row, name) for name in vars(PARTS[0].part)} for row in stored] == [
        vars(listed.part) for listed in PARTS
    ]
    assert last_line().sentence == "Nell Farrow brought a list into the stores: 15 parts on 2 lines."
    assert Entry.objects.count() == 1
    assert "2 lines are on the list of the stores." in words(keeper.get(answer["Location"]))


def test_a_file_is_taken_too(keeper: Client) -> None:
    assert send(keeper, file=SimpleUploadedFile("stores.csv", LIST.encode("utf-8-sig"))).status_code == 302
    assert StoresLine.objects.count() == 2


WRONG = [
    ({}, "Paste the list, or choose a file."),
    ({"text": LIST, "file": SimpleUploadedFile("stores.csv", b"kind")}, "Paste the list or choose a file, not both."),
    ({"file": SimpleUploadedFile("stores.csv", b"\xff\xfe\xb5")},
     "The file is not text in UTF-8; save the list as UTF-8 and bring it again."),
    ({"file": SimpleUploadedFile("stores.csv", b"x" * 500_001)},
     "The file has 500,001 bytes; a list may have at most 500,000."),
    ({"text": HEAD + "R;4k7;5;1\nR;0;5;1"}, "Line 3: 0 was given; the value of a part is above zero and finite."),
    ({"text": HEAD + "R;4k7;5;1\nR;4k7;100;1"}, "Line 3: 100 % was given; the tolerance of a part is below 100 %."),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "sentence"), WRONG)
def test_a_wrong_list_is_refused_and_nothing_half_saved(keeper: Client, sent: dict[str, Any], sentence: str) -> None:
    answer = send(keeper, **sent)
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not StoresLine.objects.exists()
    assert not Entry.objects.exists()


def test_a_tester_brings_in_nothing(tester: Person, as_person: Any) -> None:
    assert send(as_person(tester), text=LIST).status_code == 403


def test_a_long_list_asks_no_more_than_a_short_one(db: None) -> None:
    def queries_with(count: int) -> int:
        return queries_in(lambda: bring_in_stores(parts=PARTS[:1] * count, by=None))

    assert queries_with(2) == queries_with(40)
