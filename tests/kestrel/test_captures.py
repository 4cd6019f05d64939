"""The captures of the story are read and measured as what the model made them from."""

import numpy as np
import pytest

from restoration.engineering.captures import read_capture
from restoration.engineering.pulses import measure
from restoration.kestrel.captures import capture_files, states_of
from restoration.kestrel.link_physics import figures_of
from restoration.kestrel.scope_files import write_scope_csv
from restoration.kestrel.story import story

PICTURED = [check for check in story().checks() if check.captured]
CLEAN = [check for check in PICTURED if not check.capture_trouble]


def measured(file):
    capture = read_capture(file.content)
    assert capture.warnings == ()
    (trace,) = capture.channels
    assert trace.name == file.channel
    return measure(trace)


@pytest.mark.parametrize("check", CLEAN, ids=lambda check: str(check.number))
def test_the_instrument_reads_what_the_model_says(check):
    """Two ways to the same figures: levels known from the circuit, levels found in 8-bit samples.

    Tolerance: amplitude 2 %, pulse duration 1 %, overshoot 0.03; ripple, noise and rounding account for it, and
    a top that a slow load keeps creeping up to the end of the pulse is read where the trace lingers, a little low.
    One that rings by more than a fifth, and rings on to its end, is read to 4 %,
    and its overshoot, a part of that, to 0.08.
    """
    states = dict(states_of(check))
    for file in capture_files(check):
        found, expected = measured(file), figures_of(states[file.stage], file.end)
        tolerance, part = (0.04, 0.08) if expected.overshoot > 0.2 else (0.02, 0.03)
        assert found.amplitude_v == pytest.approx(expected.amplitude_v, rel=tolerance)
        assert found.pulse_duration_s == pytest.approx(expected.pulse_duration_s, rel=0.01)
        assert found.overshoot == pytest.approx(expected.overshoot, abs=part)


def only(trouble):
    (check,) = (check for check in PICTURED if check.capture_trouble == trouble)
    (file,) = capture_files(check)
    return check, measured(file)


def test_a_probe_left_unset_reads_a_tenth():
    check, found = only("probe unset")
    assert found.amplitude_v == pytest.approx(figures_of(check.found).amplitude_v / 10, rel=0.015)


def test_a_clipped_trace_has_no_amplitude():
    _, found = only("clipped")
    assert found.amplitude_v is None
    assert "clipped" in found.reasons["amplitude_v"]


def test_a_coarse_trace_has_a_bound_for_its_edges():
    _, found = only("coarse")
    assert found.rise_time_s.value_s is None
    assert found.rise_time_s.at_most_s is not None


def test_captures_come_again_byte_for_byte():
    assert capture_files(CLEAN[0]) == capture_files(CLEAN[0])


def test_figures_given_by_hand_bring_no_file():
    check = next(check for check in story().checks() if not check.captured)
    assert capture_files(check) == ()


@pytest.mark.parametrize("shape", ["two rows", "keyed", "increment"])
def test_every_shape_is_read_back(shape):
    one, two = np.linspace(-1, 5, 500), np.sin(np.arange(500) / 9)
    capture = read_capture(write_scope_csv(shape, -1e-6, 4e-9, {"CH1": one, "CH2": two}))
    first, second = capture.channels
    assert (first.name.removeprefix("CH"), second.name.removeprefix("CH")) == ("1", "2")
    assert first.interval_s == pytest.approx(4e-9, rel=1e-6)
    assert first.start_s == pytest.approx(-1e-6, rel=1e-6)
    assert first.values == pytest.approx(one, abs=1e-4)
    assert second.values == pytest.approx(two, abs=1e-4)


@pytest.mark.parametrize(
    ("shape", "interval_s", "channels", "sentence"),
    [
        (
            "scroll",
            1e-9,
            {"CH1": np.zeros(2)},
            "There is no capture shape 'scroll'; the shapes are two rows, keyed, increment.",
        ),
        (
            "keyed",
            1e-9,
            {"CH1": np.zeros(2), "CH2": np.zeros(3)},
            "Every channel of a capture holds the same number of samples, one or more.",
        ),
        ("keyed", 0.0, {"CH1": np.zeros(2)}, "The sample interval must be more than zero; 0.0 s was given."),
    ],
)
def test_a_file_that_cannot_be_is_refused(shape, interval_s, channels, sentence):
    with pytest.raises(ValueError) as refused:
        write_scope_csv(shape, 0.0, interval_s, channels)
    assert str(refused.value) == sentence
