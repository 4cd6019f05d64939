"""The sheet that every page extends, the pages that say what went wrong, and the files made by others."""

import hashlib
import re
from pathlib import Path

import pytest
from django.template.loader import render_to_string
from django.test import Client, RequestFactory
from django.urls import reverse

from restoration.people.models import Person

ROOT = Path(__file__).resolve().parents[2]
VENDOR = [ROOT / "static/vendor", ROOT / "tests/vendor"]


def vendored() -> list[tuple[Path, str]]:
    row = re.compile(r"^\| \S+ \| [\d.]+ \| \S+ \| `([^`]+)` \| `([0-9a-f]{64})` \|$", re.M)
    return [
        (folder / name, found) for folder in VENDOR for name, found in row.findall((folder / "README.md").read_text())
    ]


@pytest.mark.parametrize(("file", "sha256"), vendored(), ids=lambda value: getattr(value, "name", ""))
def test_a_file_made_by_others_is_as_it_came_beside_its_licence(file: Path, sha256: str) -> None:
    assert hashlib.sha256(file.read_bytes()).hexdigest() == sha256
    assert (file.parent / "LICENSE").stat().st_size > 400


def test_every_file_made_by_others_is_listed() -> None:
    present = {path for folder in VENDOR for path in folder.rglob("*.*") if path.suffix in {".js", ".css", ".woff2"}}
    assert present == {file for file, _ in vendored()}


def test_every_sheet_of_style_keeps_to_the_house_length() -> None:
    for path in [*(ROOT / "static/css").glob("*.css"), *(ROOT / "static/js").glob("*.js")]:
        assert len(path.read_text().splitlines()) <= 400, path.name


def test_a_visitor_sees_the_sheet_with_the_way_in(db: None) -> None:
    drawn = render_to_string("base.html", request=RequestFactory().get("/"))
    assert '<a class="skip vh" href="#main">' in drawn
    assert 'id="mark-doubt"' in drawn
    assert "<dt>log book head</dt>" in drawn
    assert '"includeIndicatorStyles": false' in drawn
    assert "Sign out" not in drawn


def test_one_signed_in_sees_name_roles_and_the_way_out(site_lead: Person) -> None:
    request = RequestFactory().get("/")
    request.user = site_lead
    drawn = render_to_string("base.html", request=request)
    assert "Ama Boateng" in drawn
    assert "site lead" in drawn
    assert f'<form method="post" action="{reverse("account_logout")}">' in drawn


def test_a_message_is_shown_with_its_kind(db: None) -> None:
    class Said:
        tags = "error"

        def __str__(self) -> str:
            return "Slot C-07 does not match."

    drawn = render_to_string("base.html", {"messages": [Said()]}, request=RequestFactory().get("/"))
    assert '<li class="error">Slot C-07 does not match.</li>' in drawn


def test_a_page_that_is_not_there_says_so_and_leads_back(db: None, client: Client) -> None:
    answer = client.get("/no-such-sheet/")
    assert answer.status_code == 404
    page = answer.content.decode()
    assert "Nothing is kept under this address, or it is not shown to you." in page
    assert '<a class="do" href="/">' in page


def test_a_refusal_says_what_and_whom_to_ask(db: None) -> None:
    told = render_to_string("403.html", {"exception": "Ask a site lead."}, request=RequestFactory().get("/"))
    assert '<p class="lead">Ask a site lead.</p>' in told
    untold = render_to_string("403.html", request=RequestFactory().get("/"))
    assert "What you asked for is not among the things you may do here." in untold


@pytest.mark.parametrize("name", ["400", "403_csrf", "413", "429"])
def test_other_refusals_are_whole_sentences_with_a_way_back(db: None, name: str) -> None:
    drawn = render_to_string(f"{name}.html", request=RequestFactory().get("/"))
    lead = re.search(r'<p class="lead">(.+?)</p>', drawn)
    assert lead
    assert lead[1].endswith(".")
    assert 'class="do" href="/"' in drawn


def test_a_failure_asks_nothing_of_the_database() -> None:
    drawn = render_to_string("500.html")  # a test without `db` may not touch the database
    assert "What you sent may not have been stored." in drawn
    for address in re.findall(r'href="/static/([^"]+)"', drawn):
        assert (ROOT / "static" / address).exists()
