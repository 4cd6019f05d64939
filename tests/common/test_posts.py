"""A post sent twice is stored once: one after the other, in one breath, and after a refusal."""

import threading
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.urls import reverse

from restoration.common.models import StoredPost
from restoration.common.posts import TokenForm, store_once
from restoration.machine.models import Rack
from restoration.people.models import Person
from restoration.people.roles import Role
from restoration.workshop.models import Step, StepKind
from restoration.workshop.services import allot, take_step
from tests.conftest import make_person
from tests.factories import make_chassis

K = StepKind


def make_rack(code="C"):
    Rack.objects.create(code=code)
    return f"/racks/{code}"


@pytest.mark.django_db
def test_a_repeated_token_gives_the_first_address_and_stores_nothing_more():
    token = uuid.uuid4()
    assert store_once(token, lambda: make_rack("C")) == "/racks/C"
    assert store_once(token, lambda: make_rack("D")) == "/racks/C"
    assert list(Rack.objects.values_list("code", flat=True)) == ["C"]


@pytest.mark.django_db
def test_two_tokens_are_two_acts():
    store_once(uuid.uuid4(), lambda: make_rack("C"))
    store_once(uuid.uuid4(), lambda: make_rack("D"))
    assert Rack.objects.count() == StoredPost.objects.count() == 2


@pytest.mark.django_db
def test_a_refused_act_frees_its_token():
    token = uuid.uuid4()

    def refuse():
        make_rack("C")
        raise ValidationError("The rack is not there yet.")

    with pytest.raises(ValidationError, match="The rack is not there yet."):
        store_once(token, refuse)
    assert not Rack.objects.exists()
    assert not StoredPost.objects.exists()
    assert store_once(token, make_rack) == "/racks/C"


@pytest.mark.django_db
def test_a_broken_rule_of_the_database_is_not_taken_for_a_repeat():
    make_rack("C")
    with pytest.raises(IntegrityError):
        store_once(uuid.uuid4(), make_rack)
    assert not StoredPost.objects.exists()


def test_a_form_carries_a_token_of_its_own_and_keeps_the_one_sent():
    first, second = TokenForm(), TokenForm()
    assert first["form_token"].value() != second["form_token"].value()
    token = uuid.uuid4()
    form = TokenForm({"form_token": str(token)})
    assert form.is_valid()
    assert form.cleaned_data["form_token"] == token
    assert str(token) in str(form["form_token"])


@pytest.mark.parametrize("sent", [{}, {"form_token": ""}])
def test_a_post_without_a_token_counts_as_one_act(sent):
    form = TokenForm(sent)
    assert form.is_valid()
    assert isinstance(form.cleaned_data["form_token"], uuid.UUID)


def test_a_token_that_is_none_is_refused():
    assert not TokenForm({"form_token": "not a token"}).is_valid()


# --- in one breath ---


def at_the_same_moment(*acts):
    """Run acts in threads of their own, begun together; return what each gave or raised."""
    gate, given = threading.Barrier(len(acts)), [None] * len(acts)

    def run(place, act):
        try:
            gate.wait(timeout=10)
            given[place] = act()
        except Exception as raised:
            given[place] = raised
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return given


@pytest.mark.usefixtures("transactional_db")
def test_the_same_token_by_two_at_the_same_moment_is_stored_once():
    token = uuid.uuid4()
    given = at_the_same_moment(*[lambda: store_once(token, make_rack)] * 4)
    assert given == ["/racks/C"] * 4
    assert Rack.objects.count() == StoredPost.objects.count() == 1


def chassis_in_hand():
    lead, builder = make_person("Ama Boateng", Role.SITE_LEAD), make_person("Pilar Ortuno", Role.BUILDER)
    chassis = make_chassis("SR-14")
    allot(chassis=chassis, builder=builder, by=lead)
    take_step(chassis=chassis, kind=K.IN_HAND, done_by=builder, entered_by=builder)
    return chassis, builder


@pytest.mark.usefixtures("transactional_db")
def test_a_note_posted_twice_by_a_poor_connection_is_stored_once(as_person):
    _, builder = chassis_in_hand()
    address, sent = (
        reverse("workshop:step-add", args=["SR-14", "note"]),
        {"form_token": uuid.uuid4(), "text": "Holders in."},
    )
    clients = [as_person(builder), as_person(builder)]
    answers = at_the_same_moment(*[lambda client=client: client.post(address, sent) for client in clients])
    assert [answer.status_code for answer in answers] == [302, 302]
    assert Step.objects.filter(kind=K.NOTE).count() == 1


@pytest.mark.usefixtures("transactional_db")
def test_two_who_move_a_chassis_on_at_once_move_it_once():
    chassis, builder = chassis_in_hand()

    def built():
        return take_step(chassis=chassis, kind=K.BUILT, done_by=builder, entered_by=builder)

    given = at_the_same_moment(built, built)
    refusals = [one for one in given if isinstance(one, ValidationError)]
    assert [refusal.messages for refusal in refusals] == [["Chassis SR-14 is recorded as built already."]]
    assert Step.objects.filter(kind=K.BUILT).count() == 1


@pytest.mark.usefixtures("transactional_db")
def test_an_act_that_breaks_halfway_leaves_nothing():
    chassis, builder = chassis_in_hand()
    before = Step.objects.count()

    def act():
        take_step(chassis=chassis, kind=K.NOTE, done_by=builder, entered_by=builder, text="Half of it")
        raise RuntimeError("the line went dead")

    with pytest.raises(RuntimeError), transaction.atomic():
        store_once(uuid.uuid4(), act)
    assert Step.objects.count() == before
    assert not StoredPost.objects.exists()
    assert Person.objects.count() == 2
