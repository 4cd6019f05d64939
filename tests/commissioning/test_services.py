import pytest
from django.core.exceptions import ValidationError

from restoration.commissioning.models import Standing
from restoration.commissioning.services import (
    compare_standing,
    fit_chassis,
    recompute,
    recompute_all,
    withdraw_chassis,
    worked_out_once,
)
from restoration.logbook.models import Entry
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Fitting
from tests.commissioning.records import bench, check, join, make_fit, may, prove
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_slot

pytestmark = pytest.mark.django_db


def fit(chassis, slot, people, **changes):
    tester, second = people
    words = {
        "slot_label_read": slot.code,
        "chassis_label_read": chassis.serial,
        "fitted_by": tester,
        "second_person": second,
        "entered_by": tester,
        "at": may(6),
    }
    return fit_chassis(chassis=chassis, slot=slot, **{**words, **changes})


@pytest.fixture
def people(tester, second_tester):
    return tester, second_tester


def test_a_chassis_ready_and_rightly_labelled_is_fitted(chassis, slot, people):
    fitting = fit(chassis, slot, people)
    assert Fitting.objects.standing().get() == fitting
    line = Entry.objects.get()
    assert line.sentence == "Tomasz Wilk fitted chassis SR-14 in slot C-07, seen by Marek Hale."
    assert Standing.objects.get(chassis=chassis, gate="fitted").state == "passed"


def refused(chassis, slot, people, **changes):
    with pytest.raises(ValidationError) as caught:
        fit(chassis, slot, people, **changes)
    assert not Fitting.objects.exists()
    assert not Entry.objects.exists()
    return " ".join(caught.value.messages)


def test_the_wrong_slot_is_refused_by_its_label(chassis, slot, people):
    said = refused(chassis, slot, people, slot_label_read="C-06")
    assert said == "The label on the slot reads “C-06”, but this is slot C-07. Go to the right slot."


def test_the_wrong_chassis_is_refused_by_its_label(chassis, slot, people):
    said = refused(chassis, slot, people, chassis_label_read="SR-41")
    assert said == "The label on the chassis reads “SR-41”, but chassis SR-14 was meant."


def test_a_chassis_of_another_design_is_refused(slot, people):
    other = make_chassis("CG-03", design=make_design("KS-231", title="Constituent generator"))
    make_fit(other)
    said = refused(other, slot, people)
    assert said == (
        "Slot C-07 wants design KS-207, Summing register; chassis CG-03 is of design KS-231, Constituent generator."
    )


def test_a_slot_without_a_design_takes_nothing(chassis, people):
    said = refused(chassis, make_slot("C-08"), people)
    assert said == "No design is drawn for slot C-08 yet, so nothing can be fitted in it."


def test_a_chassis_not_tested_is_refused_and_the_gate_says_why(slot, people):
    untested = make_chassis("SR-15", design=slot.design)
    said = refused(untested, slot, people)
    for gate in ("received", "cold-checked", "bench-tested"):
        assert f"the gate “{gate}” is not done." in said


def test_a_failed_bench_test_keeps_it_out(chassis, slot, people):
    failed = bench(chassis, 5, "failed")
    said = refused(chassis, slot, people)
    assert f"the gate “bench-tested” is failed. Bench test {failed.pk} by Ama on 5 May 2026: failed." in said


def test_a_full_slot_and_a_chassis_elsewhere_are_refused(chassis, slot, people, tester):
    other = make_chassis("SR-11", design=slot.design)
    make_fitting(other, slot, fitted_by=tester, at=may(1))
    with pytest.raises(ValidationError, match="Chassis SR-11 is in slot C-07 already; withdraw it first."):
        fit(chassis, slot, people)
    elsewhere = make_slot("C-09", design=slot.design)
    make_fit(other)
    with pytest.raises(ValidationError, match="Chassis SR-11 is in slot C-07 already; withdraw it first."):
        fit(other, elsewhere, people)


def test_the_second_person_is_another(chassis, slot, people, tester):
    with pytest.raises(ValidationError, match="The second person must be another"):
        fit(chassis, slot, people, second_person=tester)


def test_a_time_to_come_is_refused(chassis, slot, people):
    from datetime import timedelta

    from django.utils import timezone

    with pytest.raises(ValidationError, match="has not come yet"):
        fit(chassis, slot, people, at=timezone.now() + timedelta(days=1))


