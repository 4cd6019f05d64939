from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.logbook.models import Entry
from restoration.machine.events import facts_changed
from restoration.machine.records import Result
from restoration.proving.models import Capture, Instrument, SignalCheck, SignalReading
from restoration.proving.services import EndFigures, record_signal_check
from tests.factories import make_ready_link, make_signal
from tests.proving.scope import capture, two_channels, without_times

LIMITS = {
    "amplitude": (15.0, None, 20.0),
    "pulse_duration": (2.2e-6, 2.4e-6, 2.6e-6),
    "rise_time": (None, None, 0.35e-6),
    "overshoot": (None, None, 0.10),
}
GOOD = {"amplitude": 17.2, "pulse_duration": 2.4e-6, "rise_time": 0.3e-6, "overshoot": 0.05}


@pytest.fixture
def link(db):
    return make_ready_link(signal=make_signal(**LIMITS))


@pytest.fixture
def record(link, tester, second_tester):
    def make(*ends, **fields):
        pair = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
        return record_signal_check(**{"interconnect": link, "ends": ends, "loads_joined": True, **pair, **fields})

    return make


def load(stage="found", **figures):
    return EndFigures("load", stage, figures)


def taken(stage="found", end="load", data=None, **more):
    return EndFigures(end, stage, capture=data if data is not None else capture(), name="trace.csv", **more)


def verdicts(check, stage="found", end="load"):
    return {row.quantity: row.verdict for row in check.readings.filter(stage=stage, end=end)}


def said(refusal):
    return " ".join(refusal.value.messages)


def test_figures_within_every_limit_pass(record, link):
    check = record(load(**GOOD))
    assert check.result == Result.PASSED
    assert set(verdicts(check).values()) == {"within"}
    row = check.readings.get(quantity="pulse_duration")
    assert (row.value, row.least, row.nominal, row.most) == (2.4e-6, 2.2e-6, 2.4e-6, 2.6e-6)
    assert row.uncertainty == pytest.approx(0.05 * 2.4e-6)


def test_the_limits_in_force_are_kept_beside_the_figures(record, link):
    check = record(load(**GOOD))
    link.signal.limits.filter(quantity="amplitude").update(least=18.0)
    row = check.readings.get(quantity="amplitude")
    assert (row.least, row.most, row.verdict) == (15.0, 20.0, "within")


@pytest.mark.parametrize(
    ("amplitude", "verdict", "result"),
    [
        (17.2, "within", Result.PASSED),
        (15.46, "too close to call", Result.TOO_CLOSE),  # 3 % of it is 0.464 V
        (15.47, "within", Result.PASSED),
        (14.6, "too close to call", Result.TOO_CLOSE),
        (14.5, "outside", Result.FAILED),
        (20.7, "outside", Result.FAILED),
        (0.0, "outside", Result.FAILED),
    ],
)
def test_the_uncertainty_is_taken_off_both_sides(record, amplitude, verdict, result):
    check = record(load(**GOOD | {"amplitude": amplitude}))
    assert verdicts(check)["amplitude"] == verdict
    assert check.result == result


def test_a_better_instrument_narrows_the_uncertainty(record):
    fine = Instrument.objects.create(mark="OS-1", kind="oscilloscope", gain_accuracy=0.01)
    check = record(load(**GOOD | {"amplitude": 15.46}), instrument=fine)
    assert check.result == Result.PASSED
    assert check.readings.get(quantity="amplitude").uncertainty == pytest.approx(0.1546)


def test_what_was_not_measured_cannot_be_told(record):
    check = record(load(amplitude=17.2))
    assert check.result == Result.CANNOT_TELL
    assert verdicts(check)["rise_time"] == "cannot tell"
    assert check.readings.get(quantity="rise_time").reason == "It was not measured."


def test_one_figure_outside_fails_whatever_else_is_missing(record):
    assert record(load(amplitude=31.0), loads_joined=False).result == Result.FAILED


def test_a_load_not_joined_means_that_the_check_cannot_tell(record):
    check = record(load(**GOOD), loads_joined=False, loads_missing="D-02:4")
    assert check.result == Result.CANNOT_TELL
    assert Entry.objects.last().details["reasons"] == [
        "Not every load was joined (D-02:4), and each load changes the pulse for all of them."
    ]


def test_no_limits_means_that_the_check_cannot_tell(record, tester, second_tester):
    bare = make_ready_link("B-05:8", "D-02:4", signal=make_signal("carry"))
    check = record(load(**GOOD), interconnect=bare)
    assert check.result == Result.CANNOT_TELL
    assert Entry.objects.last().details["reasons"] == ["There is no limit to judge the figures by."]
    assert check.readings.get(quantity="amplitude").verdict == ""


