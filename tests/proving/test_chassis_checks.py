"""A chassis received, checked cold and tested on the bench: what is stored, worked out and refused."""

import math
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from restoration.machine.events import facts_changed
from restoration.machine.records import Result
from restoration.proving.models import BenchReading, BenchTest, ColdCheck, Instrument, ReceivingCheck
from restoration.proving.services import BenchFigure, check_cold, receive_chassis, test_on_bench
from restoration.workshop.models import Step, StepKind
from restoration.workshop.order import stage_of
from restoration.workshop.services import allot, take_step
from tests.factories import make_bench_point, make_chassis, make_design
from tests.reading import last_line, refused

K = StepKind
WAY = [K.IN_HAND, K.BUILT, K.HANDED_OVER, K.RECEIVED]


@pytest.fixture
def design(db):
    design = make_design("KS-207")
    make_bench_point(design, "anode V2", "dc_level", least=140.0, most=160.0)
    make_bench_point(
        design, "output", "amplitude", least=15.0, most=20.0, load_resistance_ohm=10e3, load_capacitance_f=47e-12
    )
    make_bench_point(design, "output", "rise_time", least=None, most=300e-9, load_resistance_ohm=10e3)
    return design


@pytest.fixture
def chassis(design, site_lead, builder):
    row = make_chassis("SR-14", design=design)
    allot(chassis=row, builder=builder, by=site_lead)
    row.refresh_from_db()
    return row


def bring_to(chassis, builder, stage):
    for kind in WAY[: WAY.index(stage) + 1]:
        take_step(chassis=chassis, kind=kind, done_by=builder, entered_by=builder)


@pytest.fixture
def handed_over(chassis, builder):
    bring_to(chassis, builder, K.HANDED_OVER)
    return chassis


def receive(chassis, tester, **given):
    defaults = {"label_read": chassis.serial, "papers_complete": True, "done_by": tester, "entered_by": tester}
    return receive_chassis(chassis=chassis, **{**defaults, **given})


def cold(chassis, tester, second, **given):
    defaults = {
        "agrees_with_drawing": True,
        "joints_good": True,
        "ht_to_chassis_ohm": 2.2e6,
        "heater_to_chassis_ohm": 1e7,
        "done_by": tester,
        "second_person": second,
        "entered_by": tester,
    }
    return check_cold(chassis=chassis, **{**defaults, **given})


GOOD = {("anode V2", "dc_level"): 150.0, ("output", "amplitude"): 17.5, ("output", "rise_time"): 220e-9}


def bench(chassis, tester, second, figures=None, **given):
    read = GOOD if figures is None else figures
    readings = [BenchFigure(place, quantity, value) for (place, quantity), value in read.items()]
    defaults = {"done_by": tester, "second_person": second, "entered_by": tester}
    return test_on_bench(chassis=chassis, readings=readings, **{**defaults, **given})


# --- receiving ---


def test_a_chassis_whose_label_papers_and_looks_are_right_is_on_site(handed_over, tester):
    record = receive(handed_over, tester)
    assert (record.result, record.issue_letter, record.label_read) == (Result.PASSED, "D", "SR-14")
    assert stage_of(Step.objects.of(handed_over)) == K.RECEIVED
    assert last_line().sentence == (
        "Tomasz Wilk looked chassis SR-14 over as it came in, label read: papers complete, no damage seen. "
        "Result: passed."
    )


@pytest.mark.parametrize(
    ("given", "result"), [({"papers_complete": False}, "failed"), ({"damage": "Bent flange"}, "failed")]
)
def test_missing_papers_or_damage_keep_it_at_the_door(handed_over, tester, given, result):
    assert receive(handed_over, tester, **given).result == result
    assert stage_of(Step.objects.of(handed_over)) == K.HANDED_OVER


def test_slight_damage_may_be_taken_in_by_decision(handed_over, tester):
    record = receive(handed_over, tester, damage="Paint scratched", result=Result.PASSED)
    assert record.result == Result.PASSED
    assert stage_of(Step.objects.of(handed_over)) == K.RECEIVED


def test_missing_papers_cannot_be_decided_away(handed_over, tester):
    said = refused(receive, chassis=handed_over, tester=tester, papers_complete=False, result=Result.PASSED)
    assert said == "Papers are missing, so it cannot pass; record what is missing, and receive it again."


