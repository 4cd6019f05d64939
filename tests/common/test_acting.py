"""A form that ends in one act: stored and led on, refused, edited meanwhile, or only looked at."""

import uuid
from typing import Any

import pytest
from django import forms
from django.contrib.auth.models import AnonymousUser
from django.contrib.messages import get_messages
from django.contrib.messages.storage.fallback import FallbackStorage
from django.core.exceptions import ValidationError
from django.http import HttpRequest
from django.test import RequestFactory

from restoration.common.acting import answer_form, status_of, stored_answer
from restoration.common.posts import TokenForm, posted
from restoration.common.versions import EditedMeanwhile, VersionField
from restoration.machine.models import Chassis
from tests.factories import make_chassis

pytestmark = pytest.mark.django_db


class RemarksForm(TokenForm):
    version = VersionField(required=False)
    remarks = forms.CharField(label="Remarks", error_messages={"required": "Say what is to be remarked."})


def asked(**sent: Any) -> HttpRequest:
    """A request as views get it: a post of these words, or only a look where there are none."""
    request = RequestFactory().post("/remarks", sent) if sent else RequestFactory().get("/remarks")
    request.user = AnonymousUser()
    request.session = {}  # type: ignore[assignment]
    request._messages = FallbackStorage(request)  # type: ignore[attr-defined]
    return request


def said(request: HttpRequest) -> list[str]:
    return [str(message) for message in get_messages(request)]


def refuse(reason: Any) -> Any:
    def act() -> str:
        raise ValidationError(reason)

    return act


def test_a_form_only_looked_at_stores_nothing() -> None:
    request = asked()
    form = RemarksForm(posted(request))
    assert stored_answer(request, form, refuse("Never run.")) is None
    assert status_of(form) == 200


def test_the_act_leads_on_and_the_sentence_goes_along() -> None:
    request = asked(remarks="Lid is bent.")
    answer = stored_answer(request, RemarksForm(posted(request)), lambda: "/chassis/SR-14", done="It is stored.")
    assert answer is not None
    assert (answer.status_code, answer["Location"]) == (302, "/chassis/SR-14")
    assert said(request) == ["It is stored."]


def test_an_act_may_say_for_itself_what_came_of_it() -> None:
    request = asked(remarks="Lid is bent.")
    stored_answer(request, RemarksForm(posted(request)), lambda: "/chassis/SR-14")
    assert said(request) == []


def test_the_same_token_acts_once_and_leads_to_the_first_address() -> None:
    token = str(uuid.uuid4())
    first, second = (asked(remarks="Lid is bent.", form_token=token) for _ in range(2))
    stored_answer(first, RemarksForm(posted(first)), lambda: "/chassis/SR-14")
    answer = stored_answer(second, RemarksForm(posted(second)), lambda: "/chassis/SR-99")
    assert answer is not None
    assert answer["Location"] == "/chassis/SR-14"


@pytest.mark.parametrize(
    ("reason", "beside", "above"),
    [
        ("The lid is off.", [], ["The lid is off."]),
        ({"remarks": "The lid is off."}, ["The lid is off."], []),
        ({"lid": "The lid is off."}, [], ["The lid is off."]),
    ],
    ids=["about the whole", "about a field", "about a field that this form has not"],
)
def test_a_refusal_stands_where_it_belongs(reason: Any, beside: list[str], above: list[str]) -> None:
    request = asked(remarks="Lid is bent.")
    form = RemarksForm(posted(request))
    assert stored_answer(request, form, refuse(reason), done="It is stored.") is None
    assert list(form.errors.get("remarks", [])) == beside
    assert list(form.non_field_errors()) == above
    assert status_of(form) == 422
    assert said(request) == []


def chassis_meanwhile() -> Chassis:
    chassis = make_chassis("SR-14")
    chassis.remarks, chassis.version = "Theirs.", 2
    chassis.save()
    return chassis


def shown_after_news(monkeypatch: pytest.MonkeyPatch, chassis: Chassis, **more: Any) -> tuple[dict[str, Any], int]:
    """What a page is told, and its status, where someone else stored the chassis first."""
    seen: dict[str, Any] = {}

    def show(request: HttpRequest, template: str, context: dict[str, Any], *, status: int) -> Any:
        seen.update(context)
        return status

    def act() -> str:
        raise EditedMeanwhile(chassis)

    monkeypatch.setattr("restoration.common.acting.show", show)
    request = asked(version="1", remarks="Mine.")
    status: Any = answer_form(request, RemarksForm(posted(request)), act, "machine/form.html", {"page": "one"}, **more)
    return seen, status


def test_of_two_writers_the_second_keeps_the_words_and_takes_the_version_on(monkeypatch: pytest.MonkeyPatch) -> None:
    shown, status = shown_after_news(monkeypatch, chassis_meanwhile())
    assert status == 409
    assert [(row.label, row.text) for row in shown["theirs"]] == [("Remarks", "Theirs.")]
    assert (shown["form"]["remarks"].value(), shown["form"]["version"].value()) == ("Mine.", "2")
    assert list(shown["form"].non_field_errors()) == [
        "chassis SR-14 was changed by someone else while you were writing. Nothing of yours was stored yet."
    ]
    assert shown["page"] == "one"


def test_a_page_may_read_the_row_its_own_way_and_say_more_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    shown, _ = shown_after_news(
        monkeypatch,
        chassis_meanwhile(),
        stored=lambda row: {"version": row.version, "remarks": f"{row.serial}: {row.remarks}"},
        told=lambda row: {"who": "Tomasz Wilk", "page": row.serial},
    )
    assert [row.text for row in shown["theirs"]] == ["SR-14: Theirs."]
    assert (shown["who"], shown["page"]) == ("Tomasz Wilk", "SR-14")
