"""What the terminals of a design drive and load: written down in one form, shown, refused, and found for many."""

import math
import uuid
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from restoration.logbook.models import Entry
from restoration.machine.ends import drive_in_words, figures_of, load_in_words, wire_kind_of
from restoration.machine.models import Basis, Slot, Terminal, TerminalFigures, WireKind
from restoration.machine.services import EndGiven, ends_of, set_terminal_figures, stamp_of
from restoration.people.models import Person
from tests.counting import queries_in, queries_of
from tests.factories import make_design, make_link, make_terminal
from tests.reading import last_line, refused, words

GRID = EndGiven("2", load_ohm=1e6, load_f=47e-12, grid_stopper_ohm=10e3)
FOLLOWER = EndGiven("7", drive_ohm=470.0, drive_most_a=0.012, basis=Basis.MEASURED, remarks="warm, on the bench")


def form(*rows: dict[str, str], **more: str) -> dict[str, str]:
    """What the form sends: its rows, and how many there are."""
    sent = {"end-TOTAL_FORMS": str(len(rows)), "end-INITIAL_FORMS": "0", **more}
    return sent | {f"end-{at}-{name}": value for at, row in enumerate(rows) for name, value in row.items()}


def address(piece: SimpleNamespace) -> str:
    return reverse("machine:design-ends", args=[piece.design.number])


@pytest.fixture
def lead(site_lead: Person, as_person: Any) -> Client:
    client: Client = as_person(site_lead)
    return client


def test_they_are_written_down_as_people_write_them(piece: SimpleNamespace, lead: Client) -> None:
    sent = form(
        {"terminal": "2", "load_ohm": "1M", "load_f": "47", "grid_stopper_ohm": "10k", "basis": "drawing"},
        {
            "terminal": "7",
            "drive_ohm": "470",
            "drive_most_a": "12",
            "basis": "measured",
            "remarks": "warm, on the bench",
        },
        {"terminal": "8"},
        {"terminal": ""},
    )
    answer = lead.post(address(piece), sent)
    assert (answer.status_code, answer["Location"]) == (302, piece.design.get_absolute_url())
    assert ends_of(piece.design) == [GRID, FOLLOWER]
    assert last_line().sentence == ("Ama Boateng wrote down what the terminals of drawing KS-204 drive and load: 2, 7.")


def test_the_line_keeps_what_stood_there_before(piece: SimpleNamespace, site_lead: Person) -> None:
    set_terminal_figures(design=piece.design, rows=[GRID], by=site_lead)
    set_terminal_figures(design=piece.design, rows=[FOLLOWER], by=site_lead)
    line = last_line()
    assert line.sentence == "Ama Boateng wrote down what terminal 7 of drawing KS-204 drives and loads."
    assert [row["terminal"] for row in line.details["before"]] == ["2"]
    assert line.details["now"][0]["drive_most_a"] == 0.012
    set_terminal_figures(design=piece.design, rows=[], by=None)
    assert last_line().sentence == ("The command line took out what was written of the terminals of drawing KS-204.")
    assert not TerminalFigures.objects.exists()


def test_taking_out_where_nothing_stood_is_refused_and_not_logged(piece: SimpleNamespace, site_lead: Person) -> None:
    said = refused(set_terminal_figures, design=piece.design, rows=[], by=site_lead)
    assert said == "Nothing is said of any terminal of drawing KS-204 yet, so there is nothing to store."
    assert not Entry.objects.filter(act="terminal figures set").exists()


def test_the_page_of_the_design_shows_them(piece: SimpleNamespace, lead: Client, site_lead: Person) -> None:
    before = words(lead.get(piece.design.get_absolute_url()))
    assert "Nothing is written down of its terminals as ends of a wire" in before
    set_terminal_figures(design=piece.design, rows=[GRID, FOLLOWER], by=site_lead)
    page = words(lead.get(piece.design.get_absolute_url()))
    assert "2 not said 1 MΩ ∥ 47 pF behind 10 kΩ from the drawing none" in page
    assert "7 470 Ω, 12 mA at most not said measured warm, on the bench" in page


