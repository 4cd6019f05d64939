import re

import pytest
from django.urls import reverse

from restoration.people.models import Person, RoleHolding
from restoration.people.roles import ROLES, Permission, Role
from tests.counting import queries_of
from tests.reading import words

LIST = reverse("people:person-list")


def many(count):
    people = Person.objects.bulk_create(
        Person(display_name=f"Volunteer {number:03}", email=f"v{number}@net.example") for number in range(count)
    )
    RoleHolding.objects.bulk_create(
        RoleHolding(person=person, role=role) for person in people for role in (Role.BUILDER, Role.TESTER)
    )


def test_the_list_names_everybody_and_what_they_play(builder, never_signs_in, as_person):
    page = as_person(builder).get(LIST)
    assert "2 people take part" in words(page)
    assert re.search(r"Pilar Ortuno builder", words(page))
    assert "Wilf Sandle" in words(page)


@pytest.mark.parametrize("role", list(Role))
def test_addresses_are_shown_only_to_those_who_look_after_people(make_client_as, builder, role):
    shown = builder.email in make_client_as(role).get(LIST).content.decode()
    shown_alone = builder.email in make_client_as(role).get(detail(builder)).content.decode()
    assert shown is shown_alone is (Permission.SEE_CONTACTS in ROLES[role].anything)


@pytest.fixture
def make_client_as(as_person):
    def make(role):
        person, _ = Person.objects.get_or_create(display_name=f"Some {role}")
        RoleHolding.objects.get_or_create(person=person, role=role, ended_at=None)
        return as_person(Person.objects.get(pk=person.pk))

    return make


def detail(person):
    return reverse("people:person-detail", args=[person.pk])


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("?name=WILF", {"Wilf Sandle"}),
        ("?role=tester", {"Tomasz Wilk"}),
        ("?role=builder&name=o", {"Pilar Ortuno"}),
        ("?left=on&name=gone", {"Gone Away"}),
        ("?name=gone", set()),
    ],
)
def test_an_address_narrows_the_list(builder, tester, never_signs_in, as_person, query, found):
    Person.objects.create(display_name="Gone Away", is_active=False)
    page = as_person(tester).get(LIST + query)
    assert {person.display_name for person in page.context["page_obj"]} == found
    if not found:
        assert "Nobody fits what was asked for." in words(page)


def test_htmx_gets_the_rows_alone_and_a_restore_gets_the_page(builder, as_person):
    client = as_person(builder)
    rows = client.get(LIST, headers={"HX-Request": "true"})
    assert "<table" in rows.content.decode()
    assert "<html" not in rows.content.decode()
    whole = client.get(LIST, headers={"HX-Request": "true", "HX-History-Restore-Request": "true"})
    assert "<html" in whole.content.decode()
    assert "HX-Request" in whole["Vary"]


def test_the_list_asks_the_database_as_often_for_sixty_as_for_six(coordinator, as_person):
    client = as_person(coordinator)
    counts = []
    for more in (6, 54):
        many(more) if more == 6 else many_more()
        counts.append(queries_of(client, LIST))
    assert counts[0] == counts[1]
    assert client.get(LIST + "?page=2").context["page_obj"].number == 2


def many_more():
    Person.objects.bulk_create(Person(display_name=f"Helper {n:03}", email=f"h{n}@net.example") for n in range(54))


def test_a_page_of_a_person_shows_roles_then_and_now(site_lead, builder, as_person):
    client = as_person(site_lead)
    client.post(reverse("people:role-give", args=[builder.pk]), {"role": "tester"})
    holding = builder.holdings.get(role="builder")
    client.post(reverse("people:role-end", args=[holding.pk]))
    page = words(client.get(detail(builder)))
    assert "Takes part as tester." in page
    assert ROLES[Role.TESTER].purpose in page
    assert re.search(r"Earlier roles builder, \d+ \w+ \d{4} to", page)
    assert "Ama Boateng gave Pilar Ortuno the role of tester." in page, "the log book stands on the page"


def test_one_who_may_not_give_roles_is_not_offered_it(builder, tester, as_person):
    page = as_person(tester).get(detail(builder)).content.decode()
    assert "End this role" not in page
    assert "Give a role" not in page
    assert as_person(tester).get(reverse("people:role-give", args=[builder.pk])).status_code == 403


