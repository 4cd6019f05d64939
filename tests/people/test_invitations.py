import json
import re
from datetime import timedelta

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from restoration.people import services
from restoration.people.models import Invitation, Person
from restoration.people.roles import Role

GIVEN = {"name": "Wanda Orme", "email": "wanda@net.example", "roles": ["builder"]}


@pytest.fixture
def lead(site_lead, as_person):
    return as_person(site_lead)


def invited(site_lead, **more):
    return services.invite(
        **({"name": "Wanda Orme", "email": "wanda@net.example", "roles": [Role.BUILDER], "by": site_lead} | more)
    )


def page_of(invitation):
    return reverse("people:invitation", args=[invitation.token])


def test_the_letter_carries_the_link_and_who_invites(lead):
    answer = lead.post(reverse("people:invite"), GIVEN)
    assert answer.url == reverse("people:invite")
    letter = mail.outbox[0]
    assert (letter.subject, letter.to) == ("Heaters On: you are invited", ["wanda@net.example"])
    assert "Dear Wanda Orme" in letter.body
    assert "Ama Boateng invites you to the build record as builder." in letter.body
    token = Invitation.objects.get().token
    assert f"http://testserver/people/invitation/{token}/" in letter.body
    page = lead.get(answer.url).content.decode()
    assert "Wanda Orme is invited; the letter is on its way." in page
    assert f"/people/invitation/{token}/" in page


def test_sending_the_form_twice_invites_once(lead):
    token = "3f1c6c1e-7a52-4b07-9d57-0b8f4a3f8f10"
    for _ in range(2):
        assert lead.post(reverse("people:invite"), GIVEN | {"form_token": token}).status_code == 302
    assert Invitation.objects.count() == 1
    assert len(mail.outbox) == 1


def test_a_letter_that_cannot_be_sent_leaves_the_link(lead, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 1
    lead.post(reverse("people:invite"), GIVEN)
    assert "Wanda Orme is invited, but the letter could not be sent. The link stands below" in (
        lead.get(reverse("people:invite")).content.decode()
    )


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "Give a name; it may be any name this person wants to be called by."),
        ({"email": "wanda"}, "That is not an e-mail address. It has the form name@place"),
        ({"roles": []}, "Choose at least one role; it says what the person may do here."),
        ({"email": "AMA.boateng@kestrelsands.example"}, "is the address of Ama Boateng already"),
        ({"name": "Ama Boateng"}, "Somebody here is called Ama Boateng already."),
    ],
)
def test_a_wrong_form_comes_back_with_a_sentence_and_invites_nobody(lead, wrong, sentence):
    answer = lead.post(reverse("people:invite"), GIVEN | wrong)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert Invitation.objects.count() == 0
    assert mail.outbox == []


def test_only_a_site_lead_invites(coordinator, as_person):
    refused = as_person(coordinator).post(reverse("people:invite"), GIVEN)
    assert refused.status_code == 403
    assert "To invite people and give them roles is not among the things you may do here. Ask a site lead." in (
        refused.content.decode()
    )


def test_from_the_link_to_being_signed_in(site_lead):
    invitation = invited(site_lead)
    visitor = Client()
    page = visitor.get(page_of(invitation)).content.decode()
    assert "Ama Boateng invites you to take part as builder." in page
    assert "Builds chassis, at home or on site, and hands them over." in page
    pressed = visitor.post(page_of(invitation), {"own_device": "on"})
    assert pressed.url == reverse("account_confirm_login_code")
    assert mail.outbox[0].to == ["wanda@net.example"]
    code = re.search(r"^ {4}(\S+)$", mail.outbox[0].body, re.MULTILINE)[1]
    assert visitor.post(pressed.url, {"code": code}).url == "/"
    assert visitor.cookies["sessionid"]["max-age"] == 180 * 24 * 3600
    assert "Wanda Orme" in visitor.get(reverse("people:me")).content.decode()


