"""The page of what happens on a link."""

import json
import re
from html import unescape

import pytest
from django.urls import reverse

from restoration.conditioning.models import Prediction
from restoration.machine.models import SignalLimit, TerminalFigures
from restoration.people.models import Person
from restoration.proving.services import EndFigures
from restoration.workshop.models import StoresLine
from tests.conditioning.links import bench_test, check, made_link
from tests.counting import queries_of
from tests.factories import make_ready_link
from tests.proving.scope import capture
from tests.proving.visits import recorded
from tests.reading import words as words_of


@pytest.fixture
def bench(link, tester):
    return bench_test(link, tester, rise_time=4e-8, fall_time=6e-8)


@pytest.fixture
def client(as_person, tester):
    return as_person(tester)


def page_of(client, link, words="", status=200):
    answer = client.get(reverse("conditioning:link", args=[link.code]) + words)
    assert answer.status_code == status
    return answer.content.decode()


def lead(html):
    return unescape(re.sub(r"<[^>]+>", "", re.search(r'<p class="lead">(.*?)</p>', html, re.S)[1])).strip()


def test_it_says_what_will_happen_and_what_would_mend_it(client, link, bench, drawer):
    html = page_of(client, link)
    said = lead(html)
    assert said.startswith("17.2 V and ringing are to be expected at the load. Outside: overshoot ")
    assert ", limit at most 10 %. Nearest thing that would mend it: " in said
    assert html.count('<polyline class="line expected"') == 2
    assert "limit, 15 to 20 V" in html
    assert "HT and mains kill." in html
    assert "Advice: verify by measurement" in words_of(html)
    assert "bench test " in html


def test_within_limits_nothing_need_be_fitted(client, link, tester):
    bench_test(link, tester, rise_time=2.5e-7, fall_time=2.5e-7)
    assert lead(page_of(client, link)).startswith("17.2 V is to be expected at the load, within every limit")


def test_without_limits_there_is_a_prediction_and_no_proposal(client, link, bench):
    SignalLimit.objects.all().delete()
    html = page_of(client, link)
    assert lead(html) == "17.2 V and ringing are to be expected at the load; no limit is stated for its signal."
    assert "No limit is stated for digit pulse, so nothing says what would be better." in words_of(html)


def test_without_a_length_it_says_so_and_where_to_go(client, tester, db):
    link = made_link(length_m=None)
    html = page_of(client, link)
    assert lead(html) == f"Nothing can be predicted for this link yet. No length is written down for link {link.code}."
    assert f'href="{reverse("machine:interconnect-edit", args=[link.code])}"' in html
    assert "<polyline" not in html
    assert "HT and mains kill." in html


def test_a_link_of_which_nothing_is_written_still_has_its_page(client, db):
    assert "Nothing says how high the pulse is" in page_of(client, make_ready_link(length_m=2.0))


def test_choosing_a_proposal_draws_before_and_after(client, link, bench, drawer):
    html = page_of(client, link)
    address = unescape(re.search(r'class="head"><a href="([^"]*choose=[^"]*)"', html)[1])
    chosen = client.get(address).content.decode()
    assert chosen.count('<polyline class="line chosen"') == 2
    assert "with the part" in chosen
    assert lead(chosen).endswith("within every limit.")
    assert "(chosen)" in chosen
    assert f'href="{reverse("conditioning:note-add", args=[link.code])}?choose=' in chosen


def test_the_stores_are_proposed_with_their_place_in_the_address(client, link, bench, drawer):
    StoresLine.objects.update(value=220.0)
    html = unescape(page_of(client, link))
    assert f"%40stores-{drawer.pk}" in html
    assert "from stores" in html


