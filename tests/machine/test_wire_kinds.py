"""Kinds of wire: put on the list, written anew, shown with what they are as lines, on their list and on their links."""

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from restoration.common.versions import EditedMeanwhile
from restoration.logbook.models import Entry
from restoration.machine.forms.wire_kinds import WireKindForm, wire_kind_as_stored
from restoration.machine.lines import constants_of, wire_in_words
from restoration.machine.models import Interconnect, WireForm, WireKind
from restoration.machine.services import WireGiven, add_wire_kind, edit_wire_kind
from restoration.people.models import Person
from tests.counting import queries_of
from tests.factories import make_link
from tests.reading import last_line, refused, words

OVER = WireGiven(WireForm.OVER_CHASSIS, 0.7e-3, 20e-3, remarks="Tinned, in a yellowed sleeve.")
SENT = {
    "name": "tinned 0.7",
    "form": "over chassis",
    "conductor_m": "0.7",
    "spacing_m": "2 cm",
    "permittivity": "1",
    "remarks": "Tinned, in a yellowed sleeve.",
}
LIST = "/machine/wires/"


def page(name: str, *args: Any) -> str:
    return reverse(f"machine:wire-kind-{name}", args=args)


@pytest.fixture
def lead(site_lead: Person, as_person: Any) -> Client:
    client: Client = as_person(site_lead)
    return client


@pytest.fixture
def kind(site_lead: Person) -> WireKind:
    return add_wire_kind(name="tinned 0.7", given=OVER, by=site_lead)


# Closed forms of the ideal line, exact; the delay from the speed of light by definition of the metre.
LINES = [
    (WireForm.TWIN, 1e-3, 5e-3, 1.0, 274.901490, 3.33564095),
    (WireForm.TWIN, 1e-3, 10e-3, 1.0, 358.938254, 3.33564095),
    (WireForm.OVER_CHASSIS, 1e-3, 5e-3, 1.0, 179.469127, 3.33564095),
    (WireForm.OVER_CHASSIS, 1e-3, 50e-3, 1.0, 317.677618, 3.33564095),
    (WireForm.SCREENED, 0.90e-3, 2.95e-3, 2.25, 47.4537759, 5.00346143),
]


@pytest.mark.parametrize(("form", "conductor_m", "spacing_m", "permittivity", "ohm", "ns_per_m"), LINES)
def test_a_wire_is_reckoned_as_a_line_from_its_form(
    form: str, conductor_m: float, spacing_m: float, permittivity: float, ohm: float, ns_per_m: float
) -> None:
    kind = WireKind(form=form, conductor_m=conductor_m, spacing_m=spacing_m, permittivity=permittivity)
    line = constants_of(kind)
    assert line.impedance_ohm == pytest.approx(ohm, rel=1e-8)
    assert line.delay_s_per_m == pytest.approx(ns_per_m * 1e-9, rel=1e-8)
    assert line.capacitance_f_per_m == pytest.approx(ns_per_m * 1e-9 / ohm, rel=1e-8)
    assert line.inductance_h_per_m == pytest.approx(ns_per_m * 1e-9 * ohm, rel=1e-8)


def test_a_kind_is_put_on_the_list_with_its_line(kind: WireKind) -> None:
    assert {name: getattr(kind, name) for name in vars(OVER)} == vars(OVER)
    assert last_line().sentence == (
        "Ama Boateng put the wire tinned 0.7 on the list: single wire over metal, conductor 0.7 mm, "
        "20 mm centre over the metal."
    )


def test_a_name_is_used_once(kind: WireKind) -> None:
    said = refused(add_wire_kind, name="tinned 0.7", given=OVER, by=None)
    assert said == "There is a kind of wire called tinned 0.7 already; a name is used once."


