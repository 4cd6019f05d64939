"""The stages of a design: written down in one form, shown on its page, refused in sentences."""

import uuid
from types import SimpleNamespace
from typing import Any

import pytest
from django.urls import reverse

from restoration.logbook.models import Entry
from restoration.machine.models import Stage, StagePort
from restoration.machine.services import StageGiven, set_stages, stages_of
from restoration.people.models import Person
from tests.counting import queries_of
from tests.factories import make_terminal
from tests.reading import last_line, refused, words

FORMER = StageGiven("pulse former", True, "V3, V4", ("2", "3"), ("7",))
GATE = StageGiven("input gate", False, "V1", ("1",), ("8",))


def form(*rows: dict[str, str], **more: str) -> dict[str, str]:
    """What the form sends: its rows, and how many there are."""
    sent = {"stage-TOTAL_FORMS": str(len(rows)), "stage-INITIAL_FORMS": "0", **more}
    return sent | {f"stage-{at}-{name}": value for at, row in enumerate(rows) for name, value in row.items()}


def address(piece: SimpleNamespace) -> str:
    return reverse("machine:design-stages", args=[piece.design.number])


@pytest.fixture
def lead(site_lead: Person, as_person: Any) -> Any:
    return as_person(site_lead)


def test_stages_are_written_down_with_their_line(piece: SimpleNamespace, lead: Any) -> None:
    sent = form(
        {"name": "pulse former", "is_barrier": "on", "parts": "V3, V4", "inputs": "2\r\n 3 \r\n", "outputs": "7"},
        {"name": "input gate", "parts": "V1", "inputs": "1", "outputs": "8"},
        {"name": "", "parts": ""},
    )
    answer = lead.post(address(piece), sent)
    assert (answer.status_code, answer["Location"]) == (302, piece.design.get_absolute_url())
    assert stages_of(piece.design) == [FORMER, GATE]
    sentence = "Ama Boateng set 2 stages, pulse former (barrier), input gate, for drawing KS-204."
    assert last_line().sentence == sentence


def test_the_page_of_the_design_shows_them(piece: SimpleNamespace, lead: Any, site_lead: Person) -> None:
    before = words(lead.get(piece.design.get_absolute_url()))
    assert "No stages are written down: every input is taken to reach every output" in before
    make_terminal("C-04:7")
    set_stages(design=piece.design, stages=[FORMER], by=site_lead)
    page = words(lead.get(piece.design.get_absolute_url()))
    assert "pulse former, a barrier V3, V4 2 , 3 7" in page
    assert "No slot of this design has this terminal: 3 ." in page


def test_the_form_opens_with_what_stands(piece: SimpleNamespace, lead: Any, site_lead: Person) -> None:
    set_stages(design=piece.design, stages=[FORMER, GATE], by=site_lead)
    page = lead.get(address(piece)).content.decode()
    assert ">\n2\n3</textarea>" in page
    assert page.count("Take this stage out") == 2
    assert page.count("<legend>Stage") == 4
    assert "Marks on the slots of this design: 2" in words(page)


def test_a_stage_is_taken_out_and_another_kept(piece: SimpleNamespace, lead: Any, site_lead: Person) -> None:
    rows = set_stages(design=piece.design, stages=[FORMER, GATE], by=site_lead)
    sent = form(
        {"name": "pulse former", "take_out": "on", "inputs": "2", "outputs": "7"},
        {"name": "input gate", "is_barrier": "on", "inputs": "4", "outputs": "8"},
    )
    assert lead.post(address(piece), sent).status_code == 302
    assert stages_of(piece.design) == [StageGiven("input gate", True, "", ("4",), ("8",))]
    assert Stage.objects.get().pk == rows[1].pk
    assert last_line().details["before"][0]["parts"] == "V3, V4"
    assert lead.post(address(piece), form({"name": ""})).status_code == 302
    assert last_line().sentence == "Ama Boateng set no stages for drawing KS-204."
    assert not StagePort.objects.exists()