def test_pressing_the_button_twice_makes_one_person(site_lead):
    invitation = invited(site_lead)
    for _ in range(2):
        assert Client().post(page_of(invitation)).url == reverse("account_confirm_login_code")
    assert Person.objects.filter(email="wanda@net.example").count() == 1


def test_a_used_link_says_so_and_whom_to_tell(site_lead):
    invitation = invited(site_lead)
    services.take_up(invitation=invitation)
    page = Client().get(page_of(invitation)).content.decode()
    assert re.search(r"This link was used on <time.*?</time>, and Wanda Orme is written down\.", page)
    assert "If it was not you who used it, tell Ama Boateng." in page
    assert "Take part</button>" not in page


def test_a_link_that_is_over_says_so_and_makes_nobody(site_lead):
    invitation = invited(site_lead, now=timezone.now() - timedelta(days=15))
    for answer, status in ((Client().get(page_of(invitation)), 200), (Client().post(page_of(invitation)), 422)):
        assert answer.status_code == status
        assert "Ask Ama Boateng for a new one; nothing was lost." in answer.content.decode()
        assert "Take part</button>" not in answer.content.decode()
    assert not Person.objects.filter(email="wanda@net.example").exists()
    assert mail.outbox == []


def test_an_unknown_link_is_not_found(db):
    assert Client().get(reverse("people:invitation", args=["guess"])).status_code == 404


def test_the_link_does_nothing_for_one_who_is_signed_in(site_lead, builder, as_person):
    invitation = invited(site_lead)
    for answer in (as_person(builder).get(page_of(invitation)), as_person(builder).post(page_of(invitation))):
        assert "You are signed in as Pilar Ortuno, so this link has nothing for you." in answer.content.decode()
    assert not Person.objects.filter(email="wanda@net.example").exists()


def test_codes_by_the_button_are_counted_too(site_lead):
    invitation = invited(site_lead)
    answers = [Client().post(page_of(invitation)) for _ in range(4)]
    assert [answer.status_code for answer in answers] == [302, 302, 302, 429]
    assert "That was tried too often in a short time." in answers[-1].content.decode()


def test_the_command_prints_the_link_for_the_first_site_lead(db, run_command, settings):
    settings.SITE_ADDRESS = "https://record.example"
    status, out, err = run_command("invite", "Ama Boateng", "ama@net.example", "--role", "site lead")
    invitation = Invitation.objects.get()
    assert (status, err, invitation.roles, invitation.invited_by) == (0, "", ["site lead"], None)
    assert f"https://record.example{page_of(invitation)}" in out
    assert "No letter was sent; pass the link on yourself." in out
    assert Client().post(page_of(invitation)).status_code == 302
    assert Person.objects.get().roles == {Role.SITE_LEAD}


def test_the_command_sends_the_letter_where_there_is_a_mail_server(db, run_command, settings):
    settings.EMAIL_HOST = "mail.example"
    words = ("invite", "Ama Boateng", "ama@net.example", "--role", "site lead", "--role", "tester", "--json")
    status, out, _ = run_command(*words)
    answer = json.loads(out)
    assert status == 0
    assert answer["roles"] == ["site lead", "tester"]
    assert answer["letter_sent"] is True
    assert answer["link"] in mail.outbox[0].body


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("Ama", "nowhere", "--role", "site lead"), "That is not an e-mail address."),
        (("Ama", "ama@net.example", "--role", "king"), "There is no role “king”. The roles are: site lead, builder,"),
        (("Ama", "ama@net.example"), "Choose at least one role"),
        (("Ama", "pilar.ortuno@kestrelsands.example", "--role", "builder"), "is the address of Pilar Ortuno already"),
    ],
)
def test_the_command_refuses_with_a_sentence(builder, run_command, words, sentence):
    status, out, err = run_command("invite", *words, "--json")
    assert status == 2
    assert sentence in err
    assert sentence in json.loads(out)["refused"][0]
    assert Invitation.objects.count() == 0