def test_the_last_site_lead_is_told_why_not(site_lead, as_person):
    holding = site_lead.holdings.get()
    answer = as_person(site_lead).post(reverse("people:role-end", args=[holding.pk]))
    assert answer.status_code == 422
    assert "Ama Boateng is the only site lead who signs in. Give that role to another person first." in words(answer)
    assert site_lead.holdings.filter(ended_at=None).exists()


def test_a_role_already_held_is_not_offered(site_lead, builder, as_person):
    address = reverse("people:role-give", args=[builder.pk])
    answer = as_person(site_lead).post(address, {"role": "builder"})
    assert answer.status_code == 422
    assert "That role cannot be given here." in words(answer)


def test_the_table_names_each_act_once_and_who_may(builder, as_person):
    page = words(as_person(builder).get(reverse("people:roles")))
    for permission in Permission:
        assert permission.value in page
    for allowance in ROLES.values():
        assert allowance.purpose in page
    assert re.search(r"move a chassis on and hand it over site lead builder", page)
    assert re.search(r"power responsible person Is appointed .*? nobody", page)


def test_a_coordinator_writes_down_one_who_never_signs_in_but_gives_no_role(coordinator, as_person):
    client = as_person(coordinator)
    assert "Roles" not in words(client.get(reverse("people:person-add")))
    answer = client.post(reverse("people:person-add"), {"name": "Old Tam", "roles": ["site lead"]})
    person = Person.objects.get(display_name="Old Tam")
    assert answer.url == detail(person)
    assert person.roles == frozenset()
    page = words(client.get(answer.url))
    assert "Old Tam is written down, and can be named as the doer of any act." in page
    assert "never; others enter what Old Tam did" in page


def test_a_site_lead_writes_one_down_with_a_role(site_lead, as_person):
    as_person(site_lead).post(reverse("people:person-add"), {"name": "Old Tam", "roles": ["builder"]})
    assert Person.objects.get(display_name="Old Tam").roles == {Role.BUILDER}


def test_a_person_needs_a_name(coordinator, as_person):
    answer = as_person(coordinator).post(reverse("people:person-add"), {"name": "  "})
    assert answer.status_code == 422
    assert "Give a name; it may be any name this person wants to be called by." in words(answer)


def test_sending_a_person_twice_writes_one_down(coordinator, as_person):
    form = {"name": "Old Tam", "form_token": "0a7b1e56-95a0-4d2c-8a8d-2c6a2a1a9b11"}
    answers = [as_person(coordinator).post(reverse("people:person-add"), form) for _ in range(2)]
    assert answers[0].url == answers[1].url
    assert Person.objects.filter(display_name="Old Tam").count() == 1


def test_ones_own_page_keeps_a_chosen_name(builder, as_person):
    client = as_person(builder)
    page = words(client.get(reverse("people:me")))
    assert "You take part as builder." in page
    assert "Codes go to pilar.ortuno@kestrelsands.example." in page
    client.post(reverse("people:me"), {"name": "Pilar O."})
    assert "You are called Pilar O. from now on." in words(client.get(reverse("people:me")))


def test_ones_own_page_refuses_a_name_that_is_taken(builder, tester, as_person):
    answer = as_person(builder).post(reverse("people:me"), {"name": "Tomasz Wilk"})
    assert answer.status_code == 422
    assert "Somebody here is called Tomasz Wilk already." in words(answer)
    assert Person.objects.get(pk=builder.pk).display_name == "Pilar Ortuno"


def test_one_without_a_role_sees_little_and_is_told_whom_to_ask(db, as_person):
    person = Person.objects.create(display_name="New Here", email="new@net.example")
    client = as_person(person)
    assert "You hold no role yet, so little is open to you; ask a site lead." in words(client.get(reverse("people:me")))
    refused = client.get(LIST)
    assert refused.status_code == 403
    assert "read the machine's records is not among the things you may do here" in words(refused)


def test_a_person_who_is_not_there_is_not_found(site_lead, as_person):
    client = as_person(site_lead)
    for name in ("person-detail", "role-give", "role-end"):
        assert client.get(reverse(f"people:{name}", args=[10**9])).status_code == 404