@pytest.mark.parametrize("label", ["SR-15", "", "sr-14"])
def test_another_label_receives_nothing(handed_over, tester, label):
    said = refused(receive, chassis=handed_over, tester=tester, label_read=label)
    assert said.startswith(f"The label reads {label or 'nothing'}, and this is the page of chassis SR-14.")
    assert not ReceivingCheck.objects.exists()
    assert stage_of(Step.objects.of(handed_over)) == K.HANDED_OVER


def test_what_was_not_handed_over_is_not_received(chassis, tester):
    assert refused(receive, chassis=chassis, tester=tester) == (
        "Chassis SR-14 is allotted but not yet in hand, so it cannot be received."
    )


def test_it_is_received_once(handed_over, tester):
    receive(handed_over, tester)
    assert refused(receive, chassis=handed_over, tester=tester) == (
        "Chassis SR-14 is recorded as received on site already."
    )


def test_a_correction_takes_the_place_of_the_record_and_says_why(handed_over, tester):
    wrong = receive(handed_over, tester, damage="Bent flange")
    right = receive(handed_over, tester, replaces=wrong, replaces_why="It was the crate that was bent.")
    assert right.replaces == wrong
    assert list(ReceivingCheck.objects.of(handed_over).in_force()) == [right]
    assert stage_of(Step.objects.of(handed_over)) == K.RECEIVED
    assert last_line().sentence.endswith(
        f"This takes the place of receiving check {wrong.pk} of chassis SR-14, because: It was the crate that was bent."
    )


def test_a_correction_needs_a_reason_and_is_made_once(handed_over, tester):
    wrong = receive(handed_over, tester, damage="Bent flange")
    again = {"chassis": handed_over, "tester": tester, "replaces": wrong}
    assert refused(receive, **again) == "A correction says why the earlier record was wrong."
    receive(handed_over, tester, replaces=wrong, replaces_why="The crate.")
    assert "was corrected already, by record" in refused(receive, **again, replaces_why="The crate again.")


def test_a_record_of_another_chassis_is_not_corrected(handed_over, design, tester, site_lead, builder):
    wrong = receive(handed_over, tester, damage="Bent flange")
    other = make_chassis("SR-15", design=design)
    said = refused(receive, chassis=other, tester=tester, replaces=wrong, replaces_why="Mixed up.")
    assert said == (
        f"Receiving check {wrong.pk} of chassis SR-14 is a record of another chassis, "
        "and cannot be corrected by one of this."
    )


# --- cold check ---


def test_a_cold_check_passes_when_all_is_right(handed_over, tester, second_tester):
    record = cold(handed_over, tester, second_tester)
    assert record.result == Result.PASSED
    assert last_line().sentence == (
        "Tomasz Wilk checked chassis SR-14 cold, seen by Marek Hale: agrees with the drawing, joints good, "
        "HT to chassis 2.2 MΩ, heaters to chassis 10 MΩ. Result: passed."
    )


@pytest.mark.parametrize(
    ("given", "result"),
    [
        ({"agrees_with_drawing": False}, Result.FAILED),
        ({"joints_good": False}, Result.FAILED),
        ({"fault_seen": "R7 is charred"}, Result.FAILED),
        ({"ht_to_chassis_ohm": 12.0}, Result.FAILED),
        ({"heater_to_chassis_ohm": 0.0}, Result.FAILED),
        ({"ht_to_chassis_ohm": None}, Result.CANNOT_TELL),
        ({"heater_to_chassis_ohm": None, "joints_good": False}, Result.FAILED),
        ({"ht_to_chassis_ohm": math.inf, "heater_to_chassis_ohm": math.inf}, Result.PASSED),
        ({"hazards": "Sleeving may hold asbestos"}, Result.PASSED),
    ],
)
def test_any_no_any_fault_and_any_short_fails_it(handed_over, tester, second_tester, given, result):
    record = cold(handed_over, tester, second_tester, **given)
    assert record.result == result
    record.refresh_from_db()
    assert record.ht_to_chassis_ohm == given.get("ht_to_chassis_ohm", 2.2e6)


