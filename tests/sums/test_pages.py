"""The pages of the loose sums: every one of them opens, is worked again on the server, and keeps what was typed."""

import html
import re
from urllib.parse import parse_qsl

import pytest
from django.test import Client
from django.urls import reverse

from restoration.people.roles import Role
from restoration.sums.catalogue import sums
from restoration.sums.declared import ADVICE, Lines, Quantity, Sum
from tests.conftest import make_person
from tests.reading import words

pytestmark = pytest.mark.django_db
each_sum = pytest.mark.parametrize("one", sums().values(), ids=lambda one: one.slug)


@pytest.fixture
def client(as_person, tester) -> Client:
    return as_person(tester)


def page_of(client: Client, one: Sum, status: int = 200, **given: str) -> str:
    answer = client.get(reverse("sums:sum", args=[one.slug]), given)
    assert answer.status_code == status, words(answer)
    return answer.content.decode()


def typed(page: str) -> dict[str, str]:
    """What stands in the fields."""
    form = page[page.index('class="form sum-form no-print"') :]
    form = form[: form.index("</form>")]
    found = dict(re.findall(r'<input type="text" name="([^"]+)"(?: value="([^"]*)")?', form))
    found |= dict(re.findall(r'<textarea name="([^"]+)"[^>]*>\n?(.*?)</textarea>', form, re.DOTALL))
    for name, options in re.findall(r'<select name="([^"]+)".*?>(.*?)</select>', form, re.DOTALL):
        found[name] = re.search(r'value="([^"]*)" selected', options)[1]
    return {name: html.unescape(value) for name, value in found.items()}


@each_sum
def test_it_opens_with_its_worked_example_and_all_it_rests_on(client, one):
    page = page_of(client, one)
    text = words(page)
    assert typed(page) == one.example
    assert "A worked example" in text
    for said in (one.question, *one.formula, one.source, *one.assumptions, *one.limits, ADVICE):
        assert said in text
    assert ("HT and mains kill." in text) == one.leads_to_ht


@each_sum
def test_its_address_says_all_and_brings_back_the_same(client, one):
    page = page_of(client, one)
    (address,) = re.findall(r'<a href="(\?[^"]*)">send it</a>', page)
    given = dict(parse_qsl(html.unescape(address)[1:], keep_blank_values=True))
    assert given == one.example
    again = page_of(client, one, **given)
    assert answer_of(again) == answer_of(page)
    assert typed(again) == typed(page)


def answer_of(page: str) -> str:
    return words(page[page.index('id="answer"') : page.index("How it is worked")])


@each_sum
def test_a_wrong_figure_gets_a_sentence_and_the_rest_is_kept(client, one):
    wrong = next(each for each in one.inputs if isinstance(each, Quantity | Lines) and not each.optional)
    given = one.example | {wrong.name: "many"}
    page = page_of(client, one, 422, **given)
    assert typed(page) == given
    field = page[page.index(f'for="in-{wrong.name}"') :]
    assert "many" in words(field[: field.index(f'name="{wrong.name}"')])
    assert "Nothing was worked out." in words(page)


@each_sum
def test_what_may_not_be_empty_is_asked_for(client, one):
    page = page_of(client, one, 422, **{each.name: "" for each in one.inputs})
    text = words(page)
    for each in one.inputs:
        said = f"{each.label} : It was left empty; write one, such as {(each.example or ' ').splitlines()[0]}."
        assert (said in text) == (not each.optional)


@pytest.mark.parametrize("role", list(Role))
def test_every_role_may_work_a_sum_and_a_visitor_may_not(as_person, role):
    address = reverse("sums:sum", args=["divider"])
    assert as_person(make_person("Somebody", role)).get(address).status_code == 200
    assert Client().get(address).status_code == 302


def test_htmx_gets_the_same_page_and_takes_its_middle(client):
    one = sums()["divider"]
    address = reverse("sums:sum", args=[one.slug])
    whole = client.get(address, one.example)
    quick = client.get(address, one.example, headers={"HX-Request": "true"})
    assert quick.status_code == 200
    assert 'id="main"' in quick.content.decode()
    assert answer_of(quick.content.decode()) == answer_of(whole.content.decode())
    assert "HX-Request" in quick["Vary"]
    page = whole.content.decode()
    assert f'hx-get="{address}" hx-target="#main" hx-select="#main"' in page
    assert f'method="get" action="{address}#answer"' in page


def test_what_is_copied_is_the_answer_with_its_address(client):
    one = sums()["divider"]
    page = page_of(client, one, **one.example)
    copied = html.unescape(re.search(r'<textarea id="copied"[^>]*>(.*?)</textarea>', page, re.DOTALL)[1])
    assert copied.startswith("Divider\n\nGiven:\n  Pulse of the source with nothing on it: 30 V\n")
    assert "  Level at the load: 10.52 V\n" in copied
    assert "Advice: verify by measurement." in copied
    assert "\u00a0" not in copied
    address = re.search(r"Address: http://testserver(\S+)$", copied)[1]
    assert answer_of(client.get(address).content.decode()) == answer_of(page)


def test_what_is_typed_is_shown_and_never_run(client):
    one = sums()["divider"]
    page = page_of(client, one, 422, **(one.example | {"source_v": "<script>alert(1)</script>\x00"}))
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


def test_only_asking_is_allowed(client):
    assert client.post(reverse("sums:sum", args=["divider"])).status_code == 405
    assert client.post(reverse("sums:index")).status_code == 405


def test_a_name_that_is_not_asked_for_is_refused(client):
    one = sums()["limit"]
    page = page_of(client, one, 422, **one.example, most="20")
    assert "This sum does not ask for “most”; it asks for value_v, uncertainty_v, least_v, most_v." in words(page)


def test_a_sum_that_is_not_there(client):
    assert client.get(reverse("sums:sum", args=["perpetual-motion"])).status_code == 404


def test_the_first_page_names_every_sum_with_its_question(client):
    text = words(client.get(reverse("sums:index")))
    assert ADVICE in text
    for one in sums().values():
        assert one.title in text
        assert one.question in text
