import re
from datetime import timedelta

import pytest
import time_machine
from django.contrib.sessions.models import Session
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

CODE = re.compile(r"^ {4}(\S+)$", re.MULTILINE)


@pytest.fixture
def visitor():
    return Client()


def ask(client, email, **more):
    return client.post(reverse("account_login"), {"email": email, **more})


def code_sent():
    return CODE.search(mail.outbox[-1].body)[1]


def type_code(client, code):
    return client.post(reverse("account_confirm_login_code"), {"code": code})


def test_a_visitor_is_sent_to_sign_in_and_back(visitor, builder):
    sent = visitor.get(reverse("people:me"))
    assert sent.url == "/people/sign-in/?next=/people/me/"
    page = visitor.get(sent.url).content.decode()
    assert '<input type="hidden" name="next" value="/people/me/">' in page
    asked = ask(visitor, builder.email, next="/people/me/")
    assert asked.url == "/people/sign-in/code/confirm/?next=%2Fpeople%2Fme%2F"
    came_in = visitor.post(asked.url, {"code": code_sent()})
    assert came_in.url == "/people/me/"
    assert "Pilar Ortuno" in visitor.get(came_in.url).content.decode()


def test_the_letter_says_where_for_how_long_and_what_if_it_was_not_you(visitor, builder):
    ask(visitor, builder.email)
    letter = mail.outbox[0]
    assert letter.to == [builder.email]
    assert letter.subject == f"Heaters On: your code is {code_sent()}"
    assert "Your code for testserver is" in letter.body
    assert "within fifteen minutes" in letter.body
    assert "without this code they cannot come in" in letter.body


def test_the_address_is_known_in_any_case(visitor, builder):
    ask(visitor, builder.email.upper())
    assert type_code(visitor, code_sent()).url == "/"


def test_the_answer_tells_nobody_who_is_known_here(builder):
    answers = []
    for email in (builder.email, "stranger@kestrelsands.example"):
        client = Client()
        asked = ask(client, email)
        page = client.get(asked.url).content.decode().replace(email, "ADDRESS")
        answers.append((asked.status_code, asked.url, re.sub(r'value="\w{64}"', "", page)))
    assert re.sub(r"<time.*?</time>", "", answers[0][2]) == re.sub(r"<time.*?</time>", "", answers[1][2])
    assert answers[0][:2] == answers[1][:2]
    assert "If ADDRESS is known here, a letter with a code is on its way to it." in answers[0][2]


def test_a_stranger_is_told_by_letter_and_no_code_lets_them_in(visitor, db):
    ask(visitor, "stranger@kestrelsands.example")
    assert "Nobody is written down there under it." in mail.outbox[0].body
    for guess in ("", "0000-0000", "None"):
        assert type_code(visitor, guess).status_code == 422
    assert visitor.get(reverse("people:me")).status_code == 302


def test_one_who_left_gets_no_code(visitor, builder):
    builder.is_active = False
    builder.save()
    ask(visitor, builder.email)
    assert "Nobody is written down there under it." in mail.outbox[0].body


def test_a_wrong_code_gets_a_sentence_and_the_fifth_ends_it(visitor, builder):
    ask(visitor, builder.email)
    first = type_code(visitor, "wrong")
    assert first.status_code == 422
    assert "That is not the code we sent last." in first.content.decode()
    for _ in range(3):
        assert type_code(visitor, "wrong").status_code == 422
    last = type_code(visitor, "wrong")
    assert last.status_code == 302
    said = visitor.get(last.url).content.decode()
    assert "That was tried too often in a short time. Wait a few minutes, then ask for a new code." in said
    assert type_code(visitor, code_sent()).url != "/"


def test_a_code_is_good_for_fifteen_minutes(visitor, builder):
    with time_machine.travel(timezone.now(), tick=False) as clock:
        ask(visitor, builder.email)
        clock.shift(timedelta(minutes=16))
        assert type_code(visitor, code_sent()).url == "/people/sign-in/code/"
    assert visitor.get(reverse("people:me")).status_code == 302


def test_another_code_can_be_sent_and_only_the_newest_counts(visitor, builder):
    ask(visitor, builder.email)
    first = code_sent()
    visitor.post(reverse("account_confirm_login_code"), {"action": "resend"})
    assert len(mail.outbox) == 2
    assert type_code(visitor, first).status_code == 422
    assert type_code(visitor, code_sent()).url == "/"


