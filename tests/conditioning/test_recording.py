"""Signal checks as records: which tell of wires and drives, and why the others do not."""

import math
from datetime import timedelta

import pytest
from django.utils import timezone

from restoration.conditioning.known import case_of
from restoration.conditioning.recording import (
    CANNOT_BE,
    LIFTED,
    NO_BENCH,
    NO_DRIVE,
    NO_FIGURE,
    NO_LENGTH,
    NO_LOAD,
    NOTHING_CAME,
    UNWRITTEN,
    recorded,
    records_now,
)
from restoration.engineering.in_place import Arrangement
from restoration.machine.models import TerminalFigures
from restoration.proving.models import BenchReading, Joining, SignalCheck, SignalReading
from restoration.proving.services import EndFigures, record_signal_check
from tests.conditioning.hidden_site import site
from tests.conditioning.links import bench_test, check, made_link, note_on
from tests.counting import queries_in
from tests.factories import make_link


@pytest.fixture
def checked(link, tester, second_tester):
    bench_test(link, tester)
    return check(link, tester, second_tester, amplitude=16.4)


def only_reason():
    found = recorded()
    assert found.taken == ()
    (left_out,) = found.left_out
    assert found.reasons == {left_out.why: 1}
    return left_out.why


def test_a_check_becomes_a_record_of_its_case(link, tester, checked):
    (record,) = records_now()
    assert record.name == f"Signal check {checked.pk} of link {link.code}"
    assert (record.wire, record.drive, record.end) == ("hook-up", "KS-B-05:7", "load")
    assert record.measured["amplitude"][0] == 16.4
    assert set(record.measured) == {"amplitude", "rise_time", "fall_time", "overshoot"}


def test_its_case_is_that_of_the_page_of_the_link(link, checked):
    (record,) = records_now()
    assert record.case == case_of(link).case


def test_a_stated_uncertainty_is_halved_and_never_under_two_percent(checked):
    reading = checked.readings.get(quantity="amplitude")
    SignalReading.objects.filter(pk=reading.pk).update(uncertainty=2.0)
    assert records_now()[0].measured["amplitude"] == (16.4, 1.0)
    SignalReading.objects.filter(pk=reading.pk).update(uncertainty=0.1)
    assert records_now()[0].measured["amplitude"] == (16.4, pytest.approx(0.328))


def test_a_negative_amplitude_counts_by_its_height(checked):
    checked.readings.filter(quantity="amplitude").update(value=-16.4)
    assert records_now()[0].measured["amplitude"][0] == 16.4


def test_edges_that_no_bench_test_knows_say_nothing(checked):
    BenchReading.objects.filter(quantity="rise_time").delete()
    assert set(records_now()[0].measured) == {"amplitude", "fall_time"}


def test_only_checks_up_to_the_moment_count(checked):
    assert records_now(until=checked.done_at - timedelta(seconds=1)) == ()
    assert len(records_now(until=checked.done_at)) == 1


def test_a_corrected_check_is_left_out_and_its_correction_taken(link, tester, second_tester, checked):
    later = check(link, tester, second_tester, amplitude=15.0)
    SignalCheck.objects.filter(pk=later.pk).update(replaces=checked, replaces_why="read at the wrong terminal")
    (record,) = records_now()
    assert record.measured["amplitude"][0] == 15.0


def test_the_bench_test_of_the_day_counts_not_a_later_one(link, tester, checked):
    bench_test(link, tester, amplitude_v=25.0, days=1)
    bench = recorded().taken[0].beside.bench["amplitude"]
    assert bench.value == 17.0


def test_a_bench_test_after_the_check_is_none(link, tester, second_tester):
    bench_test(link, tester, days=1)
    check(link, tester, second_tester, days=2)
    assert only_reason() == NO_BENCH


def test_the_parts_of_the_day_are_on_it(link, tester, second_tester, write_note):
    bench_test(link, tester)
    check(link, tester, second_tester, days=3)
    write_note(at=timezone.now() - timedelta(days=2))
    check(link, tester, second_tester, days=1)
    before, after = records_now()
    assert before.case.arrangement == Arrangement()
    assert after.case.arrangement == Arrangement(series_ohm=330.0)


