import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from restoration.commissioning.services import recompute_all
from restoration.machine.models import Fitting
from tests.commissioning.records import fault, make_fit, may, prove, step
from tests.counting import queries_of
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_slot

pytestmark = pytest.mark.django_db


def words(tester, second, **changes):
    sent = {
        "form_token": str(uuid.uuid4()),
        "slot_label_read": "C-07",
        "chassis_label_read": "SR-14",
        "done_by": tester.pk,
        "second_person": second.pk,
        "done_at": "",
        "remarks": "",
    }
    return {**sent, **changes}


def test_a_chassis_is_fitted_once_however_often_the_form_is_sent(slot, chassis, tester, second_tester, as_person):
    client, address = as_person(tester), reverse("commissioning:chassis-fit", args=[slot.code])
    assert "This slot wants design KS-207, Summing register." in client.get(address).content.decode()
    sent = words(tester, second_tester, chassis=chassis.pk)
    assert client.post(address, sent).url == slot.get_absolute_url()
    assert client.post(address, sent).url == slot.get_absolute_url()
    assert Fitting.objects.get().fitted_at > timezone.now() - timedelta(minutes=1)


def test_the_gates_refusal_stands_on_the_form_and_nothing_is_stored(slot, chassis, tester, second_tester, as_person):
    other = make_chassis("CG-03", design=make_design("KS-231", title="Constituent generator"))
    sent = words(tester, second_tester, chassis=other.pk, chassis_label_read="CG-03")
    answer = as_person(tester).post(reverse("commissioning:chassis-fit", args=[slot.code]), sent)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Slot C-07 wants design KS-207, Summing register" in page
    assert "the gate “bench-tested” is not done." in page
    assert not Fitting.objects.exists()


def test_only_fitting_units_are_offered(slot, chassis, tester, as_person):
    make_chassis("CG-03", design=make_design("KS-231"))
    make_fitting(make_chassis("SR-11", design=slot.design), make_slot("C-06"))
    form = as_person(tester).get(reverse("commissioning:chassis-fit", args=[slot.code])).context["form"]
    assert [str(unit) for unit in form.fields["chassis"].queryset] == ["chassis SR-14"]


def test_a_second_person_is_asked_for(slot, chassis, tester, second_tester, as_person):
    sent = words(tester, second_tester, chassis=chassis.pk, second_person="")
    answer = as_person(tester).post(reverse("commissioning:chassis-fit", args=[slot.code]), sent)
    assert answer.status_code == 422
    assert not Fitting.objects.exists()


def test_a_builder_may_not_fit(slot, builder, as_person):
    answer = as_person(builder).get(reverse("commissioning:chassis-fit", args=[slot.code]))
    assert answer.status_code == 403
    assert "Ask a site lead or a tester." in answer.content.decode()


def test_a_chassis_is_withdrawn_with_a_reason(slot, chassis, tester, as_person):
    make_fitting(chassis, slot, fitted_by=tester, at=may(5))
    client, address = as_person(tester), reverse("commissioning:chassis-withdraw", args=[slot.code])
    sent = {"form_token": str(uuid.uuid4()), "done_by": tester.pk, "second_person": "", "done_at": "", "why": ""}
    answer = client.post(address, sent)
    assert answer.status_code == 422
    assert "A withdrawal needs a reason, in a few words." in answer.content.decode()
    assert client.post(address, {**sent, "why": "V3 dark"}).url == slot.get_absolute_url()
    assert Fitting.objects.get().removed_why == "V3 dark"
    assert client.post(address, {**sent, "form_token": str(uuid.uuid4()), "why": "V3 dark"}).status_code == 422


