import pytest
from django.contrib.auth.models import AnonymousUser

from restoration.people.roles import ROLES, Permission, Role, may, may_some, roles_that_may

P = Permission


def test_every_role_has_a_purpose_in_a_sentence_and_every_act_somebody_who_may():
    for role in Role:
        assert ROLES[role].purpose.endswith(".")
    for permission in Permission:
        assert roles_that_may(permission), f"nobody may {permission}"


def test_a_site_lead_may_everything_but_sign_for_power(site_lead, power_person):
    assert {permission for permission in Permission if not may(site_lead, permission)} == {Permission.SIGN_POWER}
    assert may(power_person, Permission.SIGN_POWER)


@pytest.mark.parametrize("permission", list(Permission))
def test_a_visitor_and_one_who_left_may_nothing(site_lead, permission):
    site_lead.is_active = False
    for nobody in (None, AnonymousUser(), site_lead):
        assert may(nobody, permission) is False
        assert may_some(nobody, permission) is False


def test_a_builder_moves_on_their_own_chassis_alone(builder, tester):
    assert may(builder, P.BUILD_CHASSIS, owner_id=builder.pk)
    assert not may(builder, P.BUILD_CHASSIS, owner_id=tester.pk)
    assert not may(builder, P.BUILD_CHASSIS, owner_id=None)
    assert may_some(builder, P.BUILD_CHASSIS)
    assert not may_some(tester, P.BUILD_CHASSIS)


def test_a_role_that_ended_allows_nothing(builder):
    builder.holdings.update(ended_at=builder.joined_at.replace(year=2099))
    again = type(builder).objects.get(pk=builder.pk)
    assert not may(again, P.SEE_RECORDS)


def test_two_roles_allow_what_either_does(builder):
    builder.holdings.create(role=Role.STORES)
    again = type(builder).objects.get(pk=builder.pk)
    assert may(again, P.CHECK_COLD)
    assert may(again, P.RECEIVE_CHASSIS)
    assert not may(again, P.BENCH_TEST)


def test_it_asks_the_database_once_a_person(builder, django_assert_num_queries):
    again = type(builder).objects.get(pk=builder.pk)
    with django_assert_num_queries(1):
        assert [may(again, permission) for permission in Permission].count(True) == 5