def test_another_address_can_be_used_while_a_code_is_awaited(visitor, builder):
    ask(visitor, "wrong@kestrelsands.example")
    assert visitor.get(reverse("account_login")).status_code == 302
    visitor.post(reverse("account_logout"), {"next": reverse("account_login")})
    assert visitor.get(reverse("account_login")).status_code == 200


def test_a_fourth_code_within_a_minute_is_refused_with_a_sentence(builder):
    for _ in range(3):
        assert ask(Client(), builder.email).status_code == 302
    refused = ask(Client(), builder.email)
    assert refused.status_code == 422
    assert "That was tried too often in a short time." in refused.content.decode()
    assert len(mail.outbox) == 3


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Give the e-mail address that the site lead invited you at."),
        ("pilar", "That is not an e-mail address. It has the form name@place, with nothing before or after it."),
    ],
)
def test_what_is_no_address_gets_a_sentence(visitor, db, typed, sentence):
    refused = ask(visitor, typed)
    assert refused.status_code == 422
    assert sentence in refused.content.decode()


def test_a_mail_server_that_is_down_is_told_in_a_sentence(visitor, builder, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 1
    refused = ask(visitor, builder.email)
    assert refused.status_code == 422
    assert "The letter could not be sent just now. Try again in some minutes." in refused.content.decode()


def sign_in(client, person, **more):
    ask(client, person.email, **more)
    return type_code(client, code_sent())


def test_on_ones_own_device_it_lasts_half_a_year(visitor, builder):
    sign_in(visitor, builder, own_device="on")
    assert visitor.cookies["sessionid"]["max-age"] == 180 * 24 * 3600
    with time_machine.travel(timezone.now() + timedelta(days=179)):
        assert visitor.get(reverse("people:me")).status_code == 200
    with time_machine.travel(timezone.now() + timedelta(days=181)):
        assert visitor.get(reverse("people:me")).status_code == 302


def test_on_a_lent_device_it_ends_with_the_browser_and_after_twelve_hours(visitor, builder):
    start = timezone.now()
    with time_machine.travel(start, tick=False) as clock:
        sign_in(visitor, builder)
        assert visitor.cookies["sessionid"]["max-age"] == ""
        clock.shift(timedelta(hours=11))
        assert visitor.get(reverse("people:me")).status_code == 200
        session = visitor.session
        session["used"] = True  # using it does not make it last longer
        session.save()
        clock.shift(timedelta(minutes=59))
        assert visitor.get(reverse("people:me")).status_code == 200
        clock.shift(timedelta(minutes=2))
        assert visitor.get(reverse("people:me")).status_code == 302
    assert Session.objects.get(pk=session.session_key).expire_date == start + timedelta(hours=12)


def test_signing_out(visitor, builder):
    sign_in(visitor, builder)
    assert "You are signed in as Pilar Ortuno." in visitor.get(reverse("account_logout")).content.decode()
    visitor.post(reverse("account_logout"))
    assert visitor.get(reverse("people:me")).status_code == 302


def test_one_who_leaves_is_out_at_once(visitor, builder):
    sign_in(visitor, builder)
    builder.is_active = False
    builder.save()
    assert visitor.get(reverse("people:me")).status_code == 302


def test_nobody_signs_up(visitor, db, django_user_model):
    page = visitor.get(reverse("account_signup"))
    assert "Nobody signs up here; a site lead invites each volunteer by name." in page.content.decode()
    sent = visitor.post(reverse("account_signup"), {"email": "stranger@kestrelsands.example"})
    assert "By invitation only" in sent.content.decode()
    assert django_user_model.objects.count() == 0


def test_there_is_no_password_anywhere(visitor, builder):
    assert builder.has_usable_password() is False
    assert "password" not in visitor.get(reverse("account_login")).content.decode().replace("There is no password", "")
    assert not visitor.login(email=builder.email, password="")
    ask(visitor, builder.email, password="")
    assert visitor.get(reverse("people:me")).status_code == 302


def test_a_strange_way_back_is_not_followed(visitor, builder):
    asked = ask(visitor, builder.email, next="https://elsewhere.example/")
    assert visitor.post(asked.url, {"code": code_sent(), "next": "https://elsewhere.example/"}).url == "/"


def test_the_page_offers_the_cast_only_in_a_demonstration(visitor, db, settings):
    assert "Come in as one of the cast" not in visitor.get(reverse("account_login")).content.decode()
    settings.DEMO = True
    assert "Come in as one of the cast" in visitor.get(reverse("account_login")).content.decode()
