from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.logbook.models import Entry
from restoration.people import services
from restoration.people.models import Invitation, Person, RoleHolding
from restoration.people.roles import Role
from tests.reading import last_line

NOON = timezone.now().replace(hour=12, minute=0, second=0, microsecond=0)


@pytest.fixture
def invitation(site_lead):
    return services.invite(
        name=" Wanda Orme ", email="Wanda@Net.Example", roles=[Role.TESTER, Role.BUILDER], by=site_lead, now=NOON
    )


def refused(act, **given):
    before = Person.objects.count(), RoleHolding.objects.count(), Invitation.objects.count(), Entry.objects.count()
    with pytest.raises(ValidationError) as refusal:
        act(**given)
    after = Person.objects.count(), RoleHolding.objects.count(), Invitation.objects.count(), Entry.objects.count()
    assert before == after, "a refusal leaves nothing half-saved"
    return refusal.value.messages


def test_an_invitation_is_good_for_fourteen_days_and_is_in_the_log_book(invitation, site_lead):
    assert invitation.expires_at == NOON + timedelta(days=14)
    assert (invitation.email, invitation.display_name) == ("wanda@net.example", "Wanda Orme")
    assert invitation.roles == ["builder", "tester"]
    line = last_line()
    assert line.sentence == "Ama Boateng invited Wanda Orme, as builder and tester."
    assert (line.by, line.subject_kind, line.subject_code) == (site_lead, "person", "")
    assert "wanda@" not in str(line.details) + line.sentence, (
        "an address must not stand where it can never be taken out"
    )


def test_a_second_invitation_to_the_same_address_ends_the_first(invitation, site_lead):
    later = NOON + timedelta(days=1)
    second = services.invite(name="Wanda Orme", email="wanda@net.example", roles=[Role.TESTER], by=site_lead, now=later)
    assert list(Invitation.objects.still_open(later)) == [second]


def test_one_who_is_here_is_not_invited(site_lead, builder):
    assert refused(services.invite, name="P", email=builder.email, roles=[], by=site_lead) == [
        "pilar.ortuno@kestrelsands.example is the address of Pilar Ortuno already; nobody needs to be invited."
    ]


def test_two_people_are_not_called_the_same(site_lead, builder):
    sentence = "Somebody here is called pilar ortuno already. Add something that tells the two apart."
    assert refused(services.invite, name="pilar ortuno", email="p2@net.example", roles=[], by=site_lead) == [sentence]
    assert refused(services.record_person, name=" pilar ortuno", roles=[], by=site_lead) == [sentence]
    assert refused(services.rename, person=site_lead, name="pilar ortuno") == [sentence]
    assert site_lead.display_name == "Ama Boateng"


def test_taking_up_makes_the_person_with_the_roles(invitation, site_lead):
    person = services.take_up(invitation=invitation, now=NOON + timedelta(days=13))
    assert person.email == "wanda@net.example"
    assert person.roles == {Role.BUILDER, Role.TESTER}
    assert {holding.given_by for holding in person.holdings.all()} == {site_lead}
    line = last_line()
    assert line.sentence == "Wanda Orme took up the invitation of Ama Boateng, as builder and tester."
    assert (line.by, line.subject_code) == (person, str(person.pk))


def test_taking_up_twice_gives_the_same_person(invitation):
    first = services.take_up(invitation=invitation, now=NOON)
    lines = Entry.objects.count()
    assert services.take_up(invitation=invitation, now=NOON + timedelta(days=30)) == first
    assert Entry.objects.count() == lines


def test_an_invitation_that_is_over_says_whom_to_ask(invitation):
    said = refused(services.take_up, invitation=invitation, now=NOON + timedelta(days=14))
    until = timezone.localtime(NOON + timedelta(days=14))
    assert said == [
        f"This invitation was good until {until:%d %b %Y, %H:%M}. Ask Ama Boateng for a new one; nothing was lost."
    ]


