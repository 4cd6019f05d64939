import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import escape

from restoration.engineering.captures import read_capture
from restoration.kestrel.cast import CAST
from restoration.machine.models import Machine
from restoration.people.models import Person

CAST_PAGE = reverse("kestrel:cast")


@pytest.fixture
def pilar(db):
    return Person.objects.create(display_name="Pilar Etxarte", email="pilar@kestrelsands.example")


@pytest.fixture
def demonstration(settings, pilar):
    settings.DEMO = True
    Machine.objects.create(name="Kestrel Sands tide computer", is_demo=True)


def play(person, **more):
    return Client().post(reverse("kestrel:play", args=[person.pk]), more)


def test_the_page_names_the_whole_cast_and_who_they_are(demonstration):
    page = Client().get(CAST_PAGE).content.decode()
    for member in CAST:
        assert member.display_name in page
        assert escape(member.line) in page
    assert "<button" in page
    assert "As Pilar</button>" in page
    assert page.count("never signs in") >= 1


def test_anybody_comes_in_as_one_of_the_cast(demonstration, pilar):
    client = Client()
    answer = client.post(reverse("kestrel:play", args=[pilar.pk]))
    assert answer.url == "/"
    assert "Pilar Etxarte" in client.get(reverse("people:me")).content.decode()


@pytest.mark.parametrize(("way_back", "goes"), [("/people/me/", "/people/me/"), ("https://elsewhere.example/", "/")])
def test_the_way_back_stays_on_this_site(demonstration, pilar, way_back, goes):
    assert play(pilar, next=way_back).url == goes


def test_only_the_cast_is_played(demonstration):
    stranger = Person.objects.create(display_name="Real Person", email="real@net.example")
    unsigned = Person.objects.create(display_name="Walter Tideswell")
    assert play(stranger).status_code == 404
    assert play(unsigned).status_code == 404


def test_one_is_not_played_by_asking_for_the_page(demonstration, pilar):
    assert Client().get(reverse("kestrel:play", args=[pilar.pk])).status_code == 405


def test_without_the_setting_there_is_no_such_page(demonstration, pilar, settings):
    settings.DEMO = False
    assert Client().get(CAST_PAGE).status_code == 404
    assert play(pilar).status_code == 404


def test_on_a_database_of_real_work_there_is_no_such_page(settings, pilar):
    settings.DEMO = True
    Machine.objects.create(name="A real machine")
    assert Client().get(CAST_PAGE).status_code == 404
    assert play(pilar).status_code == 404


def test_the_sheet_of_three_things_leads_to_where_each_begins(demonstration, pilar):
    page = Client().get(CAST_PAGE).content.decode()
    assert page.index("Three things to try") < page.index("Everyone")
    assert "Begin as Pilar Etxarte" in page
    file = Client().get(reverse("kestrel:capture"))
    assert file.headers["Content-Type"] == "application/octet-stream"
    assert read_capture(file.content).channels


def test_the_file_to_try_is_only_there_in_a_demonstration(db, settings):
    settings.DEMO = False
    assert Client().get(reverse("kestrel:capture")).status_code == 404
