from datetime import timedelta

import pytest
from django.utils import timezone

from restoration.people.doers import DoerForm

MINUTE = "%Y-%m-%dT%H:%M"


def sent(**fields):
    return {"form_token": "", **fields}


def test_the_doer_is_me_unless_i_say_otherwise(tester, never_signs_in):
    form = DoerForm(me=tester)
    assert form["done_by"].value() == tester.pk
    assert f'<option value="{tester.pk}" selected>Tomasz Wilk</option>' in str(form["done_by"])
    assert "Wilf Sandle" in str(form["done_by"])


def test_those_who_left_are_not_offered(tester, second_tester):
    second_tester.is_active = False
    second_tester.save()
    assert "Marek Hale" not in str(DoerForm(me=tester)["second_person"])
    form = DoerForm(sent(done_by=second_tester.pk), me=tester)
    assert not form.is_valid()


def test_cleaned_data_holds_people_and_a_moment(tester, never_signs_in):
    yesterday = timezone.localtime() - timedelta(days=1)
    form = DoerForm(
        sent(done_by=never_signs_in.pk, second_person=tester.pk, done_at=yesterday.strftime(MINUTE)), me=tester
    )
    assert form.is_valid(), form.errors
    assert form.cleaned_data["done_by"] == never_signs_in
    assert form.cleaned_data["second_person"] == tester
    assert form.cleaned_data["done_at"] == yesterday.replace(second=0, microsecond=0)


def test_nobody_is_their_own_second_person(tester):
    form = DoerForm(sent(done_by=tester.pk, second_person=tester.pk), me=tester)
    assert form.errors == {
        "second_person": ["The second person must be another than the doer, and both are Tomasz Wilk."]
    }


def test_an_empty_moment_means_now(tester):
    form = DoerForm(sent(done_by=tester.pk), me=tester)
    assert form.is_valid()
    assert abs(form.cleaned_data["done_at"] - timezone.now()) < timedelta(seconds=10)


@pytest.mark.parametrize(("minutes", "taken"), [(4, True), (7, False)])
def test_clocks_may_differ_by_five_minutes_and_no_more(tester, minutes, taken):
    moment = timezone.localtime() + timedelta(minutes=minutes)
    form = DoerForm(sent(done_by=tester.pk, done_at=moment.strftime(MINUTE)), me=tester)
    assert form.is_valid() is taken
    if not taken:
        assert f"{moment:%d %b %Y, %H:%M} has not come yet" in form.errors["done_at"][0]
        assert form.errors["done_at"][0].endswith("Give the time it was done.")


def test_each_form_carries_its_own_token(tester):
    first, second = DoerForm(me=tester), DoerForm(me=tester)
    assert first["form_token"].value() != second["form_token"].value()
