"""What is known of a link, where it comes from, what is assumed and what is missing."""

import math
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from restoration.conditioning.known import case_of, fitted_then
from restoration.conditioning.models import WiringFit
from restoration.engineering.in_place import NOMINAL, Arrangement, predict
from restoration.machine.models import TerminalFigures, WireKind
from restoration.proving.models import Joining
from tests.conditioning.links import bench_test, check, made_link
from tests.factories import make_link, make_ready_link, make_signal

PROBE = "As measured with a ×10 probe of 10 MΩ and 12 pF on the load."


def told(known):
    return {fact.name: (fact.value, fact.whence) for fact in known.facts}


@pytest.fixture
def known(link, tester):
    bench_test(link, tester)
    return case_of(link)


def test_everything_written_down_makes_the_case(known):
    case = known.case
    assert (case.length_m, case.load.resistance_ohm, case.load.capacitance_f) == (4.6, 100e3, 22e-12)
    assert (case.source.resistance_ohm, case.drive_most_a, case.others) == (150.0, 0.06, ())
    assert case.source.active_v == pytest.approx(17.0 * (1 + 150.0 / 10e3))  # Ohm's law at the bench load
    assert case.source.rise_s == pytest.approx(1e-7 / 0.8)
    assert case.wire.impedance_ohm == pytest.approx(60 * math.acosh(2 * 0.02 / 0.6e-3), rel=1e-3)
    assert known.missing == ()


def test_each_fact_says_where_it_comes_from(known, tester):
    facts = told(known)
    assert facts["Length"] == ("4.6 m", "wire list")
    assert facts["Drive"] == ("150\xa0Ω, at most 60.0\xa0mA", "KS-B-05 terminal 7, from the drawing")
    assert facts["Load"] == ("100 kΩ ∥ 22 pF", "KS-C-04 terminal 2, from the drawing")
    day = f"{timezone.localtime() - timedelta(days=5):%-d %b %Y}"
    assert facts["Level"][0] == "17 V with 10 kΩ"
    assert facts["Level"][1].startswith("bench test ")
    assert facts["Level"][1].endswith(day)
    assert facts["Limits at the load"][1] == "signal digit pulse"
    assert facts["Other loads on the source"] == ("none", "joining records")
    assert facts["Parts on it now"] == ("nothing", "no modification note")


def test_the_bench_edge_is_freed_of_the_capacitance_of_the_bench_load(link, tester):
    bench_test(link, tester, load_f=100e-12, rise_time=1e-7)
    slowed_s = math.log(9) * (150.0 * 10e3 / (150.0 + 10e3)) * 100e-12  # drive and bench load side by side
    wanted_s = math.sqrt(1e-14 - slowed_s**2) / 0.8
    assert case_of(link).case.source.rise_s == pytest.approx(wanted_s)


def test_edges_read_at_the_load_are_freed_of_what_the_link_makes_of_them(link, tester, second_tester):
    """Nothing but a check at the load tells the edges: reckoned again there, they are those that were read."""
    TerminalFigures.objects.filter(drive_ohm__isnull=False).update(drive_ohm=900.0)
    check(link, tester, second_tester, rise_time=2.5e-7, fall_time=3e-7, overshoot=0.0)
    known = case_of(link)
    assert known.case.source.rise_s < 2.4e-7 / 0.8
    found = predict(known.applied(known.case)).load
    assert found.rise_time_s == pytest.approx(2.5e-7, rel=0.03)
    assert found.fall_time_s == pytest.approx(3e-7, rel=0.03)


def test_an_edge_that_nobody_wrote_down_is_like_the_other(link, tester):
    bench_test(link, tester).readings.filter(quantity="fall_time").delete()
    known = case_of(link)
    assert known.case.source.fall_s == known.case.source.rise_s
    assert "No fall time is written down, so that of the other edge, 100 ns, is assumed." in known.assumed


def test_a_wire_whose_measures_cannot_be_is_assumed_and_told(link, tester):
    bench_test(link, tester)
    WireKind.objects.update(spacing_m=0.2e-3)
    known = case_of(link)
    assert known.case.wire.impedance_ohm == pytest.approx(280.0)
    assert known.assumed[0].startswith("What is written down of wire “hook-up” cannot be (")


def test_without_a_length_nothing_is_predicted_and_the_page_to_go_to_is_named(tester, db):
    link = made_link(length_m=None)
    bench_test(link, tester)
    known = case_of(link)
    assert known.case is None
    assert [str(each) for each in known.missing] == [f"No length is written down for link {link.code}."]
    assert known.missing[0].address.endswith("/edit/")


def test_a_wire_of_no_length_is_no_wire(tester, db):
    link = made_link(length_m=0.0)
    said = str(case_of(link).missing[0])
    assert said == f"Link {link.code} is written down as 0 m long; a wire has a length."


def test_without_any_level_nothing_is_predicted(db):
    known = case_of(make_ready_link(length_m=2.0, signal=make_signal("bare")))
    assert known.case is None
    assert str(known.missing[0]).startswith("Nothing says how high the pulse is")


def test_what_is_not_written_down_is_assumed_in_sentences(tester, db):
    link = make_ready_link(length_m=2.0, wire="strange", signal=make_signal(amplitude=(15, 17, 20)))
    known = case_of(link)
    assert known.assumed[0] == (
        "Nothing is written down of what kind of wire “strange” is, so 280\xa0Ω and 4 ns a metre are assumed, as of a "
        "single wire over a frame."
    )
    assert "No load is written down for terminal 2 of slot C-04, so 1 MΩ ∥ 20 pF is assumed." in known.assumed
    assert "No drive is written down for terminal 7 of slot B-05, so 300\xa0Ω is assumed." in known.assumed
    assert "Nothing says how long the pulse lasts, so 1 µs is assumed." in known.assumed
    assert "No rise time is written down, so 100 ns is assumed." in known.assumed
    assert "Nothing says which way the pulse goes, so a positive one from 0 V is reckoned with." in known.assumed
    assert known.assumed[-1] == PROBE
    assert any("the level of the signal as drawn, 17 V" in sentence for sentence in known.assumed)


