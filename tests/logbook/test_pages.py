from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection, transaction
from django.test import RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from restoration.common.panels import render_panels
from restoration.logbook.panels import SHOWN, SUBJECTS, last_lines
from restoration.logbook.services import write_line
from tests.counting import queries_of
from tests.reading import words

LIST = reverse("logbook:entry-list")
SPRING = datetime(2026, 4, 10, 10, 0, tzinfo=UTC)


@pytest.fixture
def write(site_lead):
    def one(sentence, *, by=site_lead, kind="", code="", at=SPRING, **more):
        with transaction.atomic():
            return write_line(
                act="note", sentence=sentence, by=by, subject_kind=kind, subject_code=code, happened_at=at, **more
            )

    return one


@pytest.fixture
def book(write, builder, never_signs_in):
    write("Ama Boateng opened the net loft.")
    write("Pilar Ortuno handed over chassis SR-14.", by=builder, kind="chassis", code="SR-14")
    write(
        "Link C-04:2 was rung out.", kind="link", code="C-04:2", at=SPRING + timedelta(days=3), told_by=never_signs_in
    )
    return write("Fault 7 is cured.", kind="fault", code="7", at=SPRING + timedelta(days=5))


@pytest.fixture
def reader(tester, as_person):
    return as_person(tester)


def numbers(answer):
    return [entry.number for entry in answer.context["page_obj"]]


def test_the_book_is_read_newest_first(book, reader):
    answer = reader.get(LIST)
    assert numbers(answer) == [4, 3, 2, 1]
    page = words(answer)
    assert "4 lines fit, newest first; no line is ever changed or taken out." in page
    assert "Ama Boateng, told by Wilf Sandle" in page
    assert '<a href="/log-book/4/">4</a>' in answer.content.decode()


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("text=NET+loft", [1]),
        ("who=pilar", [2]),
        ("kind=link", [3]),
        ("kind=chassis&code=sr-14", [2]),
        ("since=2026-04-13", [4, 3]),
        ("until=2026-04-13", [3, 2, 1]),
        ("since=2026-04-11&until=2026-04-14", [3]),
        ("text=nothing+of+the+kind", []),
    ],
)
def test_an_address_narrows_the_lines(book, reader, query, found):
    answer = reader.get(f"{LIST}?{query}")
    assert numbers(answer) == found
    if not found:
        assert "No line of the log book fits what was asked for." in words(answer)


def test_a_day_counts_by_the_clock_of_the_site(write, reader, settings):
    settings.TIME_ZONE = "Europe/London"
    write("Half past midnight in summer time.", at=datetime(2026, 6, 30, 23, 30, tzinfo=UTC))
    assert numbers(reader.get(f"{LIST}?since=2026-07-01&until=2026-07-01")) == [1]
    assert numbers(reader.get(f"{LIST}?until=2026-06-30")) == []


def test_htmx_gets_the_rows_alone(book, reader):
    rows = reader.get(LIST, headers={"HX-Request": "true"}).content.decode()
    assert "<table" in rows
    assert "<html" not in rows
    whole = reader.get(LIST, headers={"HX-Request": "true", "HX-History-Restore-Request": "true"})
    assert "<html" in whole.content.decode()


def test_a_list_for_paper_is_oldest_first_and_has_the_codes(book, reader):
    answer = reader.get(f"{LIST}?kind=fault")
    assert 'href="/log-book/?kind=fault&amp;print=1"' in answer.content.decode()
    paper = reader.get(f"{LIST}?print=1")
    assert numbers(paper) == [1, 2, 3, 4]
    assert "4 lines, oldest first." in words(paper)
    assert book.hash[:8] in words(paper)
    assert "<form" not in paper.content.decode().split("<main")[1]


def test_a_line_shows_its_code_and_the_one_before(book, reader):
    answer = reader.get(reverse("logbook:entry-detail", args=[4]))
    page = words(answer)
    assert "Line 4 of the log book" in page
    assert book.hash in page
    assert book.previous_hash in page
    assert "Line 3, before" in page
    assert "after" not in page.split("How it is bound")[1].split("All lines")[0].replace("after all", "")
    assert "Line 2, before" in words(reader.get(reverse("logbook:entry-detail", args=[3])))


