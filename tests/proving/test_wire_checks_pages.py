import uuid

import pytest
from django.urls import reverse

from restoration.logbook.models import Entry
from restoration.proving.models import Joining, RingOut
from restoration.proving.services import join_wire, ring_out
from tests.factories import make_chassis, make_fitting, make_link

PAGES = ("proving:join", "proving:lift", "proving:ring-out")


@pytest.fixture
def link(db):
    return make_link()


@pytest.fixture
def joined(link, tester, second_tester):
    return join_wire(interconnect=link, done_by=tester, second_person=second_tester, entered_by=tester)


@pytest.fixture
def client(as_person, tester):
    return as_person(tester)


def address(name, link):
    return reverse(name, args=[link.code])


def pair(tester, second_tester, **fields):
    return {"form_token": uuid.uuid4(), "done_by": tester.pk, "second_person": second_tester.pk, **fields}


@pytest.mark.parametrize("name", PAGES)
def test_only_those_who_join_wires_may(name, link, as_person, builder, tester, client):
    refused = as_person(builder).get(address(name, link))
    assert refused.status_code == 403
    assert "To join, lift and ring out interconnects is not among the things you may do here." in (
        refused.content.decode()
    )
    assert client.get(address(name, link)).status_code == 200
    assert client.get(reverse(name, args=["no such link"])).status_code == 404


@pytest.mark.parametrize("name", PAGES)
def test_each_page_carries_the_caution_of_dead_work(name, link, client):
    page = client.get(address(name, link)).content.decode()
    assert "HT and mains kill." in page
    assert "This is dead work." in page
    assert "terminal" in page
    assert 'class="code">B-05<' in page


def test_joining_by_the_page(link, client, tester, second_tester):
    page = client.get(address("proving:join", link)).content.decode()
    assert "Nothing is fitted in" in page
    sent = pair(tester, second_tester, kind="joined", remarks="")
    answer = client.post(address("proving:join", link), sent)
    assert answer.status_code == 302
    assert answer.url == link.get_absolute_url()
    record = Joining.objects.get()
    assert (record.done_by, record.second_person, record.entered_by) == (tester, second_tester, tester)


def test_a_repeated_post_is_stored_once(link, client, tester, second_tester):
    sent = pair(tester, second_tester, kind="joined")
    first, again = (client.post(address("proving:join", link), sent) for _ in range(2))
    assert first.url == again.url
    assert Joining.objects.count() == Entry.objects.count() == 1


def test_fitted_slots_are_not_called_empty(link, client, tester):
    for serial, slot in (("SR-14", link.source.slot), ("SR-15", link.load.slot)):
        make_fitting(make_chassis(serial), slot)
    assert "Nothing is fitted in" not in client.get(address("proving:join", link)).content.decode()


def test_joining_needs_the_one_who_viewed_it(link, client, tester):
    answer = client.post(address("proving:join", link), {"done_by": tester.pk, "kind": "joined"})
    assert answer.status_code == 422
    assert "Both joints are viewed by a second person; say who." in answer.content.decode()
    assert not Joining.objects.exists()


def test_joining_twice_is_refused_on_the_page(joined, link, client, tester, second_tester):
    page = client.get(address("proving:join", link)).content.decode()
    assert "This link is recorded as joined already." in page
    assert 'value="re-made" required id="id_kind_1" checked' in page.replace("aria-describedby", "")
    answer = client.post(address("proving:join", link), pair(tester, second_tester, kind="joined"))
    assert answer.status_code == 422
    assert "is joined already, since" in answer.content.decode()
    assert Joining.objects.count() == 1


def test_the_last_second_person_is_filled_in(joined, link, client, second_tester):
    page = client.get(address("proving:ring-out", link)).content.decode()
    assert f'<option value="{second_tester.pk}" selected>Marek Hale</option>' in page


def test_lifting_by_the_page(joined, link, client, tester):
    refused = client.post(address("proving:lift", link), {"done_by": tester.pk, "remarks": ""})
    assert refused.status_code == 422
    assert "A lifted wire carries a reason" in refused.content.decode()
    answer = client.post(address("proving:lift", link), {"done_by": tester.pk, "remarks": "short in D-02"})
    assert answer.status_code == 302
    assert Joining.objects.last().remarks == "short in D-02"


def test_ringing_out_by_the_page(joined, link, client, tester, second_tester):
    sent = pair(tester, second_tester, both_labels_read="on", resistance_ohm="0,4", to_chassis_ohm="22M", test_v="50 V")
    answer = client.post(address("proving:ring-out", link), sent, follow=False)
    assert answer.status_code == 302
    record = RingOut.objects.get()
    assert (record.resistance_ohm, record.to_chassis_ohm, record.test_v) == (0.4, 22e6, 50.0)
    assert (record.both_labels_read, record.result) == (True, "passed")


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"resistance_ohm": "short"}, "“short” was given, and this is a resistance"),
        ({"resistance_ohm": ""}, "Give the resistance from end to end"),
        ({"resistance_ohm": "-3"}, "“-3” is below zero, and this cannot be."),
        ({"both_labels_read": ""}, "A wire is rung out with the labels read at both ends"),
        ({"test_v": "0"}, "“0” is not above zero."),
    ],
)
def test_bad_figures_come_back_with_a_sentence(joined, link, client, tester, second_tester, fields, sentence):
    sent = pair(tester, second_tester, both_labels_read="on", resistance_ohm="0.4", to_chassis_ohm="22M") | fields
    answer = client.post(address("proving:ring-out", link), sent)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert "22M" in answer.content.decode()
    assert not RingOut.objects.exists()


def test_an_unjoined_link_leads_to_joining(link, client, tester, second_tester):
    page = client.get(address("proving:ring-out", link)).content.decode()
    assert "This link is not recorded as joined, so it cannot be rung out yet." in page
    assert f'<a class="do" href="{address("proving:join", link)}">Join it first</a>' in page
    answer = client.post(
        address("proving:ring-out", link),
        pair(tester, second_tester, both_labels_read="on", resistance_ohm="0.4"),
    )
    assert answer.status_code == 422
    assert "Join it first." in answer.content.decode()


def test_correcting_by_the_page(joined, link, client, tester):
    wrong = ring_out(
        interconnect=link,
        resistance_ohm=40.0,
        to_chassis_ohm=22e6,
        both_labels_read=True,
        done_by=tester,
        entered_by=tester,
    )
    at = f"{address('proving:ring-out', link)}?replaces={wrong.pk}"
    assert f"This takes the place of ring-out {wrong.pk}" in client.get(at).content.decode()
    sent = {"done_by": tester.pk, "both_labels_read": "on", "resistance_ohm": "0.4", "to_chassis_ohm": "OL"}
    refused = client.post(at, sent)
    assert refused.status_code == 422
    assert "A correction says why the earlier record was wrong." in refused.content.decode()
    assert client.post(at, sent | {"replaces_why": "A point was left out."}).status_code == 302
    assert RingOut.objects.of(link).in_force().get().replaces == wrong


@pytest.mark.parametrize("number", ["999999", "x", "-1", "9" * 30])
def test_what_is_not_there_cannot_be_corrected(number, link, client):
    assert client.get(f"{address('proving:ring-out', link)}?replaces={number}").status_code == 404
