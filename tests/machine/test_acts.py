"""Adding and editing: each act is stored once with its line, refused in a sentence, and shut to those who may not."""

import uuid
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from restoration.logbook.models import Entry
from restoration.machine.models import Chassis, Design, Interconnect, Query, Rack, Signal, Slot, Terminal
from restoration.people.models import Person
from tests.factories import make_chassis, make_design, make_rack, make_signal, make_slot

ADDS: list[tuple[str, dict[str, Any], str]] = [
    ("machine:rack-add", {"code": "G", "function": "page printer", "position": 7},
     "Ama Boateng put rack G on the list, page printer."),
    ("machine:slot-add", {"code": "G-01", "position": 1, "function": "type wheel gate"},
     "Ama Boateng put slot G-01 on the list, type wheel gate."),
    ("machine:design-add", {"number": "KS-230", "title": "Printer gate"},
     "Ama Boateng put drawing KS-230, Printer gate, on the list."),
    ("machine:signal-add", {"name": "print pulse"}, "Ama Boateng named the signal “print pulse”."),
    ("machine:query-add", {"question": "Which way round?", "subject_kind": "slot", "subject_code": "C-04"},
     "Ama Boateng asked the drawings keeper about slot C-04: Which way round?"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "given", "sentence"), ADDS)
def test_what_is_added_has_its_line(name: str, given: dict, sentence: str, site_lead: Person, as_person: Any) -> None:
    client = as_person(site_lead)
    assert client.get(reverse(name)).status_code == 200
    response = client.post(reverse(name), given)
    assert response.status_code == 302
    assert Entry.objects.get().sentence == sentence
    assert client.get(response["Location"]).status_code == 200