def test_a_nominal_value_alone_judges_nothing(record):
    only = make_ready_link("B-05:8", "D-02:4", signal=make_signal("carry", amplitude=(None, 17.0, None)))
    check = record(load(amplitude=40.0), interconnect=only)
    assert (check.result, check.readings.get().verdict) == (Result.CANNOT_TELL, "")


def test_the_check_is_judged_as_left_where_something_was_left(record):
    check = record(load(**GOOD | {"amplitude": 31.0}), load("left", **GOOD), parts_changed="330 Ω at B-05:7")
    assert check.result == Result.PASSED
    assert verdicts(check)["amplitude"] == "outside"
    assert verdicts(check, "left")["amplitude"] == "within"


def test_the_source_end_is_kept_without_a_verdict(record):
    check = record(load(**GOOD), EndFigures("source", "found", {"amplitude": 40.0}))
    assert check.result == Result.PASSED
    row = check.readings.get(end="source")
    assert (row.value, row.verdict, row.least, row.most) == (40.0, "", None, None)


def test_the_load_end_is_needed(record):
    sentence = "Give the load end, as found or as left: a capture, or at least one figure."
    for ends in ([], [EndFigures("source", "found", {"amplitude": 21.0})], [load()]):
        with pytest.raises(ValidationError) as refusal:
            record(*ends)
        assert said(refusal) == sentence
    assert not SignalCheck.objects.exists()


@pytest.mark.parametrize(
    ("end", "sentence"),
    [
        (load(amplitude=float("nan")), "The amplitude is given as nan; it has to be a finite number."),
        (load(amplitude=float("inf")), "The amplitude is given as inf; it has to be a finite number."),
        (load(loudness=3.0), "“loudness” is no quantity of a signal; there are: amplitude, pulse_duration,"),
    ],
)
def test_nonsense_is_refused(record, end, sentence):
    with pytest.raises(ValidationError) as refusal:
        record(end)
    assert sentence in said(refusal)
    assert not SignalCheck.objects.exists()


def test_the_same_end_is_given_once(record):
    with pytest.raises(ValidationError) as refusal:
        record(load(**GOOD), load(**GOOD))
    assert said(refusal) == "The load end as found was given twice."


def test_a_signal_check_is_made_by_two(record, tester):
    with pytest.raises(ValidationError) as refusal:
        record(load(**GOOD), second_person=None)
    assert refusal.value.message_dict == {
        "second_person": ["A signal check on a live rack is made by two; say who the second person was."]
    }
    with pytest.raises(ValidationError) as refusal:
        record(load(**GOOD), second_person=tester)
    assert said(refusal) == "The second person must be another than the doer, and both are Tomasz Wilk."


def test_the_act_is_told_and_written_down(record, link, never_signs_in, tester):
    told = []

    def listen(sender, chassis, interconnects, **kwargs):
        told.append(interconnects)

    facts_changed.connect(listen)
    try:
        check = record(load(**GOOD | {"amplitude": 31.0}), done_by=never_signs_in, entered_by=tester)
    finally:
        facts_changed.disconnect(listen)
    assert told == [frozenset({link.pk})]
    line = Entry.objects.get()
    assert line.sentence == (
        "Wilf Sandle and Marek Hale checked the signal of link B-05:7>C-04:2. Result: failed. "
        "The amplitude, 31 ± 0.93 V, is outside its limit of 15 to 20 V."
    )
    assert (line.told_by, line.subject_kind, line.subject_code) == ("Wilf Sandle", "link", link.code)
    assert line.details["record"] == check.pk


def test_a_capture_is_measured_and_judged(record):
    check = record(taken(), instrument=Instrument.objects.create(mark="OS-1", kind="oscilloscope"))
    assert check.result == Result.PASSED
    rows = {row.quantity: row for row in check.readings.all()}
    assert rows["amplitude"].value == pytest.approx(17.2, rel=0.01)
    assert rows["amplitude"].uncertainty == pytest.approx(2 * 0.03 * 17.2 / 3**0.5, rel=0.02)
    assert rows["pulse_duration"].value == pytest.approx(2.4e-6, rel=0.01)
    assert rows["rise_time"].value == pytest.approx(0.8 * 0.38e-6, rel=0.05)
    assert 0.03 < rows["overshoot"].value < 0.06
    assert Capture.objects.get().measurement["polarity"] == "positive pulse"


def test_found_and_left_captures_at_both_ends(record):
    check = record(
        taken(data=capture(amplitude_v=31.0, ring=0.35)),
        taken("left"),
        taken(end="source", data=capture(amplitude_v=21.0)),
        taken("left", end="source"),
    )
    assert check.result == Result.PASSED
    assert verdicts(check)["amplitude"] == "outside"
    assert Capture.objects.count() == 4
    assert SignalReading.objects.filter(end="source").exclude(verdict="").count() == 0