def test_a_line_shows_its_details(write, reader):
    write("Measured.", details={"resistance_ohm": 0.4, "why": "<b>noise</b>"})
    page = reader.get(reverse("logbook:entry-detail", args=[1])).content.decode()
    assert "&lt;b&gt;noise&lt;/b&gt;" in page
    assert "<dt>resistance_ohm</dt><dd>0.4</dd>" in page


def test_a_line_leads_to_what_it_is_about(write, reader, builder):
    write("About a person.", kind="person", code=str(builder.pk))
    assert f'href="/people/{builder.pk}/">person</a>' in reader.get(LIST).content.decode()


@pytest.mark.parametrize(
    ("kind", "address"), [("rail", "/machine/rails/of/HT-2/"), ("earth", "/machine/earths/of/HT-2/")]
)
def test_a_line_leads_to_what_is_shared(write, reader, kind, address):
    write("About what is shared.", kind=kind, code="HT-2")
    assert f'href="{address}">{kind} ' in reader.get(LIST).content.decode()


def test_a_kind_that_has_no_page_is_named_without_a_way(write, reader):
    write("About a wire list.", kind="wire list", code="C to D.csv")
    write("About a person not yet here.", kind="person", code="")
    assert "wire list C to D.csv" in words(reader.get(LIST))


def test_a_line_that_is_not_there_is_not_found(reader):
    assert reader.get(reverse("logbook:entry-detail", args=[5])).status_code == 404


@pytest.mark.parametrize("address", [LIST, f"{LIST}?print=1"])
def test_the_book_asks_as_often_for_many_lines_as_for_few(write, reader, address):
    counts = []
    for more in (4, 45):
        for number in range(more):
            write(f"Line {number}.", kind="chassis", code=f"SR-{number}")
        counts.append(queries_of(reader, address))
    assert counts[0] == counts[1]


def test_a_long_book_has_pages(write, reader):
    for number in range(51):
        write(f"Line {number}.")
    assert numbers(reader.get(f"{LIST}?page=2")) == [1]
    assert "51 to 51 of 51 lines." in words(reader.get(f"{LIST}?page=2"))


class Thing:
    """Anything with a code painted on it."""

    pk = 12
    serial = code = number = name = "SR/14 ~b"


def test_every_kind_of_thing_has_its_last_lines(write):
    request = RequestFactory().get("/")
    for place, (kind, code_of) in SUBJECTS.items():
        write(f"Something about a {kind}.", kind=kind, code=code_of(Thing()))
        drawn = _log_panels(place, request)
        assert len(drawn) == 1
        assert f"Something about a {kind}." in words(drawn[0])


def _log_panels(place, request):
    """The panels of a place that are the log book's; those of other apps want a real subject."""
    from restoration.common import panels

    own = [panel for panel in panels._panels[place] if panel.name == "Log book"]
    assert [panel.order for panel in own] == [90]
    return [panel.render(request, Thing()) for panel in own]


def test_the_panel_shows_the_newest_eight_and_a_way_to_all_in_one_query(write):
    request = RequestFactory().get("/")
    for number in range(SHOWN + 3):
        write(f"Line {number} about it.", kind="chassis", code="SR/14 ~b")
    with CaptureQueriesContext(connection) as asked:
        drawn = last_lines(request, "chassis", "SR/14 ~b")
    assert len(asked) == 1
    assert drawn.count("<li>") == SHOWN
    assert "Line 10 about it." in drawn
    assert "Line 2 about it." not in drawn
    assert "?kind=chassis&amp;code=SR%2F14%20~b" in drawn


def test_a_thing_nothing_was_written_about_says_so(db):
    drawn = last_lines(RequestFactory().get("/"), "chassis", "none")
    assert "The log book says nothing about this yet." in words(drawn)
    assert render_panels("a place that nobody fills", RequestFactory().get("/"), None) == []
