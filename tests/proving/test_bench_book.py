"""The bench book tells what reading one terminal at a time tells, in two reads for all of them."""

from datetime import timedelta

import pytest
from django.utils import timezone

from restoration.proving.bench_book import BenchBook
from restoration.proving.bench_figures import bench_readings_at
from restoration.proving.models import BenchReading, BenchTest
from tests.counting import queries_in
from tests.factories import make_chassis, make_fitting, make_slot, make_terminal

NOW = timezone.now()


def bench_tested(chassis, person, amplitude_v, *, days, place="output 7"):
    test = BenchTest.objects.create(
        chassis=chassis, result="passed", done_by=person, entered_by=person, done_at=NOW - timedelta(days=days)
    )
    BenchReading.objects.create(test=test, place=place, quantity="amplitude", value=amplitude_v, nominal=amplitude_v)


@pytest.fixture
def swapped(tester):
    """Slot B-05, whose first chassis (17 V) was withdrawn ten days ago for another (21 V, later 22 V)."""
    slot, terminal = make_slot("B-05"), make_terminal("B-05:7")
    first, second = make_chassis("CL-01"), make_chassis("CL-02")
    fields = {"fitted_by": tester, "removed_by": tester, "removed_at": NOW - timedelta(days=10)}
    make_fitting(first, slot, at=NOW - timedelta(days=30), **fields)
    make_fitting(second, slot, fitted_by=tester, at=NOW - timedelta(days=9))
    bench_tested(first, tester, 17.0, days=31)
    bench_tested(second, tester, 21.0, days=12)
    bench_tested(second, tester, 22.0, days=3)
    return terminal


@pytest.mark.parametrize(("days", "amplitude_v"), [(40, None), (20, 17.0), (9.5, None), (5, 21.0), (0, 22.0)])
def test_it_tells_what_one_terminal_at_a_time_tells(swapped, days, amplitude_v):
    moment = NOW - timedelta(days=days)
    told = BenchBook.of([swapped]).readings_at(swapped, moment)
    assert told == bench_readings_at(swapped, moment)
    assert (told["amplitude"].value if told else None) == amplitude_v


def test_a_place_that_names_another_terminal_is_not_this_one(swapped, tester):
    chassis = swapped.slot.fittings.get(removed_at=None).chassis
    bench_tested(chassis, tester, 40.0, days=1, place="output 8")
    assert BenchBook.of([swapped]).readings_at(swapped, NOW)["amplitude"].value == 22.0


def test_two_reads_however_many_terminals(swapped, tester):
    few = queries_in(lambda: BenchBook.of([swapped]))
    others = [make_terminal(f"C-0{number}:1") for number in range(1, 5)]
    for number, terminal in enumerate(others):
        chassis = make_chassis(f"SR-2{number}")
        make_fitting(chassis, terminal.slot, fitted_by=tester)
        bench_tested(chassis, tester, 10.0, days=1)
    assert queries_in(lambda: BenchBook.of([swapped, *others])) == few == 2