def test_what_it_was_is_kept_in_the_line(kind: WireKind, site_lead: Person) -> None:
    edit_wire_kind(kind=kind, version=1, given=replace(OVER, form=WireForm.TWIN, permittivity=1.3), by=site_lead)
    stored = WireKind.objects.get()
    assert (stored.form, stored.permittivity, stored.version) == ("twin", 1.3, 2)
    assert last_line().sentence == (
        "Ama Boateng wrote anew what the wire tinned 0.7 is: two wires side by side, conductor 0.7 mm, "
        "20 mm between the centres, permittivity 1.3."
    )
    assert last_line().details["before"]["form"] == "over chassis"


def test_the_second_of_two_writers_is_told(kind: WireKind, site_lead: Person, drawings_keeper: Person) -> None:
    edit_wire_kind(kind=kind, version=1, given=replace(OVER, permittivity=1.3), by=site_lead)
    with pytest.raises(EditedMeanwhile):
        edit_wire_kind(kind=kind, version=1, given=replace(OVER, permittivity=1.5), by=drawings_keeper)
    assert WireKind.objects.get().permittivity == 1.3
    assert Entry.objects.count() == 2


WRONG = [
    ({"conductor_m": 0.0}, "0 mm was given; the diameter of a conductor is above 0 and at most 1000 mm."),
    ({"conductor_m": math.nan}, "nan mm was given; the diameter of a conductor is above 0 and at most 1000 mm."),
    ({"spacing_m": -0.02}, "-20 mm was given; the distance is above 0 and at most 1000 mm."),
    ({"spacing_m": 20.0}, "20000 mm was given; the distance is above 0 and at most 1000 mm."),
    ({"permittivity": 0.9}, "A permittivity of 0.9 was given; it is 1 for air and at most 100, relative to it."),
    ({"permittivity": math.inf}, "A permittivity of inf was given; it is 1 for air and at most 100, relative to it."),
    ({"spacing_m": 0.3e-3}, "A wire of 0.0007 m whose centre is 0.0003 m over the chassis touches it; "
     "the height must be more than half the diameter."),
    ({"form": WireForm.TWIN, "spacing_m": 0.7e-3}, "Two wires of 0.0007 m whose centres are 0.0007 m apart touch or "
     "overlap; the spacing must be more than the diameter."),
    ({"form": WireForm.SCREENED, "spacing_m": 0.6e-3}, "A core of 0.0007 m does not fit into a screen of 0.0006 m; "
     "the screen must be wider than the core."),
    ({"form": "tube"}, "“tube” is no form of a wire; a wire is one of these: single wire over metal, two wires side by "
     "side, screened (coaxial)."),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "sentence"), WRONG)
def test_nonsense_is_refused_and_nothing_half_saved(facts: dict[str, Any], sentence: str, kind: WireKind) -> None:
    assert refused(add_wire_kind, name="other", given=replace(OVER, **facts), by=None) == sentence
    assert refused(edit_wire_kind, kind=kind, version=1, given=replace(OVER, **facts), by=None) == sentence
    assert WireKind.objects.count() == Entry.objects.count() == 1
    assert {name: getattr(WireKind.objects.get(), name) for name in vars(OVER)} == vars(OVER)


CAN_BE = "Diameter and spacing are above zero, and a permittivity is 1 or more."
CONSTRAINTS = [("conductor_m", 1e-6, 0.0), ("spacing_m", 1e-6, 0.0), ("permittivity", 1.0, 0.99)]


@pytest.mark.parametrize(("name", "allowed", "not_allowed"), CONSTRAINTS)
def test_the_database_refuses_what_no_wire_can_be(db: None, name: str, allowed: float, not_allowed: float) -> None:
    facts = {"form": "twin", "conductor_m": 1e-3, "spacing_m": 2e-3, "permittivity": 1.0}
    WireKind(name="allowed", **{**facts, name: allowed}).full_clean()
    WireKind.objects.create(name="allowed", **{**facts, name: allowed})
    wrong = WireKind(name="not allowed", **{**facts, name: not_allowed})
    with pytest.raises(ValidationError, match=CAN_BE):
        wrong.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        wrong.save()


