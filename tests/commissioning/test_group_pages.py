"""The pages of groups: list, description, form, and two people at one form."""

import uuid

import pytest

from restoration.commissioning.models import Group, Standing
from restoration.commissioning.services import recompute_all
from restoration.machine.models import Interconnect
from tests.commissioning.records import make_fit, may, pair, prove, sign
from tests.counting import queries_of
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_slot
from tests.reading import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def group():
    """SUM: slot C-07 holds chassis SR-14, C-08 is empty; one link between them."""
    design = make_design("KS-207")
    first, second = (make_slot(code, design=design, function="Register") for code in ("C-07", "C-08"))
    unit = make_chassis("SR-14", design=design)
    make_fit(unit)
    make_fitting(unit, first, fitted_by=pair()[0], at=may(5))
    made = Group.objects.create(code="SUM", name="Summing register", position=1)
    made.slots.set([first, second])
    prove(make_link("C-07:1", "C-08:1", code="31"), 6)
    recompute_all()
    return made


def sent(**fields):
    form = {
        "name": "Summing register",
        "purpose": "",
        "pass_test": "Add 3 and 4.",
        "slots": "C-07\nC-08",
        "further_links": "",
        "position": "1",
        "version": "1",
        "form_token": str(uuid.uuid4()),
    }
    return {**form, **fields}


def test_a_group_tells_its_gates_members_and_what_is_missing(group, tester, as_person):
    text = words(as_person(tester).get("/groups/of/SUM/"))
    assert "6 of 7 gates do not stand. Next: fit its members (in hand). Its pass test is not written yet." in text
    assert "1 of 2 members are fitted. Slot C-08 , fitted: not done." in text
    assert "until then no check of this group can be recorded as passed" in text
    assert "Slot C-07 : bring its heaters up, then bring its HT up. Waits for the power responsible person." in text
    assert "Sign for “static check”" in text


def test_only_who_may_prove_a_group_is_offered_to_sign(group, storekeeper, as_person):
    text = words(as_person(storekeeper).get("/groups/of/SUM/"))
    assert "Sign for" not in text
    assert "Edit this group" not in text


def test_the_list_shows_how_far_each_group_has_come(group, tester, as_person):
    page = as_person(tester).get("/groups/").content.decode()
    assert 'aria-label="members fitted: in hand"' in page
    assert 'aria-label="links proved: passed"' in page
    assert "Marks, left to right: members fitted, links proved, static check" in page


def test_without_groups_the_list_says_what_one_is(tester, as_person):
    assert "No group is described yet: a functional part of the machine" in words(as_person(tester).get("/groups/"))


def test_the_pages_cost_the_same_at_any_size(group, tester, as_person):
    client = as_person(tester)
    addresses = ("/groups/", "/groups/of/SUM/")
    few = [queries_of(client, address) for address in addresses]
    for number in range(6):
        other = Group.objects.create(code=f"G{number}", name="Gate")
        slot = make_slot(f"D-{number}")
        other.slots.add(slot), group.slots.add(slot)
        prove(make_link(f"D-{number}:1", "C-07:3", code=f"x{number}"), 7)
    recompute_all()
    assert [queries_of(client, address) for address in addresses] == few


def test_a_group_is_added_by_its_codes(group, drawings_keeper, as_person):
    form = {**sent(slots="C-07\n\n C-08 \nC-07", further_links="31"), "code": "SUM 2"}
    answer = as_person(drawings_keeper).post("/groups/add/", form)
    made = Group.objects.get(code="SUM 2")
    assert (answer.status_code, answer.url) == (302, made.get_absolute_url())
    assert sorted(made.slots.values_list("code", flat=True)) == ["C-07", "C-08"]
    assert as_person(drawings_keeper).post("/groups/add/", form).status_code == 302
    assert Group.objects.filter(name=form["name"]).count() == 2


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"slots": "C-07\nC-70\nC-71"}, "There is no slot “C-70”, “C-71”. Write one code a line, as it is painted."),
        ({"further_links": "990"}, "There is no link “990”. Write one code a line, as it is painted."),
        ({"name": ""}, "Say what the group is called."),
        ({"code": ""}, "Give it a short code."),
        ({"code": "SUM"}, "There is a group SUM already; the code of a group is used once."),
    ],
)
def test_what_cannot_be_stored_is_refused_in_a_sentence(group, site_lead, as_person, wrong, said):
    answer = as_person(site_lead).post("/groups/add/", {**sent(), "code": "NEW", **wrong})
    assert answer.status_code == 422
    assert said in words(answer)
    assert Group.objects.count() == 1


def test_many_unknown_codes_are_counted(group, site_lead, as_person):
    codes = "\n".join(f"K-{number}" for number in range(9))
    text = words(as_person(site_lead).post("/groups/add/", {**sent(slots=codes), "code": "NEW"}))
    assert "There is no slot “K-0”, “K-1”, “K-2”, “K-3”, “K-4” and 4 more." in text


def test_two_at_one_group_the_second_sees_both_texts_and_may_send_again(group, site_lead, as_person):
    client = as_person(site_lead)
    assert client.post("/groups/of/SUM/edit/", sent(slots="C-07")).status_code == 302
    answer = client.post("/groups/of/SUM/edit/", sent(pass_test="Add 5 and 6."))
    text = words(answer)
    assert answer.status_code == 409
    assert "Someone else stored this while you were writing" in text
    assert "Add 3 and 4." in text
    assert "Add 5 and 6." in text
    assert client.post("/groups/of/SUM/edit/", sent(pass_test="Add 5 and 6.", version="2")).status_code == 302
    group.refresh_from_db()
    assert (group.pass_test, group.version, group.slots.count()) == ("Add 5 and 6.", 3, 2)


def test_a_tester_does_not_describe_groups(group, tester, as_person):
    answer = as_person(tester).post("/groups/of/SUM/edit/", sent())
    assert answer.status_code == 403
    assert "Ask a site lead or a drawings keeper" in words(answer)


def test_a_group_that_is_not_there(tester, as_person):
    assert as_person(tester).get("/groups/of/NONE/").status_code == 404


def test_slots_and_links_name_the_groups_they_belong_to(group, tester, as_person):
    client = as_person(tester)
    for thing in (make_slot("C-07"), Interconnect.objects.get(code="31")):
        text = words(client.get(thing.get_absolute_url()))
        assert "Belongs to" in text
        assert "Group SUM , Summing register" in text
    assert "Belongs to" not in words(client.get(make_slot("E-01").get_absolute_url()))


def test_a_group_in_doubt_stands_on_todays_sheet(group, tester, as_person):
    Standing.objects.create(group=group, gate="margin check", state="in doubt", since=may(9), reasons=["HT moved."])
    Standing.objects.create(
        rack=make_slot("C-07").rack, gate="soaked", state="in doubt", since=may(9), reasons=["Rest."]
    )
    text = words(as_person(tester).get("/"))
    assert "group SUM , margin check" in text
    assert "rack C , soaked" in text


def test_a_gate_record_is_one_step_from_the_gate(group, tester, as_person):
    record = sign("group", group, "static check", 8)
    assert f"Gate record {record.pk}" in words(as_person(tester).get("/groups/of/SUM/"))
