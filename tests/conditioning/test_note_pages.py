"""Writing a modification note, reading it, its card."""

from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from restoration.commissioning.services.changes import take_back
from restoration.conditioning.models import ModificationNote
from restoration.engineering.in_place import Arrangement
from restoration.workshop.models import StoresLine
from tests.conditioning.links import bench_test, check, made_link
from tests.counting import queries_of
from tests.reading import words

CHOSEN = "?choose=series_ohm:330.0"


@pytest.fixture
def client(as_person, tester):
    return as_person(tester)


@pytest.fixture
def bench(link, tester):
    return bench_test(link, tester, rise_time=4e-8, fall_time=6e-8)


def form_of(client, link, query=CHOSEN):
    return client.get(reverse("conditioning:note-add", args=[link.code]) + query)


def filled(answer, second, **given):
    """What the form sends if its second person is said and nothing else is touched."""
    form = answer.context["form"]
    values = {name: form[name].value() for name in form.fields if form[name].value() not in (None, "")}
    values.pop("photo", None)
    return {**values, "second_person": second.pk, "why": "It rings in place.", **given}


def send(client, link, second, query=CHOSEN, **given):
    at = reverse("conditioning:note-add", args=[link.code]) + query
    return client.post(at, filled(form_of(client, link, query), second, **given))


def test_the_form_is_filled_in_and_looks_ahead(client, link, bench, tester, second_tester, drawer):
    check(link, tester, second_tester, amplitude=25.0)
    answer = form_of(client, link, f"?choose=series_ohm:330.0@stores-{drawer.pk}")
    form, html = answer.context["form"], answer.content.decode()
    assert form["place"].value() == "at terminal 7 of slot B-05"
    assert form["undone_how"].value() == (
        "Take out the part in series and solder the wire to its terminal again. No hole is drilled and nothing "
        "original is cut."
    )
    assert form["why"].value().startswith("25 V was found at the load. Outside of its limits: ")
    assert form["from_series_ohm"].value() == drawer.pk
    assert "This will put" in html
    assert "HT and mains kill." in html
    assert "This is dead work." in html
    assert reverse("commissioning:change-before", args=["conditioned"]) in html
    assert ModificationNote.objects.count() == 0


def test_a_part_to_be_bought_is_not_taken_from_the_stores(client, link, bench, drawer):
    form = form_of(client, link, "?choose=series_ohm:330.0@E24-resistor-330").context["form"]
    assert form["from_series_ohm"].value() is None


def test_one_step_makes_it_a_note_with_its_prediction(client, link, bench, second_tester, drawer):
    answer = send(client, link, second_tester, f"?choose=series_ohm:330.0@stores-{drawer.pk}")
    note = ModificationNote.objects.get()
    assert answer["Location"] == note.get_absolute_url()
    assert note.prediction.arrangement == {"series_ohm": 330.0}
    part = note.parts.get()
    assert (part.stores_line, part.tolerance) == (drawer, 0.05)
    assert part.needs_w > 0
    assert part.needs_v > 5
    assert StoresLine.objects.get().quantity == 2
    page = client.get(note.get_absolute_url())
    assert "On the link now: 330 Ω in series at the source. It is not measured yet." in words(page).replace("\xa0", " ")
    assert f"Stored as modification note {note.pk}; evidence stands in doubt in" in words(page)


def test_the_same_sending_twice_is_one_note(client, link, bench, second_tester):
    at = reverse("conditioning:note-add", args=[link.code]) + CHOSEN
    given = filled(form_of(client, link), second_tester)
    assert client.post(at, given)["Location"] == client.post(at, given)["Location"]
    assert ModificationNote.objects.count() == 1


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"second_person": ""}, "A part put on at the rack is seen by a second person; say who."),
        ({"undone_how": ""}, "Say how it is undone; if it cannot be undone, say that."),
        ({"kind": "value only"}, "A part took the place of another: say where the original is kept, labelled."),
        ({"seen": "77"}, "is no longer in force on link"),
    ],
)
def test_what_is_refused_comes_back_with_the_words_kept(client, link, bench, second_tester, given, sentence):
    answer = send(client, link, second_tester, marked_how="red sleeve", **given)
    assert answer.status_code == 422
    assert sentence in unescape(answer.content.decode())
    assert "red sleeve" in answer.content.decode()
    assert not ModificationNote.objects.exists()


def test_a_link_that_cannot_be_predicted_can_have_a_note_all_the_same(client, second_tester, db):
    link = made_link(length_m=None)
    assert "Nothing can be predicted for this link" in words(form_of(client, link))
    assert send(client, link, second_tester).status_code == 302
    assert ModificationNote.objects.get().prediction is None


def test_without_parts_the_address_asks_for_them_first(client, link, bench, write_note):
    answer = form_of(client, link, "")
    assert "Say first what is to be on this link: now it has nothing fitted." in words(answer)
    write_note()
    assert "Take everything off" in words(form_of(client, link, ""))
    assert form_of(client, link, "?choose=lid:1").status_code == 422


def test_taking_off_gives_the_part_back_to_the_stores(client, link, bench, second_tester, write_note, drawer):
    first = write_note(line=drawer, at=timezone.now() - timedelta(hours=1))
    page = client.get(first.get_absolute_url()).content.decode()
    assert "?choose=nothing" in page
    answer = send(client, link, second_tester, "?choose=nothing", back_series_ohm="on")
    assert answer.status_code == 302
    assert StoresLine.objects.get().quantity == 3
    off = ModificationNote.objects.latest("pk")
    assert off.arrangement == {}
    assert "Nothing goes on:" in words(client.get(reverse("conditioning:note-card", args=[off.pk])))
    assert f"Note {off.pk} tells what is on the link now" in words(client.get(first.get_absolute_url()))


