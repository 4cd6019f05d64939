"""The page that signs for a gate and the record it leaves: who may, what is asked, cautions, and corrections."""

import uuid

import pytest

from restoration.commissioning.models import GateRecord
from tests.commissioning.records import prove, sign, sign_all
from tests.counting import queries_of
from tests.factories import make_link
from tests.reading import words

pytestmark = pytest.mark.django_db

HEATERS = "/gates/sign/chassis/SR-14/heaters-on/"
BONDED = "/gates/sign/rack/C/bonded/"


def sent(doer, second=None, **fields):
    return {
        "result": "passed",
        "seen": "6.2 V at the chassis, every valve alight",
        "paper": "PU 12",
        "done_by": doer.pk,
        "second_person": second.pk if second else "",
        "done_at": "",
        "remarks": "",
        "form_token": str(uuid.uuid4()),
        **fields,
    }


def test_the_power_person_signs_and_the_chassis_shows_the_record(fitted, power_person, tester, as_person):
    client = as_person(power_person)
    answer = client.post(HEATERS, sent(power_person, tester), follow=True)
    record = GateRecord.objects.get()
    text = words(answer)
    assert answer.redirect_chain == [(fitted.get_absolute_url(), 302)]
    assert "Recorded: “heaters on” of chassis SR-14. Result: passed." in text
    assert f"Gate record {record.pk}" in text
    assert (record.done_by, record.second_person, record.entered_by) == (power_person, tester, power_person)


def test_the_same_sending_twice_is_one_record(fitted, power_person, tester, as_person):
    client, form = as_person(power_person), sent(power_person, tester)
    assert client.post(HEATERS, form).url == client.post(HEATERS, form).url
    assert GateRecord.objects.count() == 1


def test_each_gate_says_itself_who_may_sign(fitted, group, site_lead, tester, power_person, as_person):
    release, check = "/gates/sign/rack/C/open-for-fitting/", "/gates/sign/group/SUM/soak/"
    may = {
        person: [as_person(person).get(address).status_code for address in (HEATERS, BONDED, release, check)]
        for person in (site_lead, tester, power_person)
    }
    assert may == {
        site_lead: [403, 403, 200, 200],
        tester: [403, 403, 200, 200],
        power_person: [200, 200, 403, 403],
    }
    refused = words(as_person(tester).post(HEATERS, sent(tester)))
    assert "Ask a power responsible person." in refused
    assert not GateRecord.objects.exists()


def test_what_cannot_be_signed_for_is_not_there(fitted, power_person, as_person):
    client = as_person(power_person)
    for address in (
        "/gates/sign/chassis/SR-14/fitted/",
        "/gates/sign/chassis/SR-14/proved-in-place/",
        "/gates/sign/interconnect/31/joined/",
        "/gates/sign/teapot/C/bonded/",
        "/gates/sign/rack/Z/bonded/",
        "/gates/records/999/",
        f"{BONDED}?replaces=999",
        f"{BONDED}?replaces=x",
    ):
        assert client.get(address).status_code == 404, address


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"result": ""}, "Say what came of it: passed, failed, or cannot tell."),
        ({"seen": ""}, "Say what was seen or measured; a gate is not signed for without it."),
        ({"second_person": ""}, "This gate is passed with heaters or HT on, so it is signed for by two"),
        ({"done_at": "2099-01-01T10:00"}, "has not come yet"),
    ],
)
def test_what_is_missing_is_said_and_nothing_is_stored(fitted, power_person, tester, as_person, wrong, said):
    answer = as_person(power_person).post(HEATERS, sent(power_person, tester, **wrong))
    assert answer.status_code == 422
    assert said in words(answer)
    assert not GateRecord.objects.exists()


def test_what_must_stand_first_is_said_before_anything_is_filled_in(fitted, power_person, tester, as_person):
    client, address = as_person(power_person), "/gates/sign/chassis/SR-14/ht-on/"
    text = words(client.get(address))
    assert "It cannot be recorded as passed yet" in text
    assert "Chassis SR-14 is not ready for “HT on”: the gate “heaters on” is not done." in text
    answer = client.post(address, sent(power_person, tester))
    assert answer.status_code == 422
    assert client.post(address, sent(power_person, tester, result="failed")).status_code == 302


