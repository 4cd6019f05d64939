"""Headings and settings of captures."""

import pytest

from restoration.engineering.captures.header import label, read_header
from restoration.engineering.captures.layout import find_layout


@pytest.mark.parametrize(
    ("field", "name", "unit", "factor", "kind"),
    [
        ("CH 1 (V)", "CH 1", "V", 1.0, "volts"), ("Time [ms]", "Time", "s", 1e-3, "time"),
        ("in s", "", "s", 1.0, "time"),
        ("C1 in V", "C1", "V", 1.0, "volts"), ("(mV)", "", "V", 1e-3, "volts"), ("Second", "", "s", 1.0, "time"),
        ("Time/us", "Time", "s", 1e-6, "time"), ("µs", "", "s", 1e-6, "time"), ("Volt3", "Volt3", "V", 1.0, "volts"),
        ("strobe (kV)", "strobe", "V", 1e3, "volts"), ("TIME", "TIME", "", 1.0, "time"), ("CH4", "CH4", "", 1.0, ""),
        ("Sequence", "Sequence", "", 1.0, "index"), ("clamp (A)", "clamp", "A", 1.0, "other"),
        ("Waveform Data", "", "", 1.0, ""), ("strobe (north rack)", "strobe (north rack)", "", 1.0, ""),
    ],
)  # fmt: skip
def test_label(field, name, unit, factor, kind):
    found = label(field)
    assert (found.name, found.unit, found.factor, found.kind) == (name, unit, factor, kind)


def header_of(text):
    return read_header(find_layout(text))


ROWS = "0.0,1.5\n0.1,2.5\n0.2,1.5\n"


@pytest.mark.parametrize(
    ("line", "interval"),
    [
        ("Sample Interval,4e-9", 4e-9), ("Sampling Period,2.500E-10,", 2.5e-10), ("Sample Rate,100000000.0", 1e-8),
        ("Sample Rate,CH1:1.000GSa/s", 1e-9), ('"Sampling Frequency (Hz)=",500000000,', 2e-9), ("Increment,2us", 2e-6),
        ("Sample Interval: 8e-9", 8e-9), ("Sample Interval,0", None), ("Horizontal Scale,5e-4", None),
    ],
)  # fmt: skip
def test_interval_from_the_header(line, interval):
    found = header_of(f"{line}\nTIME,CH1\n{ROWS}").interval_s
    assert found == (None if interval is None else pytest.approx(interval))


def test_settings_are_no_headings():
    found = header_of(f"Vertical Scale,CH1: 0.05\nVertical Units,V,\nSource,CH2\nSecond,Volt\n{ROWS}")

    assert [one.name for one in found.labels] == ["Source", "CH2"]
    assert [one.kind for one in found.labels] == ["time", "volts"]


def test_segments_are_counted():
    found = header_of(f"Segments,4,SegmentSize,502\n#1,28-Dec-2020,0\nTime,Ampl\n{ROWS}")
    assert (found.segments, found.segment_size) == (4, 502)