def test_the_form_opens_with_what_stands_and_with_the_terminals_that_have_wires(
    piece: SimpleNamespace, lead: Client, site_lead: Person
) -> None:
    make_terminal("C-04:5")
    make_link("C-04:7", "D-02:9")
    make_link("C-04:7", "D-02:10")
    set_terminal_figures(design=piece.design, rows=[GRID], by=site_lead)
    answer = lead.get(address(piece))
    rows = answer.context["rows"]
    assert [row.initial.get("terminal") for row in rows] == ["2", "7", None, None]
    page = answer.content.decode()
    assert 'name="end-0-load_ohm" value="1 MΩ"' in page
    assert 'name="end-0-load_f" value="47 pF"' in page
    assert page.count("Take this terminal out") == 1
    assert "Marks on the slots of this design: 2 5 7" in words(answer)
    assert "HT and mains kill." in words(answer)


def test_the_form_sent_back_as_it_was_changes_nothing(piece: SimpleNamespace, lead: Client, site_lead: Person) -> None:
    set_terminal_figures(design=piece.design, rows=[GRID, FOLLOWER], by=site_lead)
    rows = lead.get(address(piece)).context["rows"]
    shown = [{bound.name: str(bound.value() or "") for bound in row if bound.name != "take_out"} for row in rows]
    assert lead.post(address(piece), form(*shown)).status_code == 302
    assert ends_of(piece.design) == [GRID, FOLLOWER]


def test_a_terminal_is_taken_out_and_another_kept(piece: SimpleNamespace, lead: Client, site_lead: Person) -> None:
    set_terminal_figures(design=piece.design, rows=[GRID, FOLLOWER], by=site_lead)
    sent = form({"terminal": "2", "load_ohm": "1M", "take_out": "on"}, {"terminal": "7", "drive_ohm": "1k"})
    assert lead.post(address(piece), sent).status_code == 302
    assert ends_of(piece.design) == [EndGiven("7", drive_ohm=1000.0)]


def test_both_texts_are_shown_and_sending_again_is_a_decision(
    piece: SimpleNamespace, lead: Client, drawings_keeper: Person
) -> None:
    seen = lead.get(address(piece)).context["form"]["version"].value()
    set_terminal_figures(design=piece.design, rows=[GRID], by=drawings_keeper)
    sent = form({"terminal": "7", "drive_ohm": "470"}, version=seen)
    late = lead.post(address(piece), sent)
    assert late.status_code == 409
    assert "Terminal 2 As stored now drives behind nothing said, loads with 1 MΩ ∥ 47 pF behind 10 kΩ" in words(late)
    assert 'name="end-0-drive_ohm" value="470"' in late.content.decode()
    assert ends_of(piece.design) == [GRID]
    anew = late.context["form"]["version"].value()
    assert anew == stamp_of(piece.design) != seen
    assert lead.post(address(piece), {**sent, "version": anew}).status_code == 302
    assert ends_of(piece.design) == [EndGiven("7", drive_ohm=470.0)]


def test_what_another_has_taken_out_is_shown_as_empty(
    piece: SimpleNamespace, lead: Client, drawings_keeper: Person
) -> None:
    set_terminal_figures(design=piece.design, rows=[GRID], by=drawings_keeper)
    seen = lead.get(address(piece)).context["form"]["version"].value()
    set_terminal_figures(design=piece.design, rows=[], by=drawings_keeper)
    late = lead.post(address(piece), form({"terminal": "2", "load_ohm": "1M"}, version=seen))
    assert late.status_code == 409
    assert "Terminals As stored now (empty)" in words(late)


WRONG = [
    ([{"load_ohm": "1M"}], "Give the mark of the terminal, as on the drawing."),
    ([{"terminal": "3", "remarks": "see the margin"}], "A remark stands beside a figure; give one of the figures too."),
    ([{"terminal": "3", "load_ohm": "much"}], "“much” was given, and this is a resistance: 0.4, 1k5 or 22M, say."),
    ([{"terminal": "3", "load_ohm": "0"}],
     "The load resistance of terminal 3 was given as 0 Ω; it is above zero, and finite."),
    ([{"terminal": "3", "drive_ohm": "-470"}],
     "The drive resistance of terminal 3 was given as -470 Ω; it is zero or more, and finite."),
    ([{"terminal": "3", "drive_most_a": "0"}],
     "The greatest drive current of terminal 3 was given as 0 A; it is above zero, and finite."),
    ([{"terminal": "3", "load_f": "4 kg"}], "“4 kg” was given, and this is a capacitance"),
    ([{"terminal": "3\x07", "load_ohm": "1M"}],
     "The text holds the control character U+0007; only printed characters are taken."),
    ([{"terminal": "x" * 61, "load_ohm": "1M"}], "Ensure this value has at most 60 characters (it has 61)."),
    ([{"terminal": "3", "load_ohm": "1M"}, {"terminal": "3", "load_f": "5"}],
     "These terminals stand in two rows each: 3."),
    ([{"terminal": "3", "load_ohm": "1M", "basis": "hearsay"}], "hearsay is not one of the available choices."),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "sentence"), WRONG)