def test_every_page_that_touches_power_carries_its_cautions(fitted, rack, power_person, as_person):
    client = as_person(power_person)
    record = sign("rack", rack, "mains side certified", 6, paper="EC 4711")
    for address in (HEATERS, BONDED, "/gates/", f"/gates/records/{record.pk}/"):
        assert "HT and mains kill." in words(client.get(address)), address
    assert "Two persons, from the first switch to the last." in words(client.get(HEATERS))
    mains = words(client.get("/gates/sign/rack/C/mains-side-certified/"))
    assert "nothing here tests, approves or certifies anything" in mains
    assert "Number of the electrician's paper" in mains


def test_a_chassis_is_signed_for_with_its_racks_own_gates_in_sight(fitted, rack, power_person, as_person):
    client = as_person(power_person)
    text = words(client.get(HEATERS))
    assert "Look at rack C first. Of its own gates 6 do not stand: bonded (not done)" in text


def test_the_pass_test_stands_on_the_page_of_a_check(group, tester, as_person):
    assert "Add 3 and 4; read 7, a hundred times." in words(as_person(tester).get("/gates/sign/group/SUM/soak/"))


def test_a_record_is_corrected_by_a_newer_one_that_says_why(fitted, power_person, tester, as_person):
    client = as_person(power_person)
    client.post(HEATERS, sent(power_person, tester, result="failed"))
    wrong = GateRecord.objects.get()
    page = words(client.get(f"/gates/records/{wrong.pk}/"))
    assert "recorded as failed" in page
    assert "Correct this record" in page
    address = f"{HEATERS}?replaces={wrong.pk}"
    form = client.get(address).content.decode()
    assert "6.2 V at the chassis, every valve alight" in form
    assert "The earlier record stays in the book, struck through." in words(form)
    assert client.post(address, sent(power_person, tester)).status_code == 422
    why = {"replaces_why": "read at the wrong slot"}
    assert client.post(address, sent(power_person, tester, **why)).status_code == 302
    right = GateRecord.objects.get(replaces=wrong)
    old, new = (words(client.get(f"/gates/records/{record.pk}/")) for record in (wrong, right))
    assert f"Replaced by gate record {right.pk} : read at the wrong slot" in old
    assert "Correct this record" not in old
    assert f"It takes the place of gate record {wrong.pk} : read at the wrong slot" in new


def test_a_record_is_read_by_all_and_corrected_by_those_who_may_sign(rack, storekeeper, as_person):
    record = sign("rack", rack, "bonded", 6, result="cannot tell", remarks="The clamp was loose.")
    page = words(as_person(storekeeper).get(f"/gates/records/{record.pk}/"))
    assert "Recorded as cannot tell by Ama and Tomasz" in page
    assert "The clamp was loose." in page
    assert "none recorded" in page
    assert "Correct this record" not in page


def test_a_rack_lists_its_own_gates_with_the_way_to_sign(rack, power_person, storekeeper, as_person):
    address = rack.get_absolute_url()
    assert "Gates of the rack itself" in words(as_person(storekeeper).get(address))
    assert "Sign for" not in words(as_person(storekeeper).get(address))
    power = as_person(power_person).get(address).content.decode()
    assert f'href="{BONDED}"' in power
    assert "open-for-fitting" not in power


def test_the_pages_cost_the_same_however_much_was_signed(group, fitted, rack, tester, as_person):
    client = as_person(tester)
    addresses = [fitted.get_absolute_url(), rack.get_absolute_url(), "/gates/sign/group/SUM/soak/"]
    sign("rack", rack, "bonded", 6)
    sign("group", group, "soak", 6)
    prove(make_link("C-07:1", "C-07:2", code="x"), 7)
    few = [queries_of(client, address) for address in addresses]
    for day in (6, 7):
        sign_all("rack", rack, day)
        sign_all("chassis", fitted, day)
        sign_all("group", group, day)
    for number in range(4):
        prove(make_link("C-07:1", "C-07:2", code=f"x{number}"), 7)
    assert [queries_of(client, address) for address in addresses] == few