def test_a_site_starts_without_any_and_says_so(lead: Client) -> None:
    said = words(lead.get(page("list")))
    assert "No kind of wire is written down yet." in said
    assert "until one is, predictions say which wire they took instead" in said


def test_the_list_says_what_each_is_as_a_line_and_how_many_links_use_it(
    piece: SimpleNamespace, kind: WireKind, lead: Client
) -> None:
    Interconnect.objects.update(wire="tinned 0.7")
    make_link("A-01:1", "A-02:1", wire="covered / odd?")
    make_link("A-01:2", "A-02:2", wire="covered / odd?")
    make_link("A-01:3", "A-02:3", wire="coax")
    answer = lead.get(page("list"))
    said = words(answer)
    assert "1 kind of wire is written down, and the wire list names 2 that are not." in said
    assert "tinned 0.7 single wire over metal, conductor 0.7 mm, 20 mm centre over the metal" in said
    assert "284 Ω 3.34 ns/m 11.7 pF/m 948 nH/m 3" in said
    assert said.index("covered / odd? 2 links") < said.index("coax 1 link")
    assert "?name=covered%20%2F%20odd%3F" in answer.content.decode()
    assert "verify by measurement" in said


def test_many_names_without_a_kind_are_counted(lead: Client) -> None:
    for at in range(43):
        make_link(f"A-01:{at}", f"A-02:{at}", wire=f"wire {at:02}")
    said = words(lead.get(page("list")))
    assert "No kind of wire is written down yet, and the wire list names 43 that are not." in said
    assert "wire 39 1 link" in said
    assert "wire 40" not in said
    assert "And 3 more." in said


def test_a_kind_is_added_as_people_write_it(lead: Client) -> None:
    assert 'value="tinned 0.7"' in lead.get(f"{page('add')}?name=tinned+0.7").content.decode()
    answer = lead.post(page("add"), SENT)
    assert (answer.status_code, answer["Location"]) == (302, LIST)
    kind = WireKind.objects.get()
    assert {name: getattr(kind, name) for name in vars(OVER)} == vars(OVER)
    form = lead.get(kind.get_absolute_url()).content.decode()
    assert 'name="conductor_m" value="0.7"' in form
    assert 'name="spacing_m" value="20"' in form


def test_a_name_that_is_no_text_is_not_taken_over(lead: Client) -> None:
    assert lead.get(f"{page('add')}?name=%00").status_code == 200


FORM_WRONG = [
    ({"name": ""}, "Give the name that the wire list uses."),
    ({"conductor_m": ""}, "Give the diameter of the bare conductor in millimetres."),
    ({"conductor_m": "thin"}, "“thin” was given, and this is a length"),
    ({"spacing_m": ""}, "Give the distance to what carries the current back, in millimetres."),
    ({"spacing_m": "0.3"}, "A wire of 0.0007 m whose centre is 0.0003 m over the chassis touches it"),
    ({"permittivity": ""}, "Give the relative permittivity: 1 for air."),
    ({"permittivity": "0.5"}, "A permittivity of 0.5 was given"),
    ({"form": "tube"}, "tube is not one of the available choices."),
]


@pytest.mark.parametrize(("wrong", "sentence"), FORM_WRONG)
def test_a_form_that_cannot_be_is_refused(lead: Client, wrong: dict[str, str], sentence: str) -> None:
    answer = lead.post(page("add"), {**SENT, **wrong})
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not WireKind.objects.exists()
    assert not Entry.objects.exists()