def test_a_withdrawal_says_why_and_puts_the_wires_in_doubt(chassis, slot, people):
    link = make_link("B-05:7", "C-07:2", code="214")
    fit(chassis, slot, people)
    prove(link, 7)
    tester = people[0]
    with pytest.raises(ValidationError, match="A withdrawal needs a reason"):
        withdraw_chassis(slot=slot, why="  ", removed_by=tester, entered_by=tester)
    with pytest.raises(ValidationError, match="it cannot have been withdrawn before that"):
        withdraw_chassis(slot=slot, why="V3 dark", removed_by=tester, entered_by=tester, at=may(5))
    withdraw_chassis(slot=slot, why="V3 dark", removed_by=tester, entered_by=tester, at=may(8))
    stored = {row.gate: row.state for row in Standing.objects.filter(interconnect=link)}
    assert stored == {"joined": "passed", "rung out": "in doubt", "signal-checked": "in doubt"}
    assert Standing.objects.get(chassis=chassis, gate="fitted").state == "withdrawn"
    assert compare_standing() == []
    with pytest.raises(ValidationError, match="There is no chassis in slot C-07 to withdraw."):
        withdraw_chassis(slot=slot, why="V3 dark", removed_by=tester, entered_by=tester)


def test_facts_told_keep_the_stored_copy_in_step():
    link, sibling = make_link(code="214"), make_link("B-05:7", "D-02:4", code="215")
    prove(link, 1)
    recompute(interconnects=[link.pk])
    assert Standing.objects.filter(interconnect=link, state="passed").count() == 3
    join(sibling, 2)
    tell_facts_changed(interconnects=[sibling.pk])
    assert Standing.objects.get(interconnect=link, gate="signal-checked").state == "in doubt"
    assert compare_standing() == []


def test_a_stored_copy_that_lies_is_found_and_mended(run_command):
    link = make_link(code="214")
    prove(link)
    recompute_all()
    Standing.objects.filter(gate="rung out").update(state="failed")
    Standing.objects.filter(gate="joined").delete()
    check(link, 2, "failed")
    found = {difference.gate for difference in compare_standing()}
    assert found == {"joined", "rung out", "signal-checked"}
    status, out, _ = run_command("recompute_standing", "--check")
    assert status == 1
    assert "3 stored standings do not agree with the records:" in out
    assert Standing.objects.get(gate="rung out").state == "failed"
    status, out, _ = run_command("recompute_standing")
    assert (status, out) == (
        0,
        "Worked out every standing from the records; 3 stored rows were not in step and are now.\n",
    )
    status, out, _ = run_command("recompute_standing", "--check")
    assert (status, out) == (0, "Every stored standing agrees with the records.\n")


def test_a_standing_whose_records_are_gone_is_taken_out():
    link = make_link(code="214")
    join(link, 1).delete()
    Standing.objects.create(interconnect=link, gate="joined", state="passed")
    assert recompute_all() == 1
    assert not Standing.objects.exists()


def test_a_run_of_acts_is_worked_out_once_at_its_end():
    link = make_link(code="214")
    with worked_out_once():
        prove(link)
        tell_facts_changed(interconnects=[link.pk])
        assert not Standing.objects.exists()
    assert Standing.objects.count() == 3
    assert compare_standing() == []
    join(link, 5, "lifted", "to hunt fault 57")
    tell_facts_changed(interconnects=[link.pk])
    assert Standing.objects.get(gate="joined").state == "withdrawn"


def test_a_run_of_acts_that_breaks_off_stores_nothing():
    with pytest.raises(RuntimeError, match="stop"), worked_out_once():
        tell_facts_changed(interconnects=[make_link().pk])
        raise RuntimeError("stop")
    assert not Standing.objects.exists()


def test_a_fitting_told_late_does_not_overlap_what_was_there_then(chassis, slot, people, tester):
    other = make_chassis("SR-11", design=slot.design)
    make_fitting(other, slot, fitted_by=tester, at=may(1), removed_at=may(8), removed_by=tester)
    with pytest.raises(ValidationError, match="SR-11 was in slot C-07 until 08 May 2026, 13:00, so the time given"):
        fit(chassis, slot, people, at=may(6))
    make_fit(other)
    elsewhere = make_slot("C-09", design=slot.design)
    with pytest.raises(ValidationError, match="Chassis SR-11 was in slot C-07 until 08 May 2026, 13:00"):
        fit(other, elsewhere, people, at=may(7))
    assert fit(chassis, slot, people, at=may(9))


def test_the_gates_are_judged_as_they_stood_at_that_moment(slot, people):
    late = make_chassis("SR-15", design=slot.design)
    make_fit(late, upto=9)
    with pytest.raises(ValidationError, match="the gate “bench-tested” is not done."):
        fit(late, slot, people, at=may(6))
    assert fit(late, slot, people, at=may(10))
