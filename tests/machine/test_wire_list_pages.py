"""A wire list through the browser: sent, looked at, and brought in exactly as it was sent."""

import os
import time
import uuid
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from restoration.engineering.wire_list.bounds import BOUNDS
from restoration.logbook.models import Entry
from restoration.machine.models import Interconnect
from restoration.machine.services.wire_list import known_wiring
from restoration.people.models import Person
from tests.engineering.wire_list.making import ods, xlsx
from tests.engineering.wire_list.test_malformed import CELLS, FILES
from tests.machine.wire_lists import awkward_wires, row_counts, wire, wires

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(drawings_keeper: Person, as_person: Any) -> Any:
    return as_person(drawings_keeper)


def send(client: Any, data: bytes, *, name: str = "loft.csv", **how: str) -> Any:
    file = SimpleUploadedFile(name, data)
    return client.post(reverse("machine:wire-list-import"), {"file": file, "create_missing": "on", **how})


def folder(settings: Any) -> Path:
    return Path(settings.MEDIA_ROOT) / "wire_lists"


def test_a_list_is_shown_before_it_is_stored(client: Any, settings: Any) -> None:
    before = row_counts()
    sent = send(client, wires(wire(link="214"), wire("D-01:1", "D-01:1", link="3")))
    assert sent.status_code == 302
    page = client.get(sent["Location"]).content.decode()
    assert "The list names 2 interconnects on 2 rows: 2 to add, 0 to change, 0 as they stand." in page
    assert "Link 3 runs from terminal D-01:1 to the same terminal. Where does it go?" in page
    assert "Bring it in" in page
    assert row_counts() == before
    (file,) = folder(settings).iterdir()
    assert file.stat().st_mode & 0o777 == 0o600
    assert folder(settings).stat().st_mode & 0o777 == 0o700


def test_yes_brings_in_exactly_what_was_shown(client: Any, settings: Any) -> None:
    sent = send(client, wires(wire(link="214")))
    done = client.post(sent["Location"], follow=True)
    assert "The wire list is in. The list names 1 interconnect on 1 row: 1 to add" in done.content.decode()
    assert Interconnect.objects.get().code == "214"
    assert Entry.objects.get().by_name == "Owen Prys"
    assert list(folder(settings).iterdir()) == []
    assert client.get(sent["Location"]).status_code == 404


def test_a_yes_sent_twice_brings_it_in_once(client: Any) -> None:
    sent = send(client, wires(wire()))
    token = {"form_token": str(uuid.uuid4())}
    assert client.post(sent["Location"], token).status_code == 302
    assert client.post(sent["Location"], token).status_code in (302, 404)
    assert Entry.objects.count() == 1


def test_a_list_that_no_longer_fits_is_refused_at_the_last_moment(client: Any) -> None:
    sent = send(client, wires(wire(from_rack="B", to_rack="C")))
    client.post(send(client, wires(wire("B-05:1", "X-01:1", from_rack="Z")))["Location"])
    before = row_counts()
    late = client.post(sent["Location"])
    assert late.status_code == 422
    assert "The machine&#x27;s records changed meanwhile, and the list no longer fits them." in late.content.decode()
    assert "B-05" in late.content.decode()
    assert row_counts() == before


def test_a_file_changed_on_disk_is_not_brought_in(client: Any, settings: Any) -> None:
    sent = send(client, wires(wire()))
    (file,) = folder(settings).iterdir()
    file.write_bytes(wires(wire(), wire("A-01:1", "A-01:2")))
    assert client.post(sent["Location"]).status_code == 404
    assert not Interconnect.objects.exists()


def test_an_address_made_up_or_of_another_person_leads_nowhere(client: Any, site_lead: Person, as_person: Any) -> None:
    sent = send(client, wires(wire()))
    assert as_person(site_lead).get(sent["Location"]).status_code == 404
    assert client.get(reverse("machine:wire-list-confirm", args=["made-up"])).status_code == 404


def test_what_waited_a_day_is_swept_away(client: Any, settings: Any) -> None:
    first = send(client, wires(wire()))
    (file,) = folder(settings).iterdir()
    os.utime(file, (time.time() - 90000, time.time() - 90000))
    send(client, wires(wire("A-01:1", "A-01:2")))
    assert file not in list(folder(settings).iterdir())
    assert client.get(first["Location"]).status_code == 404