def test_nonsense_is_refused_and_nothing_half_saved(
    rows: list[dict[str, str]], sentence: str, piece: SimpleNamespace, lead: Client, site_lead: Person
) -> None:
    set_terminal_figures(design=piece.design, rows=[GRID], by=site_lead)
    answer = lead.post(address(piece), form({"terminal": "9", "drive_ohm": "1k"}, *rows))
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert ends_of(piece.design) == [GRID]
    assert Entry.objects.count() == 1


SERVICE = [
    (EndGiven("3"), "Nothing is said of terminal 3: give what it drives with or what it loads with, or leave its row "
     "out."),
    (EndGiven("3", load_ohm=math.nan), "The load resistance of terminal 3 was given as nan; it is above zero, and "
     "finite."),
    (EndGiven("3", drive_ohm=math.inf), "The drive resistance of terminal 3 was given as inf; it is zero or more, and "
     "finite."),
    (EndGiven("3", load_f=-1e-12), "The load capacitance of terminal 3 was given as -1 pF; it is zero or more, and "
     "finite."),
    (EndGiven("2", drive_ohm=1.0), "Terminal 2 stands in two rows; write all that is known of it in one."),
    (EndGiven("3", drive_ohm=1.0, basis="hearsay"), "Value 'hearsay' is not a valid choice."),
    (EndGiven("x" * 61, drive_ohm=1.0), "Ensure this value has at most 60 characters (it has 61)."),
]  # fmt: skip


@pytest.mark.parametrize(("row", "sentence"), SERVICE)
def test_a_service_stores_all_rows_or_none(
    row: EndGiven, sentence: str, piece: SimpleNamespace, site_lead: Person
) -> None:
    set_terminal_figures(design=piece.design, rows=[FOLLOWER], by=site_lead)
    assert refused(set_terminal_figures, design=piece.design, rows=[GRID, row], by=site_lead) == sentence
    assert ends_of(piece.design) == [FOLLOWER]
    assert Entry.objects.count() == 1


BELOW = "Resistances, capacitances and currents of a terminal are not below zero."
CONSTRAINTS = [
    ("drive_ohm", 0.0, -1.0),
    ("drive_most_a", 1e-6, 0.0),
    ("load_ohm", 1.0, 0.0),
    ("load_f", 0.0, -1e-12),
    ("grid_stopper_ohm", 0.0, -1.0),
]


@pytest.mark.parametrize(("name", "allowed", "not_allowed"), CONSTRAINTS)
def test_the_database_refuses_what_no_terminal_can_be(
    piece: SimpleNamespace, name: str, allowed: float, not_allowed: float
) -> None:
    TerminalFigures(design=piece.design, terminal="2", **{name: allowed}).full_clean()
    TerminalFigures.objects.create(design=piece.design, terminal="2", **{name: allowed})
    wrong = TerminalFigures(design=piece.design, terminal="3", **{name: not_allowed})
    with pytest.raises(ValidationError, match=BELOW):
        wrong.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        wrong.save()


def test_a_terminal_stands_once_in_a_design(piece: SimpleNamespace) -> None:
    TerminalFigures.objects.create(design=piece.design, terminal="2", load_f=0.0)
    TerminalFigures(design=make_design("KS-9"), terminal="2", load_f=0.0).full_clean()
    again = TerminalFigures(design=piece.design, terminal="2", load_f=0.0)
    with pytest.raises(ValidationError, match="This design says that of this terminal already."):
        again.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        again.save()


