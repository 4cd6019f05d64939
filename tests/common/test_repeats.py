import uuid

import pytest
from django.urls import reverse

from restoration.common.models import StoredPost
from restoration.common.repeats import address_of
from tests.factories import make_link

pytestmark = pytest.mark.django_db


@pytest.fixture
def stored():
    return StoredPost.objects.create(token=uuid.uuid4(), address="/faults/7/")


def test_a_known_token_leads_to_its_answer(stored):
    assert address_of(str(stored.token)) == "/faults/7/"


@pytest.mark.parametrize("token", ["", "no token", "8c4b0f0e-2f4b-4d0a-9f3f-0d6c5a1b2e3f", "0" * 4000])
def test_anything_else_leads_nowhere(token):
    assert address_of(token) == ""


def test_a_repeated_post_is_answered_before_its_form_is_looked_at(stored, tester, as_person):
    address = reverse("faults:fault-add", args=[make_link(code="188").code])
    answer = as_person(tester).post(address, {"form_token": str(stored.token), "symptom": ""})
    assert (answer.status_code, answer.url) == (302, "/faults/7/")


def test_one_who_may_not_is_refused_first(stored, builder, as_person, client):
    address = reverse("commissioning:chassis-fit", args=["C-07"])
    sent = {"form_token": str(stored.token)}
    assert as_person(builder).post(address, sent).status_code == 403
    assert client.post(address, sent).url.startswith("/people/sign-in/")