def test_parts_typed_by_hand_are_drawn_and_stay_in_the_form(client, link, bench):
    html = page_of(client, link, "?series_ohm=470&shunt_ohm=4k7")
    assert "With 470\xa0Ω in series at the source, 4.70\xa0kΩ from the load terminal to earth: " in lead(html)
    assert 'value="4k7"' in html
    assert html.count('<polyline class="line chosen"') == 2


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("?choose=lid:3", "“lid:3” names no part of a link; choose one from the list again."),
        ("?series_ohm=much", "“much” was given, and this is a resistance"),
        ("?attenuator_f=47p", "A capacitor across the attenuator needs a resistor there"),
        ("?series_ohm=-5", "A part that is there has a value above 0 Ω"),
    ],
)
def test_nonsense_gets_a_sentence_and_the_page_without_a_choice(client, link, bench, words, sentence):
    html = unescape(page_of(client, link, words, status=422))
    assert sentence in html
    assert 'class="line chosen"' not in html


def test_a_check_that_found_something_else_is_reckoned_with(client, link, bench, tester, second_tester):
    check(link, tester, second_tester, amplitude=31.0, overshoot=0.3, rise_time=3e-8)
    html = page_of(client, link)
    assert lead(html).startswith("31 V and ringing are to be expected at the load; the limit is 15 to 20 V.")
    assert "The newest check did not find what drawing and bench let expect" in html
    bench_again = page_of(client, link, "?level=bench")
    assert lead(bench_again).startswith("17.2 V")
    assert "Reckon from what was found" in bench_again
    assert '<td data-label="found last">31' in html


def test_the_measured_trace_lies_on_the_expected_one(client, link, bench, tester, second_tester):
    recorded(link, tester, second_tester, EndFigures("load", "found", capture=capture(), name="a.csv"))
    html = page_of(client, link)
    assert '<polyline class="line found"' in html
    assert "Leading edges are laid on one another." in html
    data = json.loads(client.get(reverse("conditioning:link-trace", args=[link.code]) + "?end=load").content)
    measured, expected = data["traces"]
    turns = [
        next(x for x, y in zip(one["x"], one["y"], strict=True) if y > max(one["y"]) / 2)
        for one in (measured, expected)
    ]
    assert turns[0] == pytest.approx(turns[1], abs=3e-8)


def test_the_samples_for_the_plot_that_zooms(client, link, bench):
    at = reverse("conditioning:link-trace", args=[link.code])
    data = json.loads(client.get(f"{at}?end=source&choose=series_ohm:330.0").content)
    assert [(trace["kind"], trace["name"]) for trace in data["traces"]] == [
        ("expected", "expected now"),
        ("chosen", "with the part"),
    ]
    assert data["bands"] == []
    part = json.loads(client.get(f"{at}?end=load&start_s=0&stop_s=1e-6").content)["traces"][0]
    assert max(part["x"]) <= 1.01e-6
    for words, sentence in (
        ("?end=lid", "The samples of a link are of its load end or its source end; “lid” was asked for."),
        ("?choose=lid:1", "“lid:1” names no part of a link; choose one from the list again."),
        ("?start_s=2&stop_s=1", "What is shown runs from earlier to later, not from 2 to 1."),
        ("?stop_s=-1e308", "What is shown runs from earlier to later, not from -2.22752e-09 to -1e+308."),
    ):
        answer = client.get(at + words)
        assert (answer.status_code, json.loads(answer.content)["refused"]) == (422, [sentence])


def test_a_negative_pulse_has_its_limit_below_rest(client, link, tester):
    bench_test(link, tester, low_level=-17.0)
    data = json.loads(client.get(reverse("conditioning:link-trace", args=[link.code])).content)
    assert (data["bands"][0]["low"], data["bands"][0]["high"]) == (-20, -15)


def test_the_effect_on_each_other_load_is_told(client, link, bench, drawer):
    other = made_link("B-05:7", "D-02:4", length_m=2.0)
    html = page_of(client, link)
    assert f"{other.code}" in words_of(html).replace(" ", "")
    assert "Other loads on the source." in html