def test_a_withdrawal_does_not_take_out_what_was_put_in_meanwhile(slot, chassis, tester, as_person):
    old = make_fitting(make_chassis("SR-13", design=slot.design), slot, at=may(5))
    client, address = as_person(tester), reverse("commissioning:chassis-withdraw", args=[slot.code])
    assert f'name="seen" value="{old.pk}"' in client.get(address).content.decode()
    Fitting.objects.update(removed_at=may(6), removed_by=tester)
    new = make_fitting(chassis, slot, at=may(6))
    sent = {"form_token": str(uuid.uuid4()), "done_by": tester.pk, "done_at": "", "why": "V3 dark", "seen": old.pk}
    answer = client.post(address, sent)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Another chassis stood in slot C-07 when this page was opened; chassis SR-14 is there now." in page
    assert f'name="seen" value="{new.pk}"' in page
    assert Fitting.objects.get(pk=new.pk).removed_at is None
    assert client.post(address, {**sent, "seen": new.pk}).status_code == 302


def test_unknown_places_are_not_found(tester, as_person):
    client = as_person(tester)
    for name in ("rack-readiness", "chassis-fit", "chassis-withdraw"):
        assert client.get(reverse(f"commissioning:{name}", args=["Z-99"])).status_code == 404


def test_readiness_names_what_is_missing_and_what_is_in_doubt(slot, chassis, tester, as_person):
    link = make_link("C-07:1", "C-07:2", code="214")
    prove(link, 6)
    logged = fault(link, 7)
    recompute_all()
    page = as_person(tester).get(reverse("commissioning:rack-readiness", args=["C"])).content.decode()
    assert "Not ready: 3 things are missing. 1 in doubt." in page
    assert f"Fault {logged.pk} was logged on it on 7 May 2026 (rule 55)." in page
    assert "cure fault" in page
    everywhere = as_person(tester).get(reverse("commissioning:readiness")).content.decode()
    assert "Not ready: 3 things are missing. 1 in doubt." in everywhere


def test_a_site_without_racks_says_how_to_begin(tester, as_person):
    for name in ("today", "readiness"):
        page = as_person(tester).get(reverse(f"commissioning:{name}")).content.decode()
        assert "There are no racks yet. Bring in the wire list, or add a rack." in page


def test_the_gates_page_names_every_gate_and_who_signs(builder, as_person):
    page = as_person(builder).get(reverse("commissioning:gates")).content.decode()
    for gate in (
        "Allotted",
        "Cold-checked",
        "Bench-tested",
        "Fitted",
        "Rung out",
        "Signal-checked",
        "HT on",
        "Soaked",
        "Margin check",
    ):
        assert gate in page
    assert "Whoever may record a signal check; a second person is there all the time." in page


def test_today_is_each_persons_own(site_lead, builder, storekeeper, as_person):
    mine = make_chassis("SR-14", builder=builder)
    step(mine, 1, "allotted")
    stuck = make_chassis("SR-15")
    step(stuck, 2, "stuck", "R12 is missing")
    arrived = make_chassis("SR-16")
    step(arrived, 3, "handed over")

    def seen(person):
        page = as_person(person).get(reverse("commissioning:today")).content.decode()
        return {serial for serial in ("SR-14", "SR-15", "SR-16") if f"{serial}" in page.split("<h2>Lately")[0]}

    assert seen(builder) == {"SR-14"}
    assert seen(storekeeper) == {"SR-16"}
    assert seen(site_lead) == {"SR-15", "SR-16"}


def test_today_and_readiness_cost_the_same_number_of_queries_at_any_size(site_lead, as_person):
    client, design = as_person(site_lead), make_design("KS-207")

    def grow(racks):
        for letter in racks:
            make_rack(letter)
            unit = make_chassis(f"SR-{letter}", design=design)
            make_fit(unit)
            make_slot(f"{letter}-01", design=design)
            prove(make_link(f"{letter}-01:1", f"{letter}-01:2", code=letter), 6)
            fault(make_link(f"{letter}-01:3", f"{letter}-01:4", code=f"{letter}2"), 7)
        recompute_all()

    def counts():
        names = ["commissioning:today", "commissioning:readiness"]
        return [queries_of(client, reverse(name)) for name in names]

    grow("AB")
    few = counts()
    grow("CDEFGHJ")
    assert counts() == few