def test_both_texts_are_shown_and_sending_again_is_a_decision(
    lead: Client, kind: WireKind, drawings_keeper: Person
) -> None:
    edit_wire_kind(kind=kind, version=1, given=replace(OVER, spacing_m=25e-3), by=drawings_keeper)
    sent = {**SENT, "spacing_m": "20", "version": "1", "permittivity": "1.2"}
    late = lead.post(page("edit", kind.pk), sent)
    assert late.status_code == 409
    assert [(row.label, row.text) for row in late.context["theirs"]] == [
        ("Distance, mm", "25"),
        ("Permittivity of what is between", "1"),
    ]
    assert 'name="version" value="2"' in late.content.decode()
    assert WireKind.objects.get().permittivity == 1.0
    assert lead.post(page("edit", kind.pk), {**sent, "version": "2"}).status_code == 302
    assert (WireKind.objects.get().permittivity, WireKind.objects.get().spacing_m) == (1.2, 0.02)


def test_the_page_of_a_link_says_what_its_wire_is(
    piece: SimpleNamespace, kind: WireKind, lead: Client, tester: Person, as_person: Any
) -> None:
    address = piece.link.get_absolute_url()
    assert "Wire not said" in words(lead.get(address))
    Interconnect.objects.filter(pk=piece.link.pk).update(wire="tinned 0.7")
    said = words(lead.get(address))
    assert "tinned 0.7 : single wire over metal, conductor 0.7 mm, 20 mm centre over the metal." in said
    assert "As a line about 284 Ω, 11.7 pF/m, 948 nH/m, 3.34 ns/m; reckoned from its form, verify" in said
    Interconnect.objects.filter(pk=piece.link.pk).update(wire="covered")
    assert "This kind of wire is not on the list yet: say what it is ." in words(lead.get(address))
    assert f"{page('add')}?name=covered" in lead.get(address).content.decode()
    read = as_person(tester).get(address)
    assert "This kind of wire is not on the list yet." in words(read)
    assert page("add") not in read.content.decode()


def test_who_reads_and_who_writes(kind: WireKind, tester: Person, drawings_keeper: Person, as_person: Any) -> None:
    reader = as_person(tester)
    said = reader.get(page("list")).content.decode()
    assert page("add") not in said
    assert kind.get_absolute_url() not in said
    for address in (page("add"), kind.get_absolute_url()):
        assert reader.get(address).status_code == 403
        assert reader.post(address, SENT).status_code == 403
        assert as_person(drawings_keeper).get(address).status_code == 200
        assert Client().get(address).status_code == 302
    assert as_person(drawings_keeper).get(page("edit", 999)).status_code == 404


def test_the_list_asks_no_more_for_many_kinds_than_for_few(lead: Client) -> None:
    def queries_with(count: int) -> int:
        known = WireKind.objects.count()
        facts = {"form": "twin", "conductor_m": 1e-3, "spacing_m": 2e-3}
        WireKind.objects.bulk_create(WireKind(name=f"wire {known + at}", **facts) for at in range(count))
        for at in range(known, known + count):
            make_link(f"A-01:{at}", f"A-02:{at}", wire=f"other {at}")
        return queries_of(lead, page("list"))

    assert queries_with(2) == queries_with(30)


LENGTHS = st.decimals("0.01", "900", places=2)


@given(st.sampled_from(WireForm.values), LENGTHS, LENGTHS, st.decimals("1", "9.9", places=1))
def test_what_is_stored_is_shown_as_it_reads_back(form: str, conductor: Any, spacing: Any, permittivity: Any) -> None:
    sent = {
        **SENT,
        "form": form,
        "conductor_m": str(conductor).replace(".", ","),
        "spacing_m": f"{spacing} mm",
        "permittivity": str(permittivity),
    }
    first = WireKindForm(sent)
    assert first.is_valid()
    kind = WireKind(name="tinned 0.7", **vars(first.given()))
    again = WireKindForm({"name": kind.name, **wire_kind_as_stored(kind)})
    assert again.is_valid()
    assert again.given() == first.given()
    assert wire_in_words(kind).startswith(kind.get_form_display())