def test_an_address_taken_meanwhile_is_said(invitation):
    Person.objects.create(email="wanda@net.example", display_name="Wanda O.")
    assert refused(services.take_up, invitation=invitation, now=NOON) == [
        "Somebody is written down under this address already. Sign in with it."
    ]


def test_an_invitation_by_command_names_a_site_lead_to_ask(db):
    invitation = services.invite(name="First", email="first@net.example", roles=[Role.SITE_LEAD], by=None, now=NOON)
    assert last_line().sentence == "Somebody at the command line invited First, as site lead."
    assert last_line().by_name == "the command line"
    assert "Ask a site lead for a new one" in services.expired(invitation)


def test_one_who_never_signs_in_is_written_down(coordinator):
    person = services.record_person(name="Old Tam", roles=[], by=coordinator)
    assert (person.email, person.is_active) == (None, True)
    assert person in Person.objects.never_signing_in()
    assert last_line().sentence == "Joan Teague wrote down Old Tam, who never signs in."


def test_a_role_is_given_once(site_lead, builder):
    services.give_role(person=builder, role=Role.TESTER, by=site_lead)
    assert last_line().sentence == "Ama Boateng gave Pilar Ortuno the role of tester."
    assert last_line().subject_code == str(builder.pk)
    assert refused(services.give_role, person=builder, role=Role.TESTER, by=site_lead) == [
        "Pilar Ortuno holds the role of tester already."
    ]


def test_a_role_ends_and_can_be_given_again(site_lead, builder):
    services.end_role(person=builder, role=Role.BUILDER, by=site_lead)
    assert last_line().sentence == "Ama Boateng ended the role of builder that Pilar Ortuno held."
    assert Person.objects.get(pk=builder.pk).roles == frozenset()
    assert refused(services.end_role, person=builder, role=Role.BUILDER, by=site_lead) == [
        "Pilar Ortuno does not hold the role of builder."
    ]
    services.give_role(person=builder, role=Role.BUILDER, by=site_lead)
    assert Person.objects.get(pk=builder.pk).roles == {Role.BUILDER}


@pytest.mark.parametrize("other", ["nobody", "one who left", "one who never signs in"])
def test_the_last_site_lead_who_signs_in_stays(site_lead, make_person_with, other):
    if other != "nobody":
        make_person_with(other)
    assert refused(services.end_role, person=site_lead, role=Role.SITE_LEAD, by=site_lead) == [
        "Ama Boateng is the only site lead who signs in. Give that role to another person first."
    ]


@pytest.fixture
def make_person_with():
    def make(kind):
        email = None if kind == "one who never signs in" else "old@net.example"
        person = Person.objects.create(display_name="Old Lead", email=email, is_active=kind != "one who left")
        RoleHolding.objects.create(person=person, role=Role.SITE_LEAD)

    return make


def test_a_site_lead_can_go_when_another_is_there(site_lead, builder):
    services.give_role(person=builder, role=Role.SITE_LEAD, by=site_lead)
    services.end_role(person=site_lead, role=Role.SITE_LEAD, by=builder)
    assert list(Person.objects.holding(Role.SITE_LEAD)) == [builder]


def test_a_chosen_name_and_the_former_one_are_in_the_log_book(builder):
    services.rename(person=builder, name="  Pilar O.  ")
    assert Person.objects.get(pk=builder.pk).display_name == "Pilar O."
    assert last_line().sentence == "Pilar Ortuno is called Pilar O. from now on."
    lines = Entry.objects.count()
    services.rename(person=builder, name="Pilar O.")
    assert Entry.objects.count() == lines


@pytest.mark.parametrize(
    ("roles", "words"),
    [
        ([], ""),
        (["builder"], ", as builder"),
        (["builder", "tester"], ", as builder and tester"),
        (["a", "b", "c"], ", as a, b and c"),
    ],
)
def test_roles_in_a_sentence(roles, words):
    assert services.as_roles(roles) == words