def test_a_figure_by_hand_stands_before_what_the_capture_tells(record):
    check = record(EndFigures("load", "found", {"overshoot": 0.2}, capture(), "trace.csv"))
    row = check.readings.get(quantity="overshoot")
    assert (row.value, row.verdict) == (0.2, "outside")
    assert check.readings.get(quantity="amplitude").value == pytest.approx(17.2, rel=0.01)


def test_the_probe_is_allowed_for_once(record):
    tenth = capture(amplitude_v=1.72)
    check = record(taken(data=tenth), probe_factor=10, probe_allowed_for=False)
    assert check.result == Result.PASSED
    assert check.readings.get(quantity="amplitude").value == pytest.approx(17.2, rel=0.01)
    kept = check.captures.get()
    assert kept.probe_scale == 10
    assert kept.measurement["amplitude_v"] == pytest.approx(17.2, rel=0.01)
    assert record(taken(data=tenth)).result == Result.FAILED
    by_hand = record(load(**GOOD | {"amplitude": 1.72}), probe_allowed_for=False)
    assert by_hand.readings.get(quantity="amplitude").value == pytest.approx(17.2)


def test_a_channel_is_chosen_by_name_or_number(record):
    for channel in ("CH2", "ch2", "2"):
        check = record(taken(data=two_channels(), channel=channel))
        assert check.captures.get().channel == "CH2"
        assert check.readings.get(quantity="amplitude").value == pytest.approx(17.2, rel=0.01)
    assert record(taken(data=two_channels())).captures.get().channel == "CH1"
    with pytest.raises(ValueError) as refusal:
        record(taken(data=two_channels(), channel="CH3"))
    assert str(refusal.value) == ("There is no channel “CH3” in this capture; it has 2: CH1, CH2. Count from 1.")


def test_a_delay_is_counted_from_another_channel(record, link):
    link.signal.limits.create(quantity="delay", most=0.2e-6)
    check = record(taken(data=two_channels(), channel="CH2", delay_from="CH1"))
    row = check.readings.get(quantity="delay")
    assert row.value == pytest.approx(100e-9, abs=4e-9)
    assert (row.verdict, check.result) == ("within", Result.PASSED)
    alone = record(taken())
    row = alone.readings.get(quantity="delay")
    assert (row.value, row.verdict) == (None, "cannot tell")
    assert row.reason == "The delay is between two traces; one trace alone does not tell it."


def test_without_a_sample_interval_times_cannot_be_told_until_one_is_given(record):
    check = record(taken(data=without_times()))
    assert verdicts(check)["amplitude"] == "within"
    assert verdicts(check)["rise_time"] == "cannot tell"
    assert check.captures.get().interval_s is None
    assert check.result == Result.CANNOT_TELL
    assert record(taken(data=without_times(), interval_s=4e-9)).result == Result.PASSED


def test_a_trace_at_rest_cannot_tell(record):
    check = record(taken(data=b"0,0.0\n" + b"".join(b"%d,0.0\n" % n for n in range(1, 100))))
    assert check.result == Result.CANNOT_TELL
    assert verdicts(check)["amplitude"] == "cannot tell"


def test_an_edge_between_two_samples_gives_a_bound(record):
    coarse = "".join(f"{n * 1e-7:.3e},{17 if 20 <= n < 44 else 0}\n" for n in range(100)).encode()
    check = record(taken(data=coarse))
    row = check.readings.get(quantity="rise_time")
    assert (row.value, row.at_most) == (None, pytest.approx(1e-7))
    assert row.verdict == "within"


def test_what_is_no_capture_changes_nothing(record):
    with pytest.raises(ValueError) as refusal:
        record(taken(data=b"\x89PNG\r\n\x1a\n" + b"0" * 100))
    assert "trace.csv: The file is a PNG picture, not a list of samples." in str(refusal.value)
    assert not SignalCheck.objects.exists()
    assert not Entry.objects.exists()


def test_a_correction_takes_the_place_of_a_check(record):
    wrong = record(load(**GOOD | {"amplitude": 31.0}))
    right = record(load(**GOOD), replaces=wrong, replaces_why="It was read at ×10.")
    assert list(SignalCheck.objects.of(wrong.interconnect).in_force()) == [right]
    assert "This takes the place of signal check" in Entry.objects.last().sentence
    with pytest.raises(ValidationError) as refusal:
        record(load(**GOOD), replaces=wrong, replaces_why="again")
    assert "was corrected already" in said(refusal)


def test_a_late_entry_is_taken_and_one_to_come_is_not(record):
    earlier = timezone.now() - timedelta(days=40)
    assert record(load(**GOOD), at=earlier).done_at == earlier
    with pytest.raises(ValidationError) as refusal:
        record(load(**GOOD), at=timezone.now() + timedelta(days=1))
    assert "has not come yet" in said(refusal)
