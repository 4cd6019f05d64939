from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from restoration.people.models import Invitation, Person, RoleHolding
from restoration.people.roles import Role

NOW = timezone.now()


def refused(name):
    return pytest.raises(IntegrityError, match=name)


def message_of(model, name):
    return next(each.violation_error_message for each in model._meta.constraints if each.name == name)


def hold(person, **fields):
    with transaction.atomic():
        return RoleHolding.objects.create(person=person, role=Role.TESTER, given_at=NOW, **fields)


def test_a_role_is_held_once_at_a_time(builder):
    first = hold(builder)
    with pytest.raises(IntegrityError):
        hold(builder)
    first.ended_at = NOW
    first.save()
    hold(builder)
    assert message_of(RoleHolding, "role_held_once") == "This person holds that role already."


def test_a_role_does_not_end_before_it_was_given(builder):
    with refused("role_ends_after_it_began"):
        hold(builder, ended_at=NOW - timedelta(seconds=1))
    hold(builder, ended_at=NOW)
    assert message_of(RoleHolding, "role_ends_after_it_began") == "A role cannot end before it was given."


@pytest.mark.parametrize("half", ["taken_up_at", "taken_up_by"])
def test_an_invitation_taken_up_says_when_and_by_whom(builder, half):
    both = {"taken_up_at": NOW, "taken_up_by": builder}
    with refused("invitation_taken_up_when_and_by_whom"), transaction.atomic():
        Invitation.objects.create(email="a@net.example", display_name="A", expires_at=NOW, **{half: both[half]})
    Invitation.objects.create(email="a@net.example", display_name="A", expires_at=NOW, **both)
    assert message_of(Invitation, "invitation_taken_up_when_and_by_whom") == (
        "An invitation taken up says both when and by whom."
    )


def test_invitations_that_can_be_taken_up(builder):
    def made(email, days, **fields):
        until = NOW + timedelta(days=days)
        return Invitation.objects.create(email=email, display_name=email, expires_at=until, **fields)

    waiting = made("a@net.example", 1)
    made("b@net.example", 0)
    made("c@net.example", 1, taken_up_at=NOW, taken_up_by=builder)
    assert list(Invitation.objects.still_open(NOW)) == [waiting]
    assert len({each.token for each in Invitation.objects.all()}) == 3


def test_one_spelling_of_an_address_and_none_rather_than_an_empty_one(db):
    assert Person.objects.create(display_name="A", email=" Ama@Net.Example ").email == "ama@net.example"
    assert Person.objects.create(display_name="B", email="").email is None
    assert Person.objects.create(display_name="C", email="").email is None
    assert Person.objects.get_by_natural_key("AMA@NET.EXAMPLE").display_name == "A"


def test_who_is_here_who_plays_a_part_and_who_never_signs_in(builder, tester, never_signs_in):
    tester.is_active = False
    tester.save()
    assert set(Person.objects.present()) == {builder, never_signs_in}
    assert set(Person.objects.holding(Role.BUILDER)) == {builder, never_signs_in}
    assert set(Person.objects.never_signing_in()) == {never_signs_in}


def test_roles_in_words_stand_in_the_order_of_the_table(builder):
    RoleHolding.objects.create(person=builder, role=Role.SITE_LEAD)
    RoleHolding.objects.create(person=builder, role=Role.STORES, given_at=NOW, ended_at=NOW)
    assert Person.objects.get(pk=builder.pk).roles_in_words == "site lead, builder"
