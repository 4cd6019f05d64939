import uuid

import pytest
from django.urls import reverse

from restoration.common.models import StoredPost
from restoration.faults.models import Fault
from tests.factories import make_link

pytestmark = pytest.mark.django_db


@pytest.fixture
def address():
    return reverse("faults:fault-add", args=[make_link(code="188").code])


def words(person, symptom="No pulse.", **changes):
    token = "8c4b0f0e-2f4b-4d0a-9f3f-0d6c5a1b2e3f"
    sent = {"form_token": token, "symptom": symptom, "how_often": "", "conditions": "", "done_by": person.pk}
    return {**sent, "done_at": "", **changes}


def test_a_repeated_post_leads_where_the_first_one_led(address, tester, as_person):
    client = as_person(tester)
    first = client.post(address, words(tester))
    assert client.post(address, words(tester)).url == first.url
    assert Fault.objects.count() == StoredPost.objects.count() == 1


def test_other_words_under_the_same_token_are_another_act(address, tester, as_person):
    client = as_person(tester)
    first = client.post(address, words(tester))
    second = client.post(address, words(tester, symptom="HT line shorted to the chassis."))
    assert first.url != second.url
    assert set(Fault.objects.values_list("symptom", flat=True)) == {"No pulse.", "HT line shorted to the chassis."}


def test_one_persons_token_is_no_other_persons(address, tester, second_tester, as_person):
    as_person(tester).post(address, words(tester))
    as_person(second_tester).post(address, words(tester))
    assert Fault.objects.count() == 2


@pytest.mark.parametrize("token", ["", "no token", "0" * 4000])
def test_words_that_are_no_token_do_no_harm(address, tester, as_person, token):
    answer = as_person(tester).post(address, words(tester, form_token=token))
    assert answer.status_code == (302 if token == "" else 422)


def test_one_who_may_not_is_refused_first(builder, as_person, client):
    address = reverse("commissioning:chassis-fit", args=["C-07"])
    sent = {"form_token": str(uuid.uuid4())}
    assert as_person(builder).post(address, sent).status_code == 403
    assert client.post(address, sent).url.startswith("/people/sign-in/")