@pytest.mark.parametrize(("name", "given", "sentence"), ADDS)
def test_a_form_sent_twice_is_stored_once(
    name: str, given: dict, sentence: str, site_lead: Person, as_person: Any
) -> None:
    client = as_person(site_lead)
    given = {**given, "form_token": str(uuid.uuid4())}
    first, second = (client.post(reverse(name), given) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Entry.objects.count() == 1


TAKEN = [
    ("machine:rack-add", {"code": "C", "position": 1}, "There is a rack C already; the code of a rack is used once."),
    ("machine:slot-add", {"code": "C-04", "position": 1},
     "There is a slot C-04 already; the code of a slot is used once on the machine."),
    ("machine:design-add", {"number": "KS-204", "title": "Again"},
     "There is a design KS-204 already; a drawing number is used once."),
    ("machine:signal-add", {"name": "digit pulse"},
     "There is a signal called “digit pulse” already; a name is used once."),
    ("machine:interconnect-add",
     {"code": "214", "from_slot": "C-04", "from_terminal": "1", "to_slot": "C-06", "to_terminal": "1"},
     "There is a link 214 already; the code of a link is used once."),
    ("machine:interconnect-add",
     {"code": "999", "from_slot": "Z-99", "from_terminal": "1", "to_slot": "C-06", "to_terminal": "1"},
     "There is no slot Z-99; add the slot first, or give one that is there."),
    ("machine:interconnect-add",
     {"from_slot": "C-04", "from_terminal": "1", "to_slot": "C-06", "to_terminal": "1", "length_m": "-1"},
     "Ensure this value is greater than or equal to 0."),
    ("machine:rack-add", {"code": "bad\x07code", "position": 1},
     "The text holds the control character U+0007; only printed characters are taken."),
    ("machine:rack-add", {"code": "x" * 61, "position": 1}, "Ensure this value has at most 60 characters (it has 61)."),
]  # fmt: skip


@pytest.mark.parametrize(("name", "given", "sentence"), TAKEN)
def test_what_cannot_be_stored_is_said_and_nothing_is(
    name: str, given: dict, sentence: str, piece: SimpleNamespace, site_lead: Person, as_person: Any
) -> None:
    before = [model.objects.count() for model in (Rack, Slot, Design, Signal, Interconnect, Terminal, Entry)]
    response = as_person(site_lead).post(reverse(name), given)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert [model.objects.count() for model in (Rack, Slot, Design, Signal, Interconnect, Terminal, Entry)] == before


def test_a_chassis_is_added_to_the_current_issue(site_lead: Person, builder: Person, as_person: Any) -> None:
    design = make_design("KS-207", issue="D")
    given = {"serial": "SR-20", "design": design.pk, "builder": builder.pk, "remarks": ""}
    as_person(site_lead).post(reverse("machine:chassis-add"), given)
    chassis = Chassis.objects.get()
    assert (chassis.serial, chassis.issue.letter, chassis.builder) == ("SR-20", "D", builder)
    assert Entry.objects.get().sentence == (
        "Ama Boateng put chassis SR-20 on the list, to drawing KS-207, with Pilar Ortuno."
    )


def test_a_link_without_a_code_takes_one_from_its_ends(site_lead: Person, as_person: Any) -> None:
    make_slot("B-05"), make_slot("C-04")
    given = {"from_slot": "B-05", "from_terminal": "7", "to_slot": "C-04", "to_terminal": "2", "is_critical": "yes"}
    client = as_person(site_lead)
    for _ in range(2):
        assert client.post(reverse("machine:interconnect-add"), given).status_code == 302
    assert [link.code for link in Interconnect.objects.all()] == ["B-05:7 > C-04:2", "B-05:7 > C-04:2 (2)"]
    assert all(link.is_critical for link in Interconnect.objects.all())


def test_rack_slot_and_design_are_edited(piece: SimpleNamespace, site_lead: Person, as_person: Any) -> None:
    client, slot = as_person(site_lead), piece.slot
    client.post(reverse("machine:rack-edit", args=["C"]), {"function": "constituents", "position": 3})
    client.post(
        reverse("machine:slot-edit", args=["C-04"]),
        {"rack": make_rack("D").pk, "position": 2, "function": "carry", "design": ""},
    )
    client.post(
        reverse("machine:design-edit", args=["KS-204"]), {"title": "Generator", "remarks": "See the photograph."}
    )
    slot.refresh_from_db()
    assert (slot.rack.code, slot.position, slot.function, slot.design) == ("D", 2, "carry", None)
    assert Rack.objects.get(code="C").function == "constituents"
    assert Design.objects.get(number="KS-204").title == "Generator"
    assert [entry.act for entry in Entry.objects.all()] == ["rack edited", "slot edited", "design edited"]


def test_a_new_issue_supersedes_the_old_one(piece: SimpleNamespace, site_lead: Person, as_person: Any) -> None:
    client, address = as_person(site_lead), reverse("machine:issue-add", args=["KS-204"])
    response = client.post(address, {"letter": "E", "issued_on": "2026-03-01", "reason": "output winding reversed"})
    assert response.status_code == 302
    design = Design.objects.get(number="KS-204")
    assert design.current_issue.letter == "E"
    assert [issue.is_current for issue in design.issues.all()] == [False, True]
    page = client.get(design.get_absolute_url()).content.decode()
    assert "Built to an older issue than the current one" in page
    again = client.post(address, {"letter": "E", "issued_on": "2026-03-02"})
    assert "Drawing KS-204 has an issue E already." in again.content.decode()
    tomorrow = timezone.localdate() + timedelta(days=1)
    early = client.post(address, {"letter": "F", "issued_on": tomorrow.isoformat()})
    assert f"{tomorrow:%d %b %Y} has not come yet; give the day the issue was drawn." in early.content.decode()
    assert design.issues.count() == 2


def test_limits_are_written_in_the_units_of_people(site_lead: Person, as_person: Any) -> None:
    signal = make_signal("digit pulse", delay=(None, 1e-7, None))
    client, address = as_person(site_lead), reverse("machine:signal-limits", args=["digit pulse"])
    assert 'name="delay_nominal" value="100"' in client.get(address).content.decode()
    given = {"amplitude_least": "15", "amplitude_most": "20 V", "rise_time_most": "0,35 µs", "overshoot_most": "10"}
    assert client.post(address, given).status_code == 302
    stored = {limit.quantity: (limit.least, limit.nominal, limit.most) for limit in signal.limits.all()}
    assert stored == {
        "amplitude": (15.0, None, 20.0),
        "rise_time": (None, None, 3.5e-7),
        "overshoot": (None, None, 0.1),
    }
    assert Entry.objects.get().sentence == "Ama Boateng set the limits of the signal “digit pulse”, 3 in all."


def test_a_limit_that_says_nonsense_leaves_the_others_alone(site_lead: Person, as_person: Any) -> None:
    signal = make_signal("digit pulse", amplitude=(15, None, 20))
    client, address = as_person(site_lead), reverse("machine:signal-limits", args=["digit pulse"])
    upside_down = client.post(address, {"amplitude_least": "20", "amplitude_most": "15"})
    assert upside_down.status_code == 422
    assert "The least value of a limit cannot be above its most." in upside_down.content.decode()
    odd = client.post(address, {"rise_time_most": "fast"})
    assert "“fast” was given, and this is a time" in odd.content.decode()
    assert signal.limits.get().least == 15


def points(*rows: dict[str, str]) -> dict[str, str]:
    given = {"point-TOTAL_FORMS": str(len(rows)), "point-INITIAL_FORMS": "0"}
    for number, row in enumerate(rows):
        given.update({f"point-{number}-{name}": value for name, value in row.items()})
    return given


def test_bench_figures_are_set_with_their_load(piece: SimpleNamespace, site_lead: Person, as_person: Any) -> None:
    client, address = as_person(site_lead), reverse("machine:bench-points", args=["KS-204"])
    assert client.get(address).status_code == 200
    rows = (
        {"place": "V3 anode", "quantity": "dc_level", "least": "140", "most": "160 V"},
        {"place": "output", "quantity": "rise_time", "most": "350", "load_resistance_ohm": "1.2 kΩ",
         "load_capacitance_f": "47"},
        {"place": "", "quantity": "amplitude"},
    )  # fmt: skip
    assert client.post(address, points(*rows)).status_code == 302
    stored = [(point.place, point.most, point.load_resistance_ohm) for point in piece.design.bench_points.all()]
    assert stored == [("V3 anode", 160.0, None), ("output", 3.5e-7, 1200.0)]
    assert "1200 Ω ∥ 47 pF" in client.get(piece.design.get_absolute_url()).content.decode()


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([{"place": "output", "quantity": "amplitude"}], "A figure needs at least one of least, nominal and most."),
        ([{"place": "", "quantity": "amplitude", "least": "3"}], "Say where on the chassis this figure is read."),
        ([{"place": "output", "quantity": "delay", "most": "soon"}], "“soon” was given, and this is a time"),
        ([{"place": "output", "quantity": "delay", "most": "1"}] * 2,
         "These places have the same figure twice: output."),
        ([{"place": "output", "quantity": "delay", "least": "2", "most": "1"}],
         "The least value of a limit cannot be above its most."),
    ],
)  # fmt: skip
def test_a_bench_figure_that_says_nonsense_changes_nothing(
    rows: list, sentence: str, piece: SimpleNamespace, site_lead: Person, as_person: Any
) -> None:
    response = as_person(site_lead).post(reverse("machine:bench-points", args=["KS-204"]), points(*rows))
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert piece.design.bench_points.get().place == "output"


