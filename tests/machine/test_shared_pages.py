"""Rails and earths: listed, added, edited with what hangs on them, refused in sentences, and never without caution."""

import uuid
from types import SimpleNamespace
from typing import Any

import pytest
from django.urls import reverse

from restoration.logbook.models import Entry
from restoration.machine.models import Earth, Rack, Rail, Slot
from restoration.machine.services import add_earth, add_rail
from restoration.people.models import Person
from tests.counting import queries_of
from tests.factories import make_rack, make_slot
from tests.reading import last_line, words

CAUTION = "HT and mains kill."


@pytest.fixture
def lead(site_lead: Person, as_person: Any) -> Any:
    return as_person(site_lead)


@pytest.fixture
def rail(piece: SimpleNamespace, site_lead: Person) -> Rail:
    return add_rail(code="HT-2", kind="HT", function="+120 V", slots=[piece.slot], by=site_lead)


@pytest.fixture
def earth(piece: SimpleNamespace, site_lead: Person) -> Earth:
    return add_earth(code="E/1", function="north bar", racks=Rack.objects.filter(code="C"), by=site_lead)


def pk(code: str) -> int:
    return int(Slot.objects.get(code=code).pk)


def test_a_rail_is_added_with_its_slots(piece: SimpleNamespace, lead: Any) -> None:
    sent = {"code": "HT-2", "kind": "HT", "function": "+120 V", "slots": [pk("C-04"), pk("C-06")]}
    answer = lead.post(reverse("machine:rail-add"), sent)
    assert (answer.status_code, answer["Location"]) == (302, "/machine/rails/of/HT-2/")
    assert [slot.code for slot in Rail.objects.get().slots.order_by("code")] == ["C-04", "C-06"]
    assert last_line().sentence == "Ama Boateng put rail HT-2 on the list, HT, for 2 slots."
    assert (last_line().subject_kind, last_line().subject_code) == ("rail", "HT-2")


def test_a_rail_is_edited_and_the_line_says_what_moved(rail: Rail, lead: Any) -> None:
    page = lead.get(reverse("machine:rail-edit", args=["HT-2"])).content.decode()
    assert page.count(" checked") == 1
    assert page.count('<details class="fold" open>') == 1
    sent = {"kind": "bias", "function": "-80 V", "slots": [pk("C-06"), pk("D-02")]}
    assert lead.post(reverse("machine:rail-edit", args=["HT-2"]), sent).status_code == 302
    rail.refresh_from_db()
    assert (rail.kind, rail.function, rail.slots.count()) == ("bias", "-80 V", 2)
    moved = "added C-06, D-02; taken off C-04"
    assert last_line().sentence == f"Ama Boateng wrote anew what rail HT-2 is, for 2 slots; {moved}."
    assert last_line().details["before"] == {"kind": "HT", "function": "+120 V", "slots": ["C-04"]}


def test_an_earth_is_added_and_edited(piece: SimpleNamespace, lead: Any) -> None:
    racks = [make_rack("C").pk, make_rack("D").pk]
    sent = {"code": "E/1", "function": "north bar", "racks": racks}
    answer = lead.post(reverse("machine:earth-add"), sent)
    assert last_line().sentence == "Ama Boateng put earth E/1 on the list, for 2 racks."
    assert lead.get(answer["Location"]).status_code == 200
    edit = reverse("machine:earth-edit", args=["E/1"])
    assert lead.get(edit).content.decode().count(" checked") == 2
    lead.post(edit, {"function": "", "racks": racks[:1]})
    assert last_line().sentence == "Ama Boateng wrote anew what earth E/1 is, for 1 rack; taken off D."
    assert [rack.code for rack in Earth.objects.get().racks.all()] == ["C"]


def test_lists_and_pages_show_them(rail: Rail, earth: Earth, lead: Any) -> None:
    assert "1 rail is on the list." in words(lead.get(reverse("machine:rail-list")))
    assert "HT-2 HT +120 V 1" in words(lead.get(reverse("machine:rail-list")))
    assert "E/1 north bar 1" in words(lead.get(reverse("machine:earth-list")))
    page = words(lead.get(rail.get_absolute_url()))
    assert "Carries HT; 1 slot hangs on it." in page
    assert "C-04 Constituent generator S2 KS-204 C" in page
    assert "Log book" in page
    assert "put rail HT-2 on the list" in page
    page = words(lead.get(earth.get_absolute_url()))
    assert "put earth E/1 on the list" in page
    assert "1 rack shares it." in page
    assert "C not said 2" in page
    assert "Rails HT-2" in words(lead.get(reverse("machine:slot-detail", args=["C-04"])))
    assert "Earths E/1" in words(lead.get(reverse("machine:rack-detail", args=["C"])))


