"""Every known shape of capture file is read to the same traces."""

import numpy as np
import pytest

from restoration.engineering.captures import Capture, CaptureRefused, read_capture
from tests.engineering.captures.shapes import (
    CLOCK,
    INTERVAL_S,
    ROWS,
    SHAPES,
    START_S,
    STROBE,
    TIMES_S,
    header_beside_data,
    keyed_by_channel,
    no_times,
    quoted_preamble,
    start_and_increment,
    start_and_increment_from_22,
)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.__name__)
def test_shape_is_read(shape):
    data, expected = shape()

    capture = read_capture(data)

    assert tuple(trace.name for trace in capture.channels) == expected.names
    for trace, values in zip(capture.channels, expected.traces, strict=True):
        # The printed digits are the only loss: 1e-9 V against values of three decimals.
        np.testing.assert_allclose(trace.values, values, rtol=0, atol=expected.tolerance_v)
        assert trace.interval_s == (
            None if expected.interval_s is None else pytest.approx(expected.interval_s, rel=1e-9)
        )
        assert trace.start_s == pytest.approx(expected.start_s, abs=1e-15)
        assert trace.unit == "V"
    told = " ".join(capture.warnings)
    assert expected.warning in told if expected.warning else not capture.warnings


def test_probe_factor_comes_from_the_header():
    beside = read_capture(header_beside_data()[0])
    quoted = read_capture(quoted_preamble()[0])

    assert beside.channels[0].probe_factor == 10.0
    assert [trace.probe_factor for trace in quoted.channels] == [10.0, 1.0]


def test_no_probe_factor_where_none_is_stated():
    assert read_capture(start_and_increment()[0]).channels[0].probe_factor is None


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (header_beside_data, "header beside the data"),
        (keyed_by_channel, "settings keyed by channel above the data"),
        (start_and_increment, "sample numbers with start and increment"),
        (no_times, "voltages without a time column"),
    ],
)
def test_shape_is_named_in_words(make, words):
    assert read_capture(make()[0]).shape == words


def test_first_sample_number_moves_the_start():
    trace = read_capture(start_and_increment_from_22()[0]).channels[0]

    assert trace.start_s == pytest.approx(START_S + 22 * INTERVAL_S, abs=1e-18)
    assert trace.values.size == ROWS - 22


def test_interval_given_by_a_person_is_used_where_the_file_is_silent():
    capture = read_capture(no_times()[0], interval_s=5e-9)

    assert [trace.interval_s for trace in capture.channels] == [5e-9, 5e-9]
    assert not capture.warnings


def test_stated_interval_that_contradicts_exact_times_gives_way_aloud():
    rows = "".join(f"{t:.12e},{v:.4f}\n" for t, v in zip(TIMES_S, STROBE, strict=True))
    capture = read_capture(("Sample Interval,1e-06\nTIME,CH1\n" + rows).encode())

    assert capture.channels[0].interval_s == pytest.approx(INTERVAL_S)
    assert capture.warnings == (
        "The header states a sample interval of 1e-06 s; the times advance by 2e-08 s, which was used.",
    )


def test_stated_interval_that_contradicts_rounded_times_is_refused():
    rows = "".join(f"{-2e-4 + i * INTERVAL_S:.4e},{STROBE[i]:.4f}\n" for i in range(ROWS))
    with pytest.raises(CaptureRefused) as refusal:
        read_capture(("Sample Interval,1e-06\nTIME,CH1\n" + rows).encode())
    assert str(refusal.value).startswith("The header states a sample interval of 1e-06 s, but the times advance by")


def test_short_file_is_told():
    text = keyed_by_channel()[0].replace(b"Analog:120", b"Analog:140000")
    assert read_capture(text).warnings == (
        "The header declares 140000 samples and 120 were read: the file may be cut short.",
    )


def test_gap_in_time_is_refused_with_its_line():
    rows = "".join(f"{t:.9e},{v:.4f}\n" for t, v in zip(TIMES_S + (np.arange(ROWS) > 60) * 1e-6, STROBE, strict=True))
    with pytest.raises(CaptureRefused) as refusal:
        read_capture(("Time (s),CH1 (V)\n" + rows).encode())
    assert str(refusal.value).startswith(
        "Line 63: time goes from 8e-07 s to 1.82e-06 s where steps of 2e-08 s are usual"
    )