def test_the_page_says_what_came_of_the_prediction(client, link, bench, tester, second_tester):
    send(client, link, second_tester)
    note = ModificationNote.objects.get()
    made = check(link, tester, second_tester, days=0, amplitude=16.9, overshoot=0.5)
    page = client.get(note.get_absolute_url())
    outcome = page.context["outcome"]
    assert outcome.check == made
    said = f"Measured afterwards: {outcome.held} of {len(outcome.figures)} figures lie where they were predicted."
    assert said in words(page)
    marks = {(row.name, row.end): row.mark for row in page.context["rows"]}
    assert (marks["amplitude", "load"], marks["overshoot", "load"]) == ("passed", "failed")


def test_a_note_whose_change_was_taken_back_says_so(client, write_note, tester):
    note = write_note()
    later = take_back(change=note.change, why="It was another link.", done_by=tester, entered_by=tester)
    assert f"It counts no more: change {later.pk} took its place." in words(client.get(note.get_absolute_url()))


def test_the_card_has_values_ratings_place_and_a_drawing(client, link, bench, second_tester, drawer):
    send(client, link, second_tester, f"?choose=series_ohm:330.0@stores-{drawer.pk}")
    answer = client.get(reverse("conditioning:note-card", args=[ModificationNote.objects.get().pk]))
    html, said = answer.content.decode(), words(answer).replace("\xa0", " ")
    assert "Make and fit, at terminal 7 of slot B-05" in said
    assert "330 Ω in series at the source." in said
    assert "stores, drawer 4" in said
    assert "5 %" in said
    assert [step.symbol for step in answer.context["chain"]] == ["end", "resistor-series", "wire", "end"]
    assert 'class="chain"' in html
    assert "HT and mains kill." in html
    assert "verify by measurement" in html


def test_every_kind_of_part_is_drawn_where_it_sits(client, link, write_note):
    arrangement = Arrangement(220.0, 2200.0, 1000.0, 47e-12, 1000.0, 1e-8)
    note = write_note(arrangement=arrangement)
    chain = client.get(note.get_absolute_url()).context["chain"]
    assert [step.symbol for step in chain] == [
        "end",
        "resistor-earth",
        "resistor-series",
        "wire",
        "resistor-series",
        "capacitor-across",
        "resistor-earth",
        "capacitor-earth",
        "end",
    ]


def test_whoever_sees_records_reads_notes_and_only_some_write_them(as_person, builder, link, bench, write_note):
    note = write_note()
    pages = as_person(builder)
    assert pages.get(note.get_absolute_url()).status_code == 200
    assert pages.get(reverse("conditioning:note-card", args=[note.pk])).status_code == 200
    assert form_of(pages, link).status_code == 403
    assert pages.get(reverse("conditioning:note-detail", args=[999])).status_code == 404


def test_leading_a_wire_another_way_needs_who_may_join(as_person, power_person, link, bench, second_tester, write_note):
    write_note(at=timezone.now() - timedelta(hours=1))
    way = {"kind": "led another way", "place": "behind rack C", "undone_how": "Lead it through loom 12 again."}
    assert send(as_person(power_person), link, second_tester, CHOSEN, **way).status_code == 403
    assert ModificationNote.objects.count() == 1
    assert send(as_person(second_tester), link, power_person, CHOSEN, **way).status_code == 302


def test_how_deep_it_goes_is_filled_in(client, link, bench, write_note):
    assert form_of(client, link).context["form"]["kind"].value() == "part added"
    write_note()
    assert form_of(client, link, CHOSEN).context["form"]["kind"].value() == "led another way"
    other = form_of(client, link, "?choose=series_ohm:470.0").context["form"]
    assert other["kind"].value() == "value only"
    assert other["undone_how"].value().startswith("Take out the part in series")
    assert "put back 330\xa0Ω in series at the source" in other["undone_how"].value()
    assert form_of(client, link, "?choose=nothing").context["form"]["kind"].value() == "part added"


def test_the_panel_tells_predicted_beside_measured(client, link, bench, tester, second_tester):
    page = client.get(link.get_absolute_url())
    assert "No prediction is kept for this link yet." in words(page)
    assert reverse("conditioning:link", args=[link.code]) in page.content.decode()
    send(client, link, second_tester)
    assert "Not measured since." in words(client.get(link.get_absolute_url()))
    check(link, tester, second_tester, days=0, amplitude=16.9)
    said = words(client.get(link.get_absolute_url())).replace("\xa0", " ")
    assert "On the wire: 330 Ω in series at the source" in said
    assert ", measured 16.9 V" in said


def test_the_queries_of_a_note_do_not_grow_with_its_parts(client, write_note, drawer):
    few = queries_of(client, write_note(line=drawer, at=timezone.now() - timedelta(hours=2)).get_absolute_url())
    StoresLine.objects.update(quantity=9)
    arrangement = Arrangement(330.0, 2200.0, 1000.0, 47e-12, 1000.0, 1e-8)
    note = write_note(arrangement=arrangement, line=drawer)
    assert queries_of(client, note.get_absolute_url()) == few