def test_a_fault_seen_stands_in_the_record(handed_over, tester, second_tester):
    record = cold(handed_over, tester, second_tester, fault_seen="R7 is charred", remarks="Otherwise neat.")
    assert record.remarks == "Fault seen: R7 is charred\nOtherwise neat."


@pytest.mark.parametrize("ohm", [-1.0, math.nan])
def test_a_resistance_that_cannot_be_is_refused(handed_over, tester, second_tester, ohm):
    assert f"A resistance of {ohm} Ω cannot be" in refused(
        cold, chassis=handed_over, tester=tester, second=second_tester, ht_to_chassis_ohm=ohm
    )


def test_a_cold_check_is_seen_by_another(handed_over, tester):
    assert refused(cold, chassis=handed_over, tester=tester, second=None) == (
        "A cold check is seen by a second person; say who."
    )
    assert refused(cold, chassis=handed_over, tester=tester, second=tester) == (
        "The second person must be another than the doer, and both are Tomasz Wilk."
    )
    with pytest.raises(IntegrityError, match="coldcheck_second_is_another"), transaction.atomic():
        ColdCheck.objects.create(
            chassis=handed_over, done_by=tester, second_person=tester, entered_by=tester, result=Result.PASSED
        )


def test_what_is_not_built_is_not_checked(chassis, tester, second_tester):
    assert refused(cold, chassis=chassis, tester=tester, second=second_tester) == (
        "Chassis SR-14 is allotted but not yet in hand, so it cannot be checked cold."
    )


# --- bench test ---


@pytest.fixture
def checked(handed_over, tester, second_tester):
    cold(handed_over, tester, second_tester)
    return handed_over


def test_a_bench_test_passes_when_every_figure_is_within(checked, tester, second_tester):
    test = bench(checked, tester, second_tester, ht_v=250.0, ht_ma=38.0, heater_v=6.3, warm_up_min=30)
    assert (test.result, test.issue_letter, test.ht_v, test.warm_up_min) == (Result.PASSED, "D", 250.0, 30)
    assert [row.verdict for row in test.readings.all()] == ["within"] * 3
    assert last_line().sentence == (
        "Tomasz Wilk tested chassis SR-14 on the bench with Marek Hale: 3 of 3 figures within their limits. "
        "Result: passed."
    )


def test_each_figure_keeps_the_limit_and_load_that_were_in_force(checked, design, tester, second_tester):
    test = bench(checked, tester, second_tester)
    design.bench_points.all().delete()
    row = test.readings.get(quantity="amplitude")
    assert (row.least, row.most, row.load_resistance_ohm, row.load_capacitance_f) == (15.0, 20.0, 10e3, 47e-12)


@pytest.mark.parametrize(
    ("place", "value", "verdict", "result"),
    [
        (("output", "amplitude"), 12.0, "outside", Result.FAILED),
        (("output", "amplitude"), 15.1, "too close to call", Result.TOO_CLOSE),
        (("output", "amplitude"), None, "cannot tell", Result.CANNOT_TELL),
        (("output", "rise_time"), 600e-9, "outside", Result.FAILED),
        (("anode V2", "dc_level"), -150.0, "outside", Result.FAILED),
    ],
)
def test_the_result_is_that_of_the_worst_figure(checked, tester, second_tester, place, value, verdict, result):
    test = bench(checked, tester, second_tester, GOOD | {place: value})
    assert test.readings.get(place=place[0], quantity=place[1]).verdict == verdict
    assert test.result == result


def test_a_figure_left_out_is_not_measured_and_the_test_cannot_pass(checked, tester, second_tester):
    given = {place: value for place, value in GOOD.items() if place != ("output", "rise_time")}
    test = bench(checked, tester, second_tester, given)
    assert test.readings.count() == 3
    assert test.readings.get(quantity="rise_time").value is None
    assert test.result == Result.CANNOT_TELL


def test_the_scale_of_the_instrument_is_taken_off_both_sides(checked, tester, second_tester):
    """19.5 V against 20 V at most: 3 % of it is 0.585 V, 1 % is 0.195 V."""
    close = GOOD | {("output", "amplitude"): 19.5}
    assert bench(checked, tester, second_tester, close).result == Result.TOO_CLOSE
    fine = Instrument.objects.create(mark="OSC-2", kind="oscilloscope", gain_accuracy=0.01)
    test = bench(checked, tester, second_tester, close, instrument=fine)
    assert test.result == Result.PASSED
    assert test.readings.get(quantity="amplitude").uncertainty == pytest.approx(0.195)