def test_gap_in_sample_numbers_is_refused_with_its_line():
    lines = start_and_increment()[0].decode().split("\n")
    del lines[50]
    with pytest.raises(CaptureRefused) as refusal:
        read_capture("\n".join(lines).encode())
    assert str(refusal.value) == (
        "Line 51: the sample number goes from 47 to 49; samples have to follow one another without a gap."
    )


def test_sample_numbers_without_an_interval_give_levels_only():
    text = "".join(f"{i},{v:.4f}\n" for i, v in enumerate(STROBE))
    capture = read_capture(text.encode())

    assert capture.channels[0].interval_s is None
    assert capture.shape == "sample numbers without an interval"
    assert "counts samples" in capture.warnings[0]


def test_whole_seconds_under_a_heading_are_times():
    capture = read_capture(b"Time (s),CH1 (V)\n0,1\n1,2\n2,3\n3,4\n")
    assert capture.channels[0].interval_s == 1.0


def test_another_unit_is_kept_and_told():
    capture = read_capture(b"Time (s),Current (A)\n0.0,1.5\n0.1,2.5\n0.2,1.5\n")

    assert capture.channels[0].unit == "A"
    assert capture.warnings == ("Current is given in A, not in volts; its figures are in A.",)


def test_repeated_headings_part_segments():
    part = "".join(f"{t:.9e},{v:.4f}\n" for t, v in zip(TIMES_S, STROBE, strict=True))
    capture = read_capture(("Time,Ampl\n" + part + "#2,28-Dec-2020,1.0\nTime,Ampl\n" + part).encode())

    assert [trace.name for trace in capture.channels] == ["Ampl, segment 1", "Ampl, segment 2"]
    assert all(trace.values.size == ROWS for trace in capture.channels)


def test_time_starting_again_without_segments_is_refused():
    part = "".join(f"{t:.9e},{v:.4f}\n" for t, v in zip(TIMES_S, STROBE, strict=True))
    with pytest.raises(CaptureRefused) as refusal:
        read_capture((part + part).encode())
    assert "a trace has to be evenly sampled" in str(refusal.value) or "do not advance" in str(refusal.value)


def test_file_name_begins_the_refusal():
    with pytest.raises(CaptureRefused) as refusal:
        read_capture(b"", name="strobe.csv")
    assert str(refusal.value) == "strobe.csv: The file is empty: there is not one sample in it."


def test_limits_of_size():
    data = start_and_increment()[0]
    with pytest.raises(CaptureRefused) as refusal:
        read_capture(data, most_bytes=100)
    assert str(refusal.value) == f"The file has {len(data)} bytes; at most 100 are read."
    many = b"".join(b"%d,1.5\n" % place for place in range(3000))
    with pytest.raises(CaptureRefused) as refusal:
        read_capture(many, most_samples=100)
    assert "at most 100 samples are read from one file" in str(refusal.value)


def test_read_traces_cannot_be_written_to():
    trace = read_capture(start_and_increment()[0]).channels[0]
    with pytest.raises(ValueError, match="read-only"):
        trace.values[0] = 1.0


def test_two_traces_keep_their_order():
    capture = read_capture(start_and_increment()[0])

    assert isinstance(capture, Capture)
    np.testing.assert_allclose(capture.channels[1].values, CLOCK, atol=1e-9)


def test_pairs_of_least_and_most_in_no_one_order_are_refused_by_their_name():
    """Doubled times with now the least first and now the most, as some instruments save them."""
    both = [(i * 2e-8, 5.0 + (-1) ** (i // 3 + place)) for i in range(120) for place in (0, 1)]
    rows = "".join(f"{t:.9e},{v:.4f}\n" for t, v in both)
    with pytest.raises(CaptureRefused) as refusal:
        read_capture(("Time (s),CH1 (V)\n" + rows).encode())
    assert str(refusal.value) == (
        "Line 3: the time 0 s is given twice, as are most others: these look like pairs of least and most at the same "
        "time, in no one order. Save the capture with one sample for each time."
    )