def test_a_row_that_somebody_else_has_stored_meanwhile_is_kept(
    piece: SimpleNamespace, lead: Any, site_lead: Person
) -> None:
    set_stages(design=piece.design, stages=[GATE], by=site_lead)
    sent = form({"name": "input gate", "parts": "V1", "inputs": "1", "outputs": "8"})
    assert lead.post(address(piece), sent).status_code == 302
    assert stages_of(piece.design) == [GATE]


WRONG = [
    ([{"name": "", "inputs": "2"}], "Give the stage a name, as the drawing calls it."),
    ([{"name": "gate", "inputs": "2, 7"}],
     "“2, 7” is no terminal of this design, but its parts are; write one to a line."),
    ([{"name": "gate", "inputs": "2\x07"}],
     "The text holds the control character U+0007; only printed characters are taken."),
    ([{"name": "gate", "inputs": "x" * 61}], "Ensure this value has at most 60 characters (it has 61)."),
    ([{"name": "gate", "inputs": "2\n3\n2"}], "Stage “gate” names terminal 2 twice as an input; name it once."),
    ([{"name": "gate", "outputs": "2\n2"}], "Stage “gate” names terminal 2 twice as an output; name it once."),
    ([{"name": "gate"}, {"name": "gate"}],
     "Two stages are called “gate”; each stage of a design has a name of its own."),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "sentence"), WRONG)
def test_nonsense_is_refused_and_nothing_half_saved(
    rows: list[dict[str, str]], sentence: str, piece: SimpleNamespace, lead: Any, site_lead: Person
) -> None:
    make_terminal("C-04:7")
    set_stages(design=piece.design, stages=[FORMER], by=site_lead)
    answer = lead.post(address(piece), form({"name": "new", "inputs": "5"}, *rows))
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert stages_of(piece.design) == [FORMER]
    assert Entry.objects.count() == 1


def test_a_comma_that_is_part_of_a_mark_is_kept(piece: SimpleNamespace, lead: Any) -> None:
    make_terminal("C-04:2, 7")
    assert lead.post(address(piece), form({"name": "gate", "inputs": "2, 7"})).status_code == 302
    assert stages_of(piece.design)[0].inputs == ("2, 7",)


def test_a_service_stores_all_stages_or_none(piece: SimpleNamespace, site_lead: Person) -> None:
    set_stages(design=piece.design, stages=[FORMER], by=site_lead)
    stages = [GATE, StageGiven("x" * 81)]
    said = refused(set_stages, design=piece.design, stages=stages, by=site_lead)
    assert said == "Ensure this value has at most 80 characters (it has 81)."
    assert stages_of(piece.design) == [FORMER]


def test_the_form_sent_twice_is_stored_once(piece: SimpleNamespace, lead: Any) -> None:
    sent = form({"name": "gate", "inputs": "2"}, form_token=str(uuid.uuid4()))
    first, second = (lead.post(address(piece), sent) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Entry.objects.count() == 1


def test_only_the_drawing_office_writes_them(piece: SimpleNamespace, tester: Person, as_person: Any) -> None:
    client = as_person(tester)
    assert client.get(address(piece)).status_code == 403
    assert client.post(address(piece), form({"name": "gate"})).status_code == 403
    assert "Set the stages" not in words(client.get(piece.design.get_absolute_url()))


def test_a_design_nobody_drew_has_no_stages(lead: Any, db: None) -> None:
    assert lead.get(reverse("machine:design-stages", args=["KS-999"])).status_code == 404


def test_many_stages_ask_no_more_than_few(piece: SimpleNamespace, lead: Any, site_lead: Person) -> None:
    set_stages(design=piece.design, stages=[FORMER], by=site_lead)
    few = queries_of(lead, piece.design.get_absolute_url()), queries_of(lead, address(piece))
    many = [StageGiven(f"gate {n}", n % 2 == 0, "", (f"i{n}",), (f"o{n}",)) for n in range(20)]
    set_stages(design=piece.design, stages=many, by=site_lead)
    assert (queries_of(lead, piece.design.get_absolute_url()), queries_of(lead, address(piece))) == few