def test_a_nominal_alone_judges_nothing(checked, design, tester, second_tester):
    make_bench_point(design, "cathode V2", "dc_level", least=None, nominal=2.1, most=None)
    test = bench(checked, tester, second_tester, GOOD | {("cathode V2", "dc_level"): 2.4})
    assert test.result == Result.PASSED
    assert test.readings.get(place="cathode V2").value == 2.4


@pytest.mark.parametrize(
    ("figures", "sentence"),
    [
        ({}, "No figure was given, so there is no test to record. Give those that were measured."),
        ({("output", "amplitude"): None}, "No figure was given, so there is no test to record."),
        ({("tag 9", "delay"): 1e-6}, "Drawing KS-207 names no delay at tag 9."),
    ],
)
def test_a_sheet_that_says_nothing_or_too_much_is_refused(checked, tester, second_tester, figures, sentence):
    said = refused(bench, chassis=checked, tester=tester, second=second_tester, figures=figures)
    assert said.startswith(sentence)
    assert not BenchTest.objects.exists()
    assert not BenchReading.objects.exists()


def test_a_bench_test_is_made_by_two(checked, tester):
    assert refused(bench, chassis=checked, tester=tester, second=None) == (
        "A bench test puts HT on, so it is made by two; say who the second person was."
    )


def test_no_power_before_a_cold_check(handed_over, tester, second_tester):
    assert refused(bench, chassis=handed_over, tester=tester, second=second_tester) == (
        "Chassis SR-14 has not been checked cold, so no power may go on it. Check it cold first."
    )


def test_no_power_after_a_cold_check_that_failed(handed_over, tester, second_tester):
    cold(handed_over, tester, second_tester, joints_good=False)
    said = refused(bench, chassis=handed_over, tester=tester, second=second_tester)
    assert said.startswith("The cold check of chassis SR-14 on ")
    assert said.endswith("did not pass (failed). Check it cold again first.")


def test_a_corrected_cold_check_counts_as_corrected(checked, tester, second_tester):
    first = ColdCheck.objects.get()
    cold(checked, tester, second_tester, joints_good=False, replaces=first, replaces_why="Tag 4 was overlooked.")
    assert "did not pass (failed)" in refused(bench, chassis=checked, tester=tester, second=second_tester)


def test_no_power_after_rework_before_it_is_checked_cold_again(checked, builder, tester, second_tester):
    again = {"done_by": builder, "entered_by": builder, "text": "A dry joint"}
    for kind in (K.SENT_BACK, K.IN_HAND, K.BUILT):
        take_step(chassis=checked, kind=kind, **again)
    said = refused(bench, chassis=checked, tester=tester, second=second_tester)
    assert "was sent back for rework after its cold check on" in said
    cold(checked, tester, second_tester)
    assert bench(checked, tester, second_tester).result == Result.PASSED


def test_a_cold_check_made_later_does_not_count_for_a_test_made_earlier(checked, tester, second_tester):
    yesterday = timezone.now() - timedelta(days=1)
    said = refused(bench, chassis=checked, tester=tester, second=second_tester, at=yesterday)
    assert "has not been checked cold" in said


def test_a_design_without_figures_cannot_be_tested(checked, design, tester, second_tester):
    design.bench_points.all().delete()
    assert refused(bench, chassis=checked, tester=tester, second=second_tester) == (
        "Drawing KS-207 names no bench figures yet, so there is nothing to test against."
    )


def test_every_record_tells_of_new_facts(handed_over, tester, second_tester):
    told = []

    def listen(sender, chassis, interconnects, **more):
        told.append(chassis)

    facts_changed.connect(listen)
    try:
        cold(handed_over, tester, second_tester)
        bench(handed_over, tester, second_tester)
        receive(handed_over, tester)
    finally:
        facts_changed.disconnect(listen)
    assert set(told) == {frozenset({handed_over.pk})}
    assert len(told) == 4  # receiving also moves it on its way