def test_parts_on_another_wire_of_the_source_are_those_of_the_day(link, tester, second_tester):
    other = made_link("B-05:7", "D-02:4", length_m=2.0)
    bench_test(link, tester)
    check(link, tester, second_tester, days=3)
    note_on(other, tester, second_tester, at=timezone.now() - timedelta(days=2))
    (record,) = records_now()
    assert record.case.others[0].arrangement == Arrangement()


def test_a_wire_joined_after_the_check_was_not_there(link, tester, second_tester, checked):
    other = make_link("B-05:7", "D-02:4", length_m=2.0)
    heading = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
    Joining.objects.create(interconnect=other, done_at=timezone.now(), **heading)
    assert records_now()[0].case.others == ()
    check(link, tester, second_tester, days=0)
    assert [each.code for each in records_now()[1].case.others] == [other.code]


def test_a_check_without_an_amplitude_at_the_load_tells_nothing(checked):
    checked.readings.filter(quantity="amplitude").update(value=None)
    assert only_reason() == NO_FIGURE


def test_a_check_that_found_nothing_says_so(checked):
    checked.readings.filter(quantity="amplitude").update(value=0.0)
    assert only_reason() == NOTHING_CAME


def test_an_amplitude_at_the_source_alone_tells_nothing(checked):
    checked.readings.filter(quantity="amplitude").update(end="source")
    assert only_reason() == NO_FIGURE


def test_a_check_with_a_load_lifted_tells_nothing(checked):
    SignalCheck.objects.update(loads_joined=False)
    assert only_reason() == LIFTED


def test_without_a_bench_test_a_check_tells_nothing_of_the_wire(link, tester, second_tester):
    check(link, tester, second_tester)
    assert only_reason() == NO_BENCH


def test_without_a_length_it_tells_nothing(link, checked):
    type(link).objects.update(length_m=None)
    assert only_reason() == NO_LENGTH


def test_without_a_drawn_drive_it_tells_nothing(checked):
    TerminalFigures.objects.filter(terminal="7").update(drive_ohm=None)
    assert only_reason() == NO_DRIVE


def test_without_a_drawn_load_it_tells_nothing(checked):
    TerminalFigures.objects.filter(terminal="2").delete()
    assert only_reason() == NO_LOAD


def test_a_figure_that_cannot_be_is_named_as_such(checked):
    checked.readings.filter(quantity="amplitude").update(value=math.inf)
    assert only_reason() == CANNOT_BE


def found_and_left(link, tester, second, *ends):
    return record_signal_check(
        interconnect=link,
        ends=[EndFigures("load", stage, {"amplitude": amplitude}) for stage, amplitude in ends],
        loads_joined=True,
        parts_changed="a resistor in series",
        done_by=tester,
        second_person=second,
        entered_by=tester,
        at=timezone.now() - timedelta(days=1),
    )


def test_parts_that_no_note_tells_leave_what_was_found_before_them(link, tester, second_tester):
    bench_test(link, tester)
    found_and_left(link, tester, second_tester, ("found", 22.0), ("left", 17.0))
    (taken,) = recorded().taken
    assert (taken.beside.stage, taken.record.measured["amplitude"][0]) == ("found", 22.0)


def test_parts_that_a_note_of_the_day_tells_give_what_was_left(link, tester, second_tester, write_note):
    bench_test(link, tester)
    made = found_and_left(link, tester, second_tester, ("found", 22.0), ("left", 17.0))
    write_note(at=made.done_at)
    (taken,) = recorded().taken
    assert (taken.beside.stage, taken.record.measured["amplitude"][0]) == ("left", 17.0)
    assert taken.case.arrangement == Arrangement(series_ohm=330.0)


def test_unwritten_parts_and_nothing_found_tell_nothing(link, tester, second_tester):
    bench_test(link, tester)
    found_and_left(link, tester, second_tester, ("left", 17.0))
    assert only_reason() == UNWRITTEN


def test_the_reads_do_not_grow_with_the_checks(tester, second_tester):
    site(tester, second_tester, 2)
    few = queries_in(recorded)
    for days in (3, 4):
        site(tester, second_tester, 4, days=days)
    assert len(recorded().taken) == 10
    assert queries_in(recorded) == few
    assert few <= 16