def test_a_query_is_answered_once(tester: Person, drawings_keeper: Person, as_person: Any) -> None:
    query = Query.objects.create(
        question="Which way round?", raised_by=tester, subject_kind="slot", subject_code="C-04"
    )
    client, address = as_person(drawings_keeper), reverse("machine:query-answer", args=[query.pk])
    assert "Which way round?" in client.get(address).content.decode()
    assert client.post(address, {"answer": "Pin 1 to the left."}).status_code == 302
    page = client.get(query.get_absolute_url()).content.decode()
    assert "Pin 1 to the left." in page
    assert "Owen Prys" in page
    assert "/machine/slots/of/C-04/" in page
    again = client.post(address, {"answer": "To the right."})
    assert again.status_code == 422
    assert "Owen Prys answered this query already: Pin 1 to the left." in again.content.decode()


SHUT = [
    ("machine:rack-add", []), ("machine:rack-edit", ["C"]), ("machine:slot-add", []), ("machine:slot-edit", ["C-04"]),
    ("machine:terminal-add", ["C-04"]), ("machine:design-add", []), ("machine:design-edit", ["KS-204"]),
    ("machine:issue-add", ["KS-204"]), ("machine:bench-points", ["KS-204"]), ("machine:chassis-add", []),
    ("machine:chassis-edit", ["CG-03"]), ("machine:signal-add", []), ("machine:signal-limits", ["digit pulse"]),
    ("machine:interconnect-add", []), ("machine:interconnect-edit", ["214"]), ("machine:wire-list-import", []),
]  # fmt: skip


@pytest.mark.parametrize(("name", "args"), SHUT)
def test_whoever_may_not_edit_the_machine_is_told_whom_to_ask(
    name: str, args: list, piece: SimpleNamespace, builder: Person, as_person: Any
) -> None:
    before = Entry.objects.count()
    for method in ("get", "post"):
        response = getattr(as_person(builder), method)(reverse(name, args=args))
        assert response.status_code == 403
    assert Entry.objects.count() == before


@pytest.mark.parametrize(("name", "args"), [*SHUT, ("machine:rack-list", []), ("machine:interconnect-detail", ["214"])])
def test_a_visitor_is_asked_to_sign_in(name: str, args: list, piece: SimpleNamespace, client: Any) -> None:
    response = client.get(reverse(name, args=args))
    assert response.status_code == 302
    assert "sign-in" in response["Location"]


def test_a_terminal_is_named_once(piece: SimpleNamespace, site_lead: Person, as_person: Any) -> None:
    client, address = as_person(site_lead), reverse("machine:terminal-add", args=["C-04"])
    assert client.post(address, {"code": "T9"}).status_code == 302
    again = client.post(address, {"code": "T9"})
    assert "This slot has a terminal of that name already." in again.content.decode()
    assert Terminal.objects.filter(slot=piece.slot, code="T9").count() == 1


def test_an_issue_of_another_drawing_is_refused(piece: SimpleNamespace, site_lead: Person, as_person: Any) -> None:
    other = make_design("KS-300", issue="A").current_issue
    given = {"version": 1, "remarks": "", "issue": other.pk}
    response = as_person(site_lead).post(reverse("machine:chassis-edit", args=["CG-03"]), given)
    assert response.status_code == 422
    assert "That choice is not one of the available choices." in response.content.decode()
    assert date(2024, 3, 1) == make_chassis("CG-09", design=piece.design).issue.issued_on