def test_a_prediction_is_kept_once_and_held_against_the_next_check(client, link, bench, tester, second_tester):
    html = page_of(client, link)
    token = re.search(r'name="form_token" value="([^"]+)"', html)[1]
    at = reverse("conditioning:keep-prediction", args=[link.code])
    for _ in range(2):
        answer = client.post(at, {"form_token": token})
        assert answer.status_code == 302
    prediction = Prediction.objects.get()
    assert (prediction.made_by, prediction.arrangement) == (tester, {})
    assert {(row.end, row.quantity) for row in prediction.figures.all()} >= {
        ("load", "amplitude"),
        ("source", "rise_time"),
    }
    assert "not yet" in page_of(client, link)
    check(link, tester, second_tester, days=0)
    assert "figures lie inside" in page_of(client, link)


def test_a_prediction_with_chosen_parts_keeps_them(client, link, bench):
    client.post(reverse("conditioning:keep-prediction", args=[link.code]) + "?choose=series_ohm:330.0")
    assert Prediction.objects.get().arrangement == {"series_ohm": 330.0}


def test_nothing_is_kept_of_nothing(client, db):
    link = made_link(length_m=None)
    answer = client.post(reverse("conditioning:keep-prediction", args=[link.code]), follow=True)
    assert not Prediction.objects.exists()
    assert f"No length is written down for link {link.code}." in unescape(answer.content.decode())


def test_who_may_see_and_who_may_go_on(as_person, link, bench, builder, tester):
    chosen = "?choose=series_ohm:330.0"
    assert "Make it a modification note" in page_of(as_person(tester), link, chosen)
    seen = page_of(as_person(builder), link, chosen)
    assert "Make it a modification note" not in seen
    assert "Keep this prediction" not in seen
    nobody = Person.objects.create(display_name="A visitor", email="visitor@kestrelsands.example")
    assert as_person(nobody).get(reverse("conditioning:link", args=[link.code])).status_code == 403
    assert as_person(builder).post(reverse("conditioning:keep-prediction", args=[link.code])).status_code == 403
    assert as_person(tester).get(reverse("conditioning:link", args=["no such"])).status_code == 404


def test_the_queries_of_the_page_do_not_grow(client, link, bench, tester, second_tester, write_note):
    at = reverse("conditioning:link", args=[link.code])
    check(link, tester, second_tester, days=9)
    few = queries_of(client, at)
    for number in range(3, 6):
        made_link("B-05:7", f"D-0{number}:4", length_m=2.0)
        check(link, tester, second_tester, days=number)
    assert queries_of(client, at) == few


@pytest.mark.parametrize("typed", ["shunt_ohm=1e-30", "choose=attenuator_ohm:1e308,shunt_ohm:1.0"])
def test_parts_of_sizes_that_cannot_be_leave_a_sentence_and_what_was_typed(client, link, bench, typed):
    html = page_of(client, link, f"?{typed}", 422)
    assert "Nothing of the pulse is left on this link: look at the resistances given for its drive, load" in lead(html)
    assert lead(html).startswith("Nothing can be predicted for this link with ")
    assert re.search(r'name="shunt_ohm"[^>]*value="(1e-30|1)"', html)
    answer = client.get(reverse("conditioning:link-trace", args=[link.code]) + f"?{typed}")
    assert answer.status_code == 422
    assert json.loads(answer.content)["refused"][0].startswith("Nothing of the pulse is left on this link")


def test_a_load_that_no_pulse_gets_through_is_said_and_no_error(client, link, bench):
    TerminalFigures.objects.filter(terminal="2").update(load_f=1e-5)
    said = lead(page_of(client, link))
    assert said.startswith("Nothing can be predicted for this link. The pulse of this link does not pass half of its")
    kept = client.post(reverse("conditioning:keep-prediction", args=[link.code]), {}, follow=True)
    assert "Nothing was kept. The pulse of this link does not pass half" in words_of(kept)
    assert not Prediction.objects.exists()
    note = client.get(reverse("conditioning:note-add", args=[link.code]) + "?choose=shunt_ohm:1000.0")
    assert "Nothing can be predicted for this link, so none is kept with the note." in words_of(note)
