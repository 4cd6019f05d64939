"""Lists are narrowed by an address, and the same address narrows the file."""

from types import SimpleNamespace
from typing import Any

import pytest
from django.urls import reverse

from restoration.machine.services import answer_query, raise_query
from restoration.people.models import Person
from tests.factories import make_chassis, make_design, make_link, make_slot


@pytest.fixture
def wires(piece: SimpleNamespace) -> None:
    make_link("A-01:9", "C-04:9", code="301", signal="clock", colour="White", loom="3", is_critical=True)


def found(client: Any, name: str, **query: str) -> list[str]:
    response = client.get(reverse(name), query)
    assert response.status_code == 200
    return [
        str(getattr(row, "code", None) or getattr(row, "serial", None) or row) for row in response.context["page_obj"]
    ]


@pytest.mark.usefixtures("wires")
@pytest.mark.parametrize(
    ("query", "codes"),
    [
        ({}, ["214", "215", "216", "301"]),
        ({"text": "30"}, ["301"]),
        ({"text": "a-01"}, ["301"]),
        ({"text": "digit"}, ["214", "215", "216"]),
        ({"text": "4"}, ["214", "216", "301"]),
        ({"signal": "clock"}, ["301"]),
        ({"signal": "clo"}, []),
        ({"rack": "D"}, ["216"]),
        ({"loom": "12"}, ["214", "215", "216"]),
        ({"colour": "white"}, ["301"]),
        ({"critical": "yes"}, ["301"]),
        ({"critical": "no"}, ["214", "215", "216"]),
        ({"rack": "no such rack"}, []),
        ({"critical": "perhaps"}, []),
        ({"colour": "green", "rack": "C"}, ["214", "215"]),
    ],
)
def test_the_wire_list_is_narrowed(query: dict[str, str], codes: list[str], tester: Person, as_person: Any) -> None:
    assert found(as_person(tester), "machine:interconnect-list", **query) == codes


@pytest.mark.parametrize(
    ("query", "codes"),
    [
        ({"rack": "C"}, ["C-06", "C-04"]),
        ({"design": "KS-204"}, ["C-04"]),
        ({"empty": "yes", "rack": "C"}, ["C-06"]),
        ({"empty": "no"}, ["C-04"]),
        ({"text": "generator"}, ["C-04"]),
    ],
)
def test_slots_are_narrowed(
    query: dict, codes: list[str], piece: SimpleNamespace, tester: Person, as_person: Any
) -> None:
    assert found(as_person(tester), "machine:slot-list", **query) == codes


def test_chassis_are_narrowed(piece: SimpleNamespace, builder: Person, tester: Person, as_person: Any) -> None:
    make_chassis("SR-14", design=make_design("KS-207"), remarks="needs a new lid")
    client = as_person(tester)
    assert found(client, "machine:chassis-list", fitted="yes") == ["CG-03"]
    assert found(client, "machine:chassis-list", fitted="no") == ["SR-14"]
    assert found(client, "machine:chassis-list", builder=str(builder.pk)) == ["CG-03"]
    assert found(client, "machine:chassis-list", design="KS-207") == ["SR-14"]
    assert found(client, "machine:chassis-list", text="lid") == ["CG-03", "SR-14"]


def test_designs_signals_and_queries_are_narrowed(
    piece: SimpleNamespace, drawings_keeper: Person, tester: Person, as_person: Any
) -> None:
    make_design("KS-207")
    client = as_person(tester)
    assert len(found(client, "machine:design-list", text="207")) == 1
    assert found(client, "machine:signal-list", text="DIGIT") == ["digit pulse"]
    first = raise_query(question="Which end is the source?", by=tester)
    second = raise_query(question="Which wire?", by=tester, subject_kind="slot", subject_code="C-04")
    answer_query(query=first, answer="The left one.", by=drawings_keeper)
    assert found(client, "machine:query-list", open="yes") == [str(second)]
    assert found(client, "machine:query-list", open="no") == [str(first)]
    assert found(client, "machine:query-list", text="left one") == [str(first)]


def test_a_list_comes_in_parts_with_its_total(piece: SimpleNamespace, tester: Person, as_person: Any) -> None:
    for number in range(60):
        make_slot(f"E-{number:02}")
    client = as_person(tester)
    page = client.get(reverse("machine:slot-list"), {"rack": "E", "page": "2"}).content.decode()
    assert "51 to 60 of 60 slots." in page
    assert "rack=E&amp;page=1" in page
    assert (
        "51 to 60 of 60 slots."
        in client.get(reverse("machine:slot-list"), {"rack": "E", "page": "99"}).content.decode()
    )


@pytest.mark.parametrize(
    "name",
    [
        "machine:slot-list",
        "machine:design-list",
        "machine:chassis-list",
        "machine:signal-list",
        "machine:interconnect-list",
        "machine:query-list",
    ],
)
def test_htmx_gets_the_rows_alone_and_the_whole_page_when_going_back(
    name: str, piece: SimpleNamespace, tester: Person, as_person: Any
) -> None:
    client = as_person(tester)
    whole = client.get(reverse(name))
    part = client.get(reverse(name), headers={"HX-Request": "true"})
    back = client.get(reverse(name), headers={"HX-Request": "true", "HX-History-Restore-Request": "true"})
    assert "<!doctype html>" in whole.content.decode()
    assert "<!doctype html>" in back.content.decode()
    assert "<html" not in part.content.decode()
    assert 'class="paging"' in part.content.decode()
    assert all("HX-Request" in answer["Vary"] for answer in (whole, part, back))