def test_a_level_known_at_the_load_is_what_the_prediction_comes_to(link, tester, second_tester):
    check(link, tester, second_tester, amplitude=16.4)
    known = case_of(link)
    assert predict(known.applied(known.case)).load.amplitude_v == pytest.approx(16.4)
    assert told(known)["Level"][1].startswith("signal check ")
    assert told(known)["In place, at the load"][0].startswith("amplitude 16.4 V; pulse duration 2.4 µs")


def test_the_level_at_the_load_is_that_of_the_parts_of_its_day(link, tester, second_tester, write_note):
    check(link, tester, second_tester, amplitude=16.4, days=3)
    write_note(arrangement=Arrangement(shunt_ohm=1000.0))
    known = case_of(link)
    assert fitted_then(known) == Arrangement()
    assert known.arrangement == Arrangement(shunt_ohm=1000.0)
    assert not known.measured_now
    assert predict(known.applied(known.case)).load.amplitude_v < 15.0


def test_a_negative_pulse_goes_down_and_its_leading_edge_is_its_fall(link, tester):
    bench_test(link, tester, amplitude_v=17.0, low_level=-17.0, rise_time=2e-7, fall_time=1e-7)
    source = case_of(link).case.source
    assert source.active_v < 0
    assert source.rise_s == pytest.approx(1e-7 / 0.8)


def test_the_other_loads_hang_on_the_source_with_their_parts(link, tester, second_tester, write_note):
    other = made_link("B-05:7", "D-02:4", length_m=2.0)
    write_note(link=other)
    case = case_of(link).case
    assert [(each.code, each.length_m, each.arrangement) for each in case.others] == [
        (other.code, 2.0, Arrangement(series_ohm=330.0))
    ]
    assert told(case_of(link))["Other loads on the source"][0] == f"1: {other.code}, 2 m, 100 kΩ ∥ 22 pF"


def test_a_load_that_is_not_joined_is_left_out_and_named(link, tester, db):
    bench_test(link, tester)
    make_link("B-05:7", "D-02:4", length_m=2.0)
    known = case_of(link)
    assert known.case.others == ()
    assert known.assumed[0] == "B-05:7>D-02:4 on the same source is not recorded as joined, and left out."


def test_a_link_that_is_not_joined_is_reckoned_as_if_it_were(link, tester):
    bench_test(link, tester)
    Joining.objects.all().delete()
    assert f"Link {link.code} is not recorded as joined; it is reckoned as if it were." in case_of(link).assumed


def test_a_grid_stopper_stands_before_the_load(link, tester):
    bench_test(link, tester)
    TerminalFigures.objects.filter(terminal="2").update(grid_stopper_ohm=1000.0)
    assert case_of(link).case.load.grid_stopper_ohm == 1000.0


def test_the_newest_constants_of_the_site_are_used(link, tester):
    bench_test(link, tester)
    assert case_of(link).constants == NOMINAL
    told_of = NOMINAL.as_dict() | {"means": [0.1, 0.0, 0.2]}
    WiringFit.objects.create(record_count=40, told=told_of)
    known = case_of(link)
    applied = known.applied(known.case)
    assert applied.source.resistance_ohm == pytest.approx(150.0 * math.exp(0.2))
    assert applied.wire.capacitance_f_per_m == pytest.approx(known.case.wire.capacitance_f_per_m * math.exp(0.1))


def test_only_limits_that_can_judge_are_limits(link, tester):
    link.signal.limits.create(quantity="delay", nominal=1e-8)
    assert list(case_of(link).limits) == ["amplitude", "pulse_duration", "rise_time", "overshoot"]


def queries(link):
    link = type(link).objects.with_ends().get(pk=link.pk)
    with CaptureQueriesContext(connection) as seen:
        case_of(link)
    return len(seen)


def test_the_reads_do_not_grow_with_loads_checks_and_notes(link, tester, second_tester, write_note):
    bench_test(link, tester)
    check(link, tester, second_tester, days=9)
    made_link("B-05:7", "D-02:4", length_m=2.0)
    write_note(at=timezone.now() - timedelta(days=8))
    few = queries(link)
    for number in range(3, 7):
        made_link("B-05:7", f"D-0{number}:4", length_m=2.0)
        check(link, tester, second_tester, days=number)
    write_note(arrangement=Arrangement(series_ohm=470.0))
    assert queries(link) == few


@pytest.mark.parametrize(
    ("load", "sentence"),
    [
        ({"load_f": 1e-5}, "The pulse of this link does not pass half of its height and come back"),
        ({"load_ohm": 1e-300}, "Nothing of the pulse is left on this link"),
        ({"load_f": 1e300}, "The figures of this link lie too far apart in size to be worked out"),
    ],
)
def test_a_load_that_cannot_be_is_told_as_what_keeps_it_from_being_predicted(link, load, sentence):
    """Without a bench test the level of the source is found by reckoning the link."""
    TerminalFigures.objects.filter(design=link.load.slot.design).update(**load)
    known = case_of(link)
    assert known.case is None
    assert str(known.missing[0]).startswith(sentence)
