import pytest

from restoration.engineering.captures import read_capture
from restoration.machine.models import SignalLimit
from restoration.machine.models.limits import LimitRow
from restoration.proving.measuring import (
    Setting,
    channel_of,
    expected_amplitude,
    read_trace,
    readings_by_hand,
    suspicion_by_hand,
)
from restoration.proving.models import Instrument
from restoration.proving.quantities import as_typed, limit_reads, order_of, reads
from tests.proving.scope import capture, two_channels


def limit(quantity="amplitude", least=None, nominal=None, most=None) -> LimitRow:
    return SignalLimit(quantity=quantity, least=least, nominal=nominal, most=most)


@pytest.mark.parametrize(
    ("row", "text"),
    [
        (limit(least=15, most=20), "15 to 20 V"),
        (limit("pulse_duration", 2.2e-6, 2.4e-6, 2.6e-6), "2.2 to 2.6 µs"),
        (limit("pulse_duration", 0.9e-6, None, 1.2e-6), "900 ns to 1.2 µs"),
        (limit("rise_time", most=0.35e-6), "at most 350 ns"),
        (limit("overshoot", most=0.1), "at most 10 %"),
        (limit("overshoot", least=0.02, most=0.1), "2 to 10 %"),
        (limit(least=15), "at least 15 V"),
        (limit(nominal=17.5), "nominally 17.5 V"),
        (limit("low_level", -60, None, -50), "−60 to −50 V"),
    ],
)
def test_limits_are_read_out_in_the_words_of_the_rack(row, text):
    assert limit_reads(row) == text


@pytest.mark.parametrize(
    ("quantity", "value", "more", "text"),
    [
        ("amplitude", 19.84, {"doubt": 0.6}, "19.8 ± 0.6 V"),
        ("overshoot", 0.061, {"doubt": 0.03}, "6.1 ± 3 %"),
        ("rise_time", None, {"at_most": 8e-9}, "at most 8 ns"),
        ("rise_time", None, {}, "–"),
        ("amplitude", 0.0, {}, "0 V"),
        ("pulse_duration", 999.96e-9, {}, "1 µs"),
    ],
)
def test_figures_are_read_out_with_their_unit(quantity, value, more, text):
    assert reads(quantity, value, **more) == text


def test_figures_go_back_into_their_fields_as_typed():
    assert as_typed("rise_time", 3.5e-7) == "350"
    assert as_typed("amplitude", 17.25) == "17.25"


def test_quantities_keep_the_order_in_which_a_trace_is_read():
    assert order_of(["overshoot", "rise_time", "amplitude"]) == ["amplitude", "rise_time", "overshoot"]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ([], None),
        ([limit("rise_time", most=1e-6)], None),
        ([limit(least=15, most=20)], 17.5),
        ([limit(least=15, nominal=16, most=20)], 16),
        ([limit(nominal=16)], 16),
        ([limit(least=15)], None),
        ([limit(least=-1, most=1)], None),
    ],
)
def test_the_amplitude_to_expect_is_nominal_or_the_middle_of_the_limit(rows, expected):
    assert expected_amplitude(rows) == expected


@pytest.mark.parametrize(
    ("typed", "word"), [(172.0, "about ten times as much"), (1.72, "about a tenth"), (17.2, ""), (60.0, ""), (0.0, "")]
)
def test_an_amplitude_ten_times_off_is_suspected(typed, word):
    sentence = suspicion_by_hand(readings_by_hand({"amplitude": typed}, Setting()), 17.5)
    assert word in sentence
    assert bool(sentence) == bool(word)
    if word:
        assert sentence.endswith("is the probe allowed for, once and not twice?")


def test_nothing_is_suspected_without_an_amplitude_to_expect():
    assert suspicion_by_hand(readings_by_hand({"amplitude": 172.0}, Setting()), None) == ""


def test_a_probe_left_unset_is_suspected_on_a_trace():
    tenth = read_capture(capture(amplitude_v=1.72))
    taken = read_trace(tenth, "", Setting(), expected_amplitude_v=17.5)
    assert len(taken.suspicions) == 1
    assert "about a tenth: is a ×10 probe on a channel that is set to ×1?" in taken.suspicions[0]
    assert taken.suspicions[0] in taken.measurement.warnings
    assert read_trace(tenth, "", Setting(probe_scale=10), expected_amplitude_v=17.5).suspicions == ()
    assert read_trace(tenth, "", Setting()).suspicions == ()


def test_channels_are_found_by_name_and_number():
    both = read_capture(two_channels())
    assert channel_of(both, "").name == "CH1"
    assert channel_of(both, " ch2 ").name == channel_of(both, "2").name == "CH2"
    for wanted in ("0", "3", "CH9", "9" * 50, "-1"):
        with pytest.raises(ValueError, match="There is no channel"):
            channel_of(both, wanted)


def test_the_setting_follows_from_instrument_and_probe():
    assert Setting.of(None, 10, is_multiplied=True) == Setting(0.03, 1.0)
    assert Setting.of(Instrument(gain_accuracy=0.01), 100, is_multiplied=False) == Setting(0.01, 100)


def test_figures_by_hand_carry_a_stated_uncertainty():
    figures = {"amplitude": 20.0, "rise_time": 1e-6, "overshoot": 0.1}
    found = {one.quantity: one.uncertainty for one in readings_by_hand(figures, Setting(0.02))}
    assert found == {"amplitude": pytest.approx(0.4), "rise_time": pytest.approx(5e-8), "overshoot": 0.03}


@pytest.mark.parametrize(
    ("figures", "limits", "doubts"),
    [
        ({"low_level": 0.0, "amplitude": 20.0}, [], {"low_level": 0.4}),
        ({"low_level": 0.0}, [limit(least=15, most=20)], {"low_level": 0.4}),
        ({"low_level": 0.0}, [limit("low_level", -1, 0, 1)], {"low_level": 0.02}),
        ({"low_level": 0.0, "high_level": 17.0}, [], {"low_level": 0.34, "high_level": 0.34}),
        ({"low_level": 0.0}, [], {"low_level": None}),
        ({"delay": 0.0}, [limit("delay", most=1e-6)], {"delay": 2.5e-8}),
        ({"delay": 0.0, "pulse_duration": 2e-6}, [], {"delay": 1e-7, "pulse_duration": 1e-7}),
        ({"rise_time": 0.1e-6, "pulse_duration": 2e-6}, [], {"rise_time": 5e-9}),
    ],
)
def test_a_figure_of_zero_by_hand_is_as_uncertain_as_the_screen(figures, limits, doubts):
    found = {one.quantity: one.uncertainty for one in readings_by_hand(figures, Setting(0.02), limits)}
    assert {name: found[name] for name in doubts} == {
        name: doubt if doubt is None else pytest.approx(doubt) for name, doubt in doubts.items()
    }