def test_a_form_sent_twice_is_stored_once(piece: SimpleNamespace, lead: Client) -> None:
    sent = form({"terminal": "2", "load_ohm": "1M"}, form_token=str(uuid.uuid4()))
    assert lead.post(address(piece), sent).status_code == 302
    assert lead.post(address(piece), sent).status_code == 302
    assert Entry.objects.count() == 1


def test_a_tester_reads_and_does_not_write(piece: SimpleNamespace, tester: Person, as_person: Any) -> None:
    client = as_person(tester)
    assert address(piece) not in client.get(piece.design.get_absolute_url()).content.decode()
    assert client.get(address(piece)).status_code == 403
    assert client.post(address(piece), form({"terminal": "2", "load_ohm": "1M"})).status_code == 403
    assert Client().get(address(piece)).status_code == 302


def test_a_design_that_is_not_there_is_not_found(lead: Client) -> None:
    assert lead.get(reverse("machine:design-ends", args=["KS-999"])).status_code == 404


def test_many_terminals_cost_the_page_no_more(piece: SimpleNamespace, lead: Client, site_lead: Person) -> None:
    def queries_with(count: int) -> tuple[int, int]:
        rows = [EndGiven(f"t{at}", load_f=1e-12) for at in range(count)]
        set_terminal_figures(design=piece.design, rows=rows, by=site_lead)
        return queries_of(lead, piece.design.get_absolute_url()), queries_of(lead, address(piece))

    assert queries_with(2) == queries_with(40)


def test_figures_are_found_by_the_design_of_the_slot(piece: SimpleNamespace, site_lead: Person) -> None:
    other = make_design("KS-205")
    Slot.objects.filter(code="D-02").update(design=other)
    set_terminal_figures(design=piece.design, rows=[GRID, FOLLOWER], by=site_lead)
    set_terminal_figures(design=other, rows=[EndGiven("2", load_f=5e-12)], by=site_lead)
    terminals = [make_terminal(painted) for painted in ("C-04:2", "C-04:8", "D-02:2", "B-05:7")]
    found = figures_of(terminals)
    assert {pk: (row.design.number, row.load_f) for pk, row in found.items()} == {
        terminals[0].pk: ("KS-204", 47e-12),
        terminals[2].pk: ("KS-205", 5e-12),
    }
    assert figures_of([]) == {}


def test_figures_of_many_terminals_take_two_reads(piece: SimpleNamespace, site_lead: Person) -> None:
    rows = [EndGiven(f"t{at}", load_f=1e-12) for at in range(40)]
    set_terminal_figures(design=piece.design, rows=rows, by=site_lead)
    terminals = Terminal.objects.bulk_create(Terminal(slot=piece.slot, code=row.terminal) for row in rows)
    assert queries_in(lambda: figures_of(terminals)) == 2
    assert len(figures_of(terminals)) == 40


def test_the_kind_of_a_wire_is_found_by_its_name(piece: SimpleNamespace) -> None:
    kind = WireKind.objects.create(name="tinned 0.7", form="over chassis", conductor_m=0.7e-3, spacing_m=20e-3)
    named = [make_link("A-01:1", "A-02:1", wire="tinned 0.7"), make_link("A-01:2", "A-02:2", wire="Tinned 0.7")]
    assert wire_kind_of([*named, *piece.links]) == {"tinned 0.7": kind}
    assert queries_in(lambda: wire_kind_of(named)) == 1


SAID = [
    ({"drive_ohm": 1000.0}, "1 kΩ", ""),
    ({"drive_ohm": 0.0, "drive_most_a": 0.05}, "0 Ω, 50 mA at most", ""),
    ({"drive_most_a": 0.02}, "20 mA at most", ""),
    ({"load_ohm": 4700.0}, "", "4.7 kΩ"),
    ({"load_f": 1.2e-11, "grid_stopper_ohm": 100.0}, "", "12 pF behind 100 Ω"),
    ({"grid_stopper_ohm": 100.0}, "", "a load not said behind 100 Ω"),
]


@pytest.mark.parametrize(("facts", "drives", "loads"), SAID)
def test_terminals_in_words(facts: dict[str, float], drives: str, loads: str) -> None:
    figures = TerminalFigures(terminal="2", **facts)
    assert (drive_in_words(figures), load_in_words(figures)) == (drives, loads)