@pytest.mark.parametrize("data", [case[0] for case in (*FILES, *CELLS)][::3])
def test_a_malformed_list_is_said_and_nothing_is_kept(data: bytes, client: Any, settings: Any) -> None:
    before = row_counts()
    response = send(client, data)
    assert response.status_code == 422
    assert "Nothing is saved: " in response.content.decode()
    assert "What cannot be taken" in response.content.decode()
    assert row_counts() == before
    assert not folder(settings).exists()


def test_each_refused_row_has_line_column_value_and_reason(client: Any) -> None:
    page = send(client, wires(wire(), wire("A-01:1", "A-01:2", length_m="long"))).content.decode()
    for words in ("line 3", "length_m", "long", "The length is not a number; write metres as 0.45 or 0,45"):
        assert words in page


def test_a_file_too_large_is_refused_unread(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("restoration.machine.forms.wiring.BOUNDS", BOUNDS._replace(bytes=1000))
    response = send(client, b"x" * 1001)
    assert response.status_code == 422
    said = "The file has 1,001 bytes; a wire list may have at most 1,000. Nothing was read."
    assert said in response.content.decode()


def test_a_post_without_a_file_is_said(client: Any) -> None:
    says = "No file came with the form; choose the file that holds the wire list."
    assert says not in client.get(reverse("machine:wire-list-import")).content.decode()
    response = client.post(reverse("machine:wire-list-import"), {})
    assert response.status_code == 422
    assert says in response.content.decode()


@pytest.mark.parametrize("make", [xlsx, ods])
def test_workbooks_come_in_too(make: Any, client: Any) -> None:
    data = make([["from_slot", "from_terminal", "to_slot", "to_terminal"], ["B-05", "7", "C-04", "2"]])
    client.post(send(client, data, name="loft.bin")["Location"])
    assert Interconnect.objects.get().code == "B-05:7 > C-04:2"


def test_both_ends_and_changes_are_shown(piece: SimpleNamespace, client: Any) -> None:
    rows = (
        wire("B-05:7", "C-04:2", link="214", signal="digit pulse", colour="white", length_m="4.6", loom="12"),
        wire("C-04:2", "B-05:7", link="214", length_m="5"),
        wire("A-01:1", "D-02:9", signal="digit pulse"),
    )
    sent = send(client, wires(*rows), both_ends="on")
    page = client.get(sent["Location"]).content.decode()
    for words in ("colour: green → white", "Named at one end only", "Lengths that disagree", "several sources"):
        assert words in page


def test_values_that_are_emptied_are_said_before_it_is_stored(piece: SimpleNamespace, client: Any) -> None:
    sent = send(client, wires(wire("B-05:7", "C-04:2", link="214", signal="digit pulse", colour="green")))
    page = client.get(sent["Location"]).content.decode()
    assert "2 known values are emptied by a blank cell of the list" in page
    assert "length in metres: 4.6 → blank; loom: 12 → blank" in page


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_the_file_that_goes_out_comes_in_unchanged(kind: str, client: Any) -> None:
    client.post(send(client, awkward_wires())["Location"])
    before = known_wiring()
    out = client.get(reverse("machine:wire-list-export"), {"kind": kind})
    assert out["Content-Disposition"] == f'attachment; filename="wire-list.{kind}"'
    sent = send(client, out.content, name=f"wire-list.{kind}")
    assert "there is nothing to bring in" in client.get(sent["Location"]).content.decode()
    client.post(sent["Location"])
    assert known_wiring() == before
    assert Entry.objects.count() == 1


def test_the_file_holds_what_the_list_shows(piece: SimpleNamespace, client: Any) -> None:
    out = client.get(reverse("machine:wire-list-export"), {"rack": "D"}).content.decode("utf-8-sig")
    assert [line.split(",")[0] for line in out.splitlines()] == ["link", "216"]
    assert client.get(reverse("machine:wire-list-export"), {"kind": "pdf"}).status_code == 404


def test_only_those_who_may_bring_in_a_list_do(tester: Person, as_person: Any) -> None:
    assert send(as_person(tester), wires(wire())).status_code == 403
    assert "Bring in a wire list" not in as_person(tester).get(reverse("machine:interconnect-list")).content.decode()
