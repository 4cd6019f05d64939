"""Bench against place: ratios, the explanation that the model offers, and why some links have none."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from restoration.conditioning.bench_and_place import compared, explained
from restoration.conditioning.models import WiringFit
from restoration.engineering.in_place import NOMINAL, Arrangement
from restoration.machine.models import Interconnect, TerminalFigures
from tests.conditioning.hidden_site import measured, site, wired
from tests.conditioning.links import bench_test, check, made_link
from tests.counting import queries_of
from tests.factories import make_slot
from tests.reading import words

LIST = reverse("conditioning:bench-list")


def slot_page(code="B-05"):
    return reverse("conditioning:bench-slot", args=[code])


@pytest.fixture
def both(link, tester, second_tester):
    """The link measured on the bench (17 V with 10 kΩ) and in place (20 V)."""
    bench_test(link, tester)
    return check(link, tester, second_tester, amplitude=20.0)


def test_nothing_measured_is_said_plainly(as_person, tester, link):
    said = words(as_person(tester).get(LIST))
    assert "No link here has been measured both on the bench and in place." in said
    assert "1 link: no signal check yet." in said


def test_the_farthest_apart_comes_first_either_way(link, tester, second_tester, both):
    low, near = made_link("B-06:7", "C-06:2"), made_link("B-07:7", "C-07:2")
    for other, amplitude in ((low, 10.0), (near, 17.5)):
        bench_test(other, tester)
        check(other, tester, second_tester, amplitude=amplitude)
    rows, reasons = compared()
    assert [row.link for row in rows] == [low, link, near]
    assert [round(row.amplitude.ratio, 2) for row in rows] == [0.59, 1.18, 1.03]
    assert reasons == {}


def test_the_list_leads_with_the_worst(as_person, builder, link, both):
    said = words(as_person(builder).get(LIST))
    assert (
        f"1 link can be compared; farthest apart is {link.code} , with 20 V in place where the bench showed 17 V"
        in (said)
    )
    assert f"{link.code} 17 V 10 kΩ 20 V 1.18 Slot B-05" in said
    assert "HT and mains kill" in said


def test_only_the_newest_check_of_a_link_counts(link, tester, second_tester, both):
    check(link, tester, second_tester, amplitude=17.0, days=1)
    (row,) = compared()[0]
    assert row.amplitude.ratio == pytest.approx(1.0)


def test_a_link_that_cannot_be_compared_is_counted_with_its_reason(as_person, tester, second_tester, link, both):
    check(made_link("B-06:7", "C-06:2"), tester, second_tester)
    said = words(as_person(tester).get(LIST))
    assert "1 link: no bench test tells the amplitude of the chassis that was in the slot of its source." in said


def test_the_list_is_narrowed_by_rack_and_slot(as_person, tester, second_tester, link, both):
    other = made_link("D-06:7", "C-06:2")
    bench_test(other, tester)
    check(other, tester, second_tester)
    client = as_person(tester)
    assert f"{link.code} 17 V" not in words(client.get(LIST, {"rack": "D"}))
    assert f"{other.code} 17 V" in words(client.get(LIST, {"rack": "D"}))
    assert f"{other.code} 17 V" not in words(client.get(LIST, {"text": "B-05"}))
    assert f"{link.code} 17 V" in words(client.get(LIST, {"text": "B-05"}))


def test_a_rack_that_is_not_there_lets_nothing_through(as_person, tester, both):
    answer = as_person(tester).get(LIST, {"rack": "Q"})
    assert answer.status_code == 200
    assert "1.18" not in words(answer)


def test_htmx_gets_the_rows_alone(as_person, tester, both):
    answer = as_person(tester).get(LIST, headers={"HX-Request": "true"})
    assert "<html" not in answer.content.decode()
    assert "1.18" in words(answer)


def test_the_explanation_multiplies_up_to_the_ratio(link, tester, second_tester):
    bench_test(link, tester)
    TerminalFigures.objects.filter(terminal="7").update(drive_ohm=3000.0)
    check(link, tester, second_tester, amplitude=21.0)
    (row,) = explained([link], NOMINAL)
    product = row.explanation.unexplained
    for factor in row.explanation.factors:
        product *= factor.ratio
    assert product == pytest.approx(21.0 / 17.0)
    assert row.factors[0].words == "the loads in place have 100\xa0kΩ together, the bench load 10.0\xa0kΩ"
    assert row.factors[0].change == "26.2\xa0% more"
    assert row.mark == "passed"


def test_what_the_model_cannot_explain_stands_last_and_in_doubt(as_person, tester, link, both):
    (row,) = explained([link], NOMINAL)
    assert row.factors[-1].words == "what the model does not explain"
    assert row.factors[-1].change == "16.1\xa0% more"
    assert row.mark == "in doubt"
    said = words(as_person(tester).get(slot_page()))
    assert "The model explains the amplitude in place of 0 of the 1 link that was measured on both sides." in said
    assert "What the model does not explain 16.1 % more" in said
    assert "Changes nothing here:" in said
    assert "verify by measurement" in said
    assert "HT and mains kill" in said


def test_a_link_as_the_model_has_it_is_explained(as_person, tester, second_tester):
    link = measured(wired(0), tester, second_tester, hidden=(1.0, 1.0, 1.0))
    (row,) = explained([link], NOMINAL)
    assert row.explanation.unexplained == pytest.approx(1.0, abs=1e-3)
    assert (row.factors[-1].change, row.factors[-1].is_felt) == ("nothing", False)
    said = words(as_person(tester).get(slot_page("B-01")))
    assert "The model explains the amplitude in place to within the" in said


def test_parts_on_the_link_are_a_reason(link, tester, second_tester, write_note):
    bench_test(link, tester)
    write_note(arrangement=Arrangement(shunt_ohm=300.0), at=timezone.now() - timedelta(days=3))
    check(link, tester, second_tester, amplitude=11.5)
    (row,) = explained([link], NOMINAL)
    fitted = next(factor for factor in row.factors if factor.words.startswith("parts are fitted"))
    assert fitted.ratio == pytest.approx(300.0 / 450.0, rel=0.01)


def test_the_constants_in_use_are_a_reason(as_person, tester, link, both):
    told = NOMINAL.as_dict() | {"means": [0.0, 0.0, 0.5]}
    fit = WiringFit.objects.create(record_count=9, told=told)
    TerminalFigures.objects.filter(terminal="7").update(drive_ohm=1000.0)
    said = words(as_person(tester).get(slot_page()))
    assert "The site's records have the drive resistance 1.65 times that of the drawing" in said
    assert f"constants {fit.pk}" in said


def test_links_without_a_check_or_a_length_say_why(as_person, tester, second_tester, link, both):
    made_link("B-05:8", "C-06:2")
    Interconnect.objects.filter(pk=link.pk).update(length_m=None)
    said = words(as_person(tester).get(slot_page()))
    assert "Not explained: no length of its link is written down." in said
    assert "17 V" in said
    assert "Not explained: no signal check was made on it yet." in said
    assert "Nothing here can be explained yet" in said


def test_figures_that_cannot_be_are_named_and_the_page_stands(as_person, tester, link, both):
    Interconnect.objects.filter(pk=link.pk).update(length_m=1e300)
    answer = as_person(tester).get(slot_page())
    assert answer.status_code == 200
    assert "Not explained: a figure of it, or of its link, cannot be." in words(answer)


def test_what_is_assumed_is_said(as_person, tester, link, both):
    TerminalFigures.objects.filter(terminal="2").delete()
    assert "No load is written down for terminal 2 of slot C-04" in words(as_person(tester).get(slot_page()))


def test_a_slot_that_drives_nothing_says_so(as_person, tester):
    make_slot("D-01")
    assert "This slot drives no link." in words(as_person(tester).get(slot_page("D-01")))


def test_a_slot_that_is_not_there_is_not_found(as_person, tester):
    assert as_person(tester).get(slot_page("Q-99")).status_code == 404


def test_slot_and_link_lead_to_it(as_person, tester, link):
    client = as_person(tester)
    address = f'href="{slot_page()}'
    assert address in client.get(link.source.slot.get_absolute_url()).content.decode()
    assert address in client.get(link.get_absolute_url()).content.decode()
    assert "Bench against place" not in words(client.get(link.load.slot.get_absolute_url()))


def test_the_reads_do_not_grow(as_person, tester, second_tester):
    site(tester, second_tester, 1, hidden=(1.0, 1.0, 1.0))
    client = as_person(tester)
    few = queries_of(client, LIST), queries_of(client, slot_page("B-01"))
    site(tester, second_tester, 4, hidden=(1.0, 1.0, 1.0), days=1)
    for number in (3, 4):
        check(made_link("B-01:7", f"D-0{number}:2"), tester, second_tester)
    assert (queries_of(client, LIST), queries_of(client, slot_page("B-01"))) == few
