"""Two people save the same chassis, or the same link: neither loses a word, and the second is shown the first."""

from types import SimpleNamespace
from typing import Any

from django.urls import reverse

from restoration.logbook.models import Entry
from restoration.machine.models import Chassis, Interconnect
from restoration.people.models import Person


def version_in(page: str) -> str:
    return page.split('name="version" value="')[1].split('"')[0]


def test_remarks_of_two_people_both_survive(
    piece: SimpleNamespace, site_lead: Person, drawings_keeper: Person, as_person: Any
) -> None:
    address = reverse("machine:chassis-edit", args=["CG-03"])
    ama, owen = as_person(site_lead), as_person(drawings_keeper)
    seen = version_in(ama.get(address).content.decode())
    assert version_in(owen.get(address).content.decode()) == seen

    issue = piece.chassis.issue_id
    ama.post(address, {"version": seen, "remarks": "Lid is bent.", "issue": issue})
    late = owen.post(address, {"version": seen, "remarks": "Valve 3 replaced.", "issue": issue})

    page = late.content.decode()
    assert late.status_code == 409
    assert "Someone else stored this while you were writing" in page
    assert "Lid is bent." in page
    assert "Valve 3 replaced." in page
    assert Chassis.objects.get().remarks == "Lid is bent."
    assert Entry.objects.count() == 1

    both = owen.post(
        address, {"version": version_in(page), "remarks": "Lid is bent. Valve 3 replaced.", "issue": issue}
    )
    assert both.status_code == 302
    assert Chassis.objects.get().remarks == "Lid is bent. Valve 3 replaced."


def link_form(piece: SimpleNamespace, **changed: Any) -> dict[str, Any]:
    return {
        "from_slot": "B-05", "from_terminal": "7", "to_slot": "C-04", "to_terminal": "2", "signal": "digit pulse",
        "wire": "", "colour": "green", "length_m": "4.6", "loom": "12", "is_critical": "", "remarks": "", **changed,
    }  # fmt: skip


def test_a_link_edited_by_two_shows_the_second_only_what_differs(
    piece: SimpleNamespace, site_lead: Person, drawings_keeper: Person, as_person: Any
) -> None:
    address = reverse("machine:interconnect-edit", args=["214"])
    as_person(site_lead).post(address, link_form(piece, version=1, colour="white"))
    late = as_person(drawings_keeper).post(address, link_form(piece, version=1, loom="13"))
    assert late.status_code == 409
    assert [(row.label, row.text) for row in late.context["theirs"]] == [("Colour", "white"), ("Loom", "12")]
    assert Interconnect.objects.get(code="214").loom == "12"
    assert version_in(late.content.decode()) == "2"