def test_every_page_that_touches_power_carries_the_caution(rail: Rail, earth: Earth, lead: Any) -> None:
    for name in ("rail", "earth"):
        code = [{"rail": "HT-2", "earth": "E/1"}[name]]
        for page, words_of in (("list", []), ("add", []), ("detail", code), ("edit", code)):
            assert CAUTION in words(lead.get(reverse(f"machine:{name}-{page}", args=words_of))), (name, page)


WRONG = [
    ("rail", {"code": "HT-2", "kind": "HT"}, "There is a rail HT-2 already; the code of a rail is used once."),
    ("rail", {"code": "HT-3", "kind": "steam"}, "Select a valid choice. steam is not one of the available choices."),
    ("rail", {"code": "HT-3", "kind": "HT", "slots": ["99999"]}, "99999 is not one of the available choices."),
    ("rail", {"code": "HT-3", "kind": "HT", "slots": ["9" * 30]}, "9 is not one of the available choices."),
    ("earth", {"code": "E/2", "racks": ["-" + "9" * 30]}, "9 is not one of the available choices."),
    ("earth", {"code": "E/2", "racks": ["\0"]}, "is not one of the available choices."),
    ("rail", {"code": "HT\x07", "kind": "HT"}, "The text holds the control character U+0007"),
    ("earth", {"code": "E/1"}, "There is an earth E/1 already; the code of an earth is used once."),
    ("earth", {"code": "E/2", "racks": ["none"]}, "“none” is not a valid value."),
]


@pytest.mark.parametrize(("kind", "sent", "sentence"), WRONG)
def test_what_cannot_be_is_refused(
    kind: str, sent: dict[str, Any], sentence: str, rail: Rail, earth: Earth, lead: Any
) -> None:
    lines = Entry.objects.count()
    answer = lead.post(reverse(f"machine:{kind}-add"), sent)
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert (Rail.objects.count(), Earth.objects.count(), Entry.objects.count()) == (1, 1, lines)


@pytest.mark.parametrize("kind", ["rail", "earth"])
def test_a_form_sent_twice_is_stored_once(kind: str, piece: SimpleNamespace, lead: Any) -> None:
    sent = {"code": "X 1", "kind": "HT", "form_token": str(uuid.uuid4())}
    first, second = (lead.post(reverse(f"machine:{kind}-add"), sent) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Entry.objects.count() == 1


@pytest.mark.parametrize("kind", ["rail", "earth"])
def test_what_is_not_there_is_not_found(kind: str, lead: Any, db: None) -> None:
    for page in ("detail", "edit"):
        assert lead.get(reverse(f"machine:{kind}-{page}", args=["nowhere"])).status_code == 404


@pytest.mark.parametrize("kind", ["rail", "earth"])
def test_a_tester_reads_and_does_not_write(kind: str, rail: Rail, earth: Earth, tester: Person, as_person: Any) -> None:
    client = as_person(tester)
    page = words(client.get(reverse(f"machine:{kind}-list")))
    assert "Add a" not in page
    assert client.post(reverse(f"machine:{kind}-add"), {"code": "N", "kind": "HT"}).status_code == 403


def test_long_lists_ask_no_more_than_short_ones(rail: Rail, earth: Earth, lead: Any, site_lead: Person) -> None:
    addresses = [
        reverse("machine:rail-list"), reverse("machine:earth-list"), rail.get_absolute_url(),
        earth.get_absolute_url(), reverse("machine:rail-edit", args=["HT-2"]),
    ]  # fmt: skip
    few = [queries_of(lead, address) for address in addresses]
    slots = [make_slot(f"{rack}-{n:02}") for rack in "FGHK" for n in range(12)]
    rail.slots.add(*slots)
    earth.racks.add(*Rack.objects.all())
    for n in range(12):
        add_rail(code=f"B-{n}", kind="bias", slots=slots[:n], by=site_lead)
        add_earth(code=f"S-{n}", by=site_lead)
    assert [queries_of(lead, address) for address in addresses] == few
