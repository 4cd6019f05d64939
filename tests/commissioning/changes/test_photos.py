"""The photograph of a change: clean, served to those signed in, and gone where the change is refused."""

import io

import pytest
from django.urls import reverse

from restoration.commissioning.models import Change
from restoration.commissioning.services import record_change
from restoration.engineering.doubt import Kind
from tests.commissioning.changes.small import a_photo, sent
from tests.reading import refused, words

pytestmark = pytest.mark.django_db
KNOCK = reverse("commissioning:change-form", args=["knock"]) + "?slot=C-07"


def files_of(settings):
    return [path for path in settings.MEDIA_ROOT.rglob("*") if path.is_file()]


def test_a_photograph_is_kept_and_served(small, tester, as_person, client):
    browser = as_person(tester)
    answer = browser.post(KNOCK, sent(tester, now="knocked", photo=a_photo()))
    assert answer.status_code == 302
    change = Change.objects.get()
    for size in ("image", "small"):
        address = reverse("commissioning:change-photo", args=[change.pk, size])
        served = browser.get(address)
        assert served["Content-Type"] == "image/jpeg"
        assert b"".join(served.streaming_content).startswith(b"\xff\xd8")
        assert "sign-in" in client.get(address).url
    assert "Photograph" in words(browser.get(change.get_absolute_url()))


def test_what_is_no_photograph_is_said_and_leaves_nothing(small, tester, as_person, settings):
    wrong = io.BytesIO(b"%PDF-1.4 a list")
    wrong.name = "list.pdf"
    answer = as_person(tester).post(KNOCK, sent(tester, now="knocked", photo=wrong))
    assert answer.status_code == 422
    assert "This looks like a PDF document, not a photograph." in words(answer)
    assert not Change.objects.exists()
    assert files_of(settings) == []


def test_a_refused_change_leaves_no_photograph_behind(small, people, settings):
    never = {**small.fields(Kind.REMADE), "interconnect": small.links["101"]}
    people["second_person"] = None
    assert "second person" in refused(record_change, kind=Kind.REMADE, photo=a_photo(), **never, **people)
    assert files_of(settings) == []


def test_there_is_not_always_a_photograph(small, people, tester, as_person):
    change = record_change(kind=Kind.KNOCK, **small.fields(Kind.KNOCK), **people)
    browser = as_person(tester)
    assert browser.get(reverse("commissioning:change-photo", args=[change.pk, "image"])).status_code == 404
    assert browser.get(reverse("commissioning:change-photo", args=[change.pk, "why"])).status_code == 404
