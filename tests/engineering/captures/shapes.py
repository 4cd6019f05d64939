"""Capture files as instruments write them, one for each known shape, all of the same two traces.

The traces are of the tide computer: the strobe of the summing register, 31 V at rest -0.4 V, and the drum's clock at
half the amplitude. Every builder returns the bytes of a file and what reading it has to give.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

ROWS = 120
INTERVAL_S = 2e-8
START_S = -4e-7
STROBE = np.round(np.interp(np.arange(ROWS), [0, 20, 26, 60, 70, 120], [-0.4, -0.4, 30.6, 30.6, -0.4, -0.4]), 3)
CLOCK = np.round(np.interp(np.arange(ROWS) % 40, [0, 10, 12, 20, 22, 40], [0.0, 0.0, 15.5, 15.5, 0.0, 0.0]), 3)
TIMES_S = START_S + INTERVAL_S * np.arange(ROWS)


@dataclass(frozen=True)
class Expected:
    """What a reader has to find in a file: the traces, their names, start, interval and words of a warning."""

    traces: tuple[np.ndarray, ...]
    names: tuple[str, ...]
    start_s: float = START_S
    interval_s: float | None = INTERVAL_S
    warning: str = ""
    tolerance_v: float = 1e-9


File = tuple[bytes, Expected]
BOTH = (STROBE, CLOCK)


def _rows(*columns: np.ndarray, form: str = "{:.6e}", mark: str = ",", end: str = "") -> str:
    return "".join(mark.join(form.format(value) for value in row) + end + "\n" for row in zip(*columns, strict=True))


def header_beside_data() -> File:
    """Settings in the first two columns, data in the fourth and fifth, blanks for padding, a comma at each end."""
    settings = [
        f"Record Length,{ROWS:.6e},", f"Sample Interval,{INTERVAL_S:.6e},", "Trigger Point,2.000000e+01,",
        "Source,CH1,", "Vertical Units,V,", "Vertical Scale,5.000000e+00,", "Horizontal Units,s,",
        "Probe Atten,1.000000e+01,", "Model Number,KESTREL4,", "Firmware Version,F 1.02,",
    ]  # fmt: skip
    lines = []
    for place in range(ROWS):
        left = settings[place] if place < len(settings) else ",,"
        lines.append(f"{left},{TIMES_S[place]:018.12f},{STROBE[place]:10.5f},")
    return "\n".join(lines).encode() + b"\n", Expected((STROBE,), ("CH1",))


def rounded_times_with_settings() -> File:
    """Blank and comma-only lines in the header; times rounded to five digits, so the stated interval counts."""
    start = -2e-4
    head = (
        "Model,BENCH3012\nFirmware Version,2.11\n,,\nWaveform Type,ANALOG,\nHorizontal Units,s,\n"
        f"Sample Interval,{INTERVAL_S:g},\nRecord Length,{ROWS},\n\n,,\nLabel,,\nTIME,CH1,CH2\n"
    )
    rows = "".join(
        f"{start + i * INTERVAL_S:.4e},{STROBE[i]:.8f},{CLOCK[i]:.8f}\n" for i in range(ROWS)
    )  # fmt: skip
    return (head + rows).encode(), Expected(BOTH, ("CH1", "CH2"), start_s=start)


def engineering_exponents() -> File:
    """``x-axis,1,2`` over ``second,Volt,Volt``, leading plus signs, exponents in thousands."""

    def thousands(value: float) -> str:
        power = 0 if value == 0 else int(np.floor(np.log10(abs(value)) / 3)) * 3
        return f"{value / 10.0**power:+.6f}E{power:+03d}"

    rows = "".join(
        f"{TIMES_S[i]:+.6E},{thousands(STROBE[i])},{thousands(CLOCK[i])}\n" for i in range(ROWS)
    )  # fmt: skip
    return ("x-axis,1,2\nsecond,Volt,Volt\n" + rows).encode(), Expected(BOTH, ("CH1", "CH2"))


def seconds_and_numbered_volts() -> File:
    """One heading: ``sec,Volt1,Volt2``."""
    return ("sec,Volt1,Volt2\n" + _rows(TIMES_S, *BOTH, form="{:+.6E}")).encode(), Expected(BOTH, ("Volt1", "Volt2"))


def keyed_by_channel() -> File:
    """Settings as ``key,CH1:value``, twelve lines, then ``Source`` and ``Second,Volt``."""
    head = (
        f"Record Length,Analog:{ROWS}\nSample Interval,CH1:{INTERVAL_S:.13f}\nVertical Units,CH1:V\n"
        "Vertical Scale,CH1:5.00\nVertical Offset,CH1:-10.00000\nHorizontal Units,s\nHorizontal Scale,us:0.2000\n"
        "Model Number,BENCH1202\nSerial Number,KS0001\nSoftware Version,1.3.27\nSource,CH1\nSecond,Volt\n"
    )
    return (head + _rows(TIMES_S, STROBE, form="{:.13f}")).encode(), Expected((STROBE,), ("CH1",))


def keyed_and_rated() -> File:
    """The same family with a sample rate, blanks after the colon, and ``Second,Value``."""
    head = (
        f"Record Length,Analog:{ROWS}\nSample Rate,50000000.0\nVertical Scale,CH3: 0.05\nVertical Units,CH3:V,,\n"
        "Source,CH3\nSecond,Value\n"
    )
    return (head + _rows(TIMES_S, STROBE, form="{:.13f}")).encode(), Expected((STROBE,), ("CH3",))


def _settings_and_trailing_commas(extra: str) -> str:
    return (
        extra + f"Memory Length,{ROWS},\nTrigger Level,-12.0mV,\nSource,CH1,\nProbe,1.000E+00,\nVertical Units,V,\n"
        "Vertical Scale,5.000E+00,\nHorizontal Units,s,\nHorizontal Scale,2.000E-07,\nHorizontal Position,0.000E+00,\n"
        f"Sampling Period,{INTERVAL_S:.3E},\nMode,Detail,\nWaveform Data,\n"
    )


def settings_without_times() -> File:
    """A sampling period and ``Waveform Data`` over one column; carriage returns and a comma at each end."""
    text = _settings_and_trailing_commas("") + _rows(STROBE, form="{:.5f}", end=",")
    return text.replace("\n", "\r\n").encode(), Expected((STROBE,), ("CH1",), start_s=0.0)


def long_settings_with_times() -> File:
    """The long form of the same, ``Format`` first, with a column of times."""
    text = _settings_and_trailing_commas("Format,1.0B,\nIntpDistance,0,\nTrigger Address,60,\n")
    text += _rows(TIMES_S, STROBE, form="{:.12f}", end=",")
    return text.replace("\n", "\r\n").encode(), Expected((STROBE,), ("CH1",))


def segments() -> File:
    """Two segments, listed in the header, one after the other; the model name has bytes that are no text."""
    half = ROWS // 2
    times = INTERVAL_S * np.arange(half) - 2e-7
    head = (
        b"BENCH\xff\xfe9404,30152,Waveform\r\n"
        + f"Segments,2,SegmentSize,{half}\r\nSegment,TrigTime,TimeSinceSegment1\r\n".encode()
        + b"#1,28-Dec-2020 13:34:10,0\r\n#2,28-Dec-2020 13:34:11,1.002\r\nTime,Ampl\r\n"
    )
    body = _rows(times, STROBE[:half], form="{:.8g}") + _rows(times, STROBE[half:], form="{:.8g}")
    return head + body.replace("\n", "\r\n").encode(), Expected(
        (STROBE[:half], STROBE[half:]), ("Ampl, segment 1", "Ampl, segment 2"), start_s=-2e-7, warning="2 segments"
    )


def one_segment() -> File:
    """The same shape with a single segment."""
    head = (
        f"BENCH9404,30152,Waveform\nSegments,1,SegmentSize,{ROWS}\nSegment,TrigTime,TimeSinceSegment1\n"
        "#1,28-Dec-2020 13:34:10,0\nTime,Ampl\n"
    )
    return (head + _rows(TIMES_S, STROBE, form="{:.10g}")).encode(), Expected((STROBE,), ("Ampl",))


def start_and_increment() -> File:
    """Sample numbers; the start and the increment are two more columns of the heading."""
    head = f"X,CH1,CH2,Start,Increment,\nSequence,Volt,Volt,{START_S:.6e},{INTERVAL_S:.6e}\n"
    rows = "".join(f"{i},{STROBE[i]:.6e},{CLOCK[i]:.6e},\n" for i in range(ROWS))
    return (head + rows).encode(), Expected(BOTH, ("CH1", "CH2"))


def start_and_increment_from_22() -> File:
    """The same with the first 22 samples left out by the instrument."""
    head = f"X,CH1,CH2,Start,Increment,\r\nSequence,Volt,Volt,{START_S:.6e},{INTERVAL_S:.6e},\r\n"
    rows = "".join(f"{i},{STROBE[i]:.6e},{CLOCK[i]:.6e},\r\n" for i in range(22, ROWS))
    return (head + rows).encode(), Expected(
        (STROBE[22:], CLOCK[22:]), ("CH1", "CH2"), start_s=START_S + 22 * INTERVAL_S
    )


def x_and_units() -> File:
    """``X,CH1,`` over ``Second,Volt,`` with commas at the ends."""
    return ("X,CH1,\nSecond,Volt,\n" + _rows(TIMES_S, STROBE, end=",")).encode(), Expected((STROBE,), ("CH1",))


def blank_first_name() -> File:
    """No name over the times, and a comma and a blank at each end."""
    text = ",CH1,CH2\r\nSecond,Volt,Volt\r\n" + _rows(TIMES_S, *BOTH, end=", ").replace("\n", "\r\n")
    return text.encode(), Expected(BOTH, ("CH1", "CH2"))


def units_in_names() -> File:
    """``CH 1 (V)`` in one heading, times with eight decimals."""
    text = "X,CH 1 (V),CH 2 (V)\n" + _rows(TIMES_S, *BOTH, form="{:.8f}")
    return text.encode(), Expected(BOTH, ("CH 1", "CH 2"))


def quoted_preamble() -> File:
    """A preamble in quotation marks, equal signs and all, and two columns of the same name."""
    head = (
        f'"Number of Data points =",{ROWS},\n"Time Scale (s/DIV) =",2E-7,\n"Time Delay (s) =",0,\n'
        f'"Sampling Frequency (Hz)=",{1 / INTERVAL_S:.0f},\n"Trigger Mode = ",0,\n"Channel Data","CH 1","CH 2"\n'
        '"Attenuation = ",10,1\n"Inverted = ","NO","NO"\n"Time (s)","Voltage (V)","Voltage (V)"\n'
    )
    return (head + _rows(TIMES_S, *BOTH, form="{:.8g}")).encode(), Expected(BOTH, ("CH1", "CH2"))


def separator_stated() -> File:
    """A first line for the spreadsheet, ``sep=;``, and semicolons."""
    return ("sep=;\nTime (s);CH1 (V)\n" + _rows(TIMES_S, STROBE, mark=";")).encode(), Expected((STROBE,), ("CH1",))


def no_header() -> File:
    """Times and volts, nothing else."""
    return _rows(TIMES_S, STROBE, form="{:.9g}").encode(), Expected((STROBE,), ("CH1",))


def no_times() -> File:
    """Two columns of volts, nothing else: the interval is not known."""
    return _rows(*BOTH, form="{:.8g}").encode(), Expected(
        BOTH, ("CH1", "CH2"), start_s=0.0, interval_s=None, warning="times cannot"
    )


def one_column() -> File:
    """One column of volts, nothing else."""
    return _rows(STROBE, form="{:.8g}").encode(), Expected(
        (STROBE,), ("CH1",), start_s=0.0, interval_s=None, warning="times cannot"
    )


def least_and_most_pairs() -> File:
    """Units and name in the first line; the least and the most of each interval, with the same time."""
    pairs = STROBE.reshape(-1, 2)
    least, most = pairs.min(axis=1), pairs.max(axis=1)
    rows = "".join(
        f"{START_S + 2 * INTERVAL_S * i:.9e},{least[i]:.6f}\n{START_S + 2 * INTERVAL_S * i:.9e},{most[i]:.6f}\n"
        for i in range(ROWS // 2)
    )
    return ("in s,C1 in V\n" + rows).encode(), Expected(
        (least, most), ("C1 least", "C1 most"), interval_s=2 * INTERVAL_S, warning="least and the most"
    )


def three_header_lines() -> File:
    """Names, units in brackets, and an empty line; times in microseconds, levels in millivolts."""
    head = "Time,Channel A,Channel B\n(us),(mV),(mV)\n\n"
    body = _rows(TIMES_S * 1e6, STROBE * 1e3, CLOCK * 1e3, form="{:.8f}")
    return (head + body).encode(), Expected(BOTH, ("Channel A", "Channel B"))


def semicolons_and_decimal_commas() -> File:
    """Semicolons between columns, commas in the numbers."""
    body = _rows(TIMES_S * 1e3, *BOTH, form="{:.8f}", mark=";").replace(".", ",")
    return ("Zeit (ms);Kanal A (V);Kanal B (V)\r\n" + body.replace("\n", "\r\n")).encode(), Expected(
        BOTH, ("Kanal A", "Kanal B")
    )


def tabs_and_decimal_commas() -> File:
    """Tabs between columns, commas in the numbers."""
    body = _rows(TIMES_S, STROBE, form="{:.9f}", mark="\t").replace(".", ",")
    return ("t[s]\tstrobe[V]\n" + body).encode(), Expected((STROBE,), ("strobe",))


def quoted_decimal_commas() -> File:
    """Commas between columns and in the numbers, the numbers in quotation marks."""
    rows = "".join(f'"{t:.9f}","{v:.6f}"\n'.replace(".", ",") for t, v in zip(TIMES_S, STROBE, strict=True))
    return ("Time (s),CH1 (V)\n" + rows).encode(), Expected((STROBE,), ("CH1",))


def unquoted_decimal_commas() -> File:
    """Commas between columns and in the numbers, no quotation marks: whole numbers have a field less."""

    def shown(value: float) -> str:
        return f"{value:.9f}".rstrip("0").rstrip(".").replace(".", ",")

    times_us = np.round(TIMES_S * 1e6, 6)
    rows = "".join(f"{shown(t)},{shown(v)}\n" for t, v in zip(times_us, STROBE, strict=True))
    return ("Time(us),CH1(V)\n" + rows).encode(), Expected((STROBE,), ("CH1",))


def blanks_between() -> File:
    """Blanks between the columns, and a heading in words."""
    return ("time ch1\n" + _rows(TIMES_S, STROBE, form="{:14.6e}", mark=" ")).encode(), Expected((STROBE,), ("ch1",))


def nanoseconds() -> File:
    """Times in nanoseconds, told by the heading."""
    return ("Time (ns),CH1 (V)\n" + _rows(TIMES_S * 1e9, STROBE, form="{:.3f}")).encode(), Expected((STROBE,), ("CH1",))


def byte_order_mark() -> File:
    """UTF-8 with its mark."""
    return b"\xef\xbb\xbf" + units_in_names()[0], Expected(BOTH, ("CH 1", "CH 2"))


def two_byte_text() -> File:
    """UTF-16 with its mark."""
    return units_in_names()[0].decode().encode("utf-16"), Expected(BOTH, ("CH 1", "CH 2"))


def two_byte_text_without_mark() -> File:
    """UTF-16 that only its zero bytes tell."""
    return units_in_names()[0].decode().encode("utf-16-le"), Expected(BOTH, ("CH 1", "CH 2"))


def western_page() -> File:
    """The micro sign of Windows-1252."""
    text = "Time (µs),CH1 (V)\n" + _rows(TIMES_S * 1e6, STROBE, form="{:.6f}")
    return text.encode("cp1252"), Expected((STROBE,), ("CH1",))


def old_line_ends() -> File:
    """Carriage returns alone."""
    return units_in_names()[0].replace(b"\n", b"\r"), Expected(BOTH, ("CH 1", "CH 2"))


def blank_lines_within() -> File:
    """A blank and a comma-only line between rows; the times run on."""
    lines = x_and_units()[0].decode().split("\n")
    return "\n".join([*lines[:40], "", ",,", *lines[40:], "", ",,", ""]).encode(), Expected((STROBE,), ("CH1",))


def time_printed_twice() -> File:
    """A column of times before each trace."""
    rows = "".join(f"{t:.9f},{a:.6f},{t:.9f},{b:.6f}\n" for t, a, b in zip(TIMES_S, *BOTH, strict=True))
    return ("s,V,s,V\n" + rows).encode(), Expected(BOTH, ("CH1", "CH2"))


SHAPES: tuple[Callable[[], File], ...] = (
    header_beside_data, rounded_times_with_settings, engineering_exponents, seconds_and_numbered_volts,
    keyed_by_channel, keyed_and_rated, settings_without_times, long_settings_with_times, segments, one_segment,
    start_and_increment, start_and_increment_from_22, x_and_units, blank_first_name, units_in_names, quoted_preamble,
    separator_stated, no_header, no_times, one_column, least_and_most_pairs, three_header_lines,
    semicolons_and_decimal_commas, tabs_and_decimal_commas, quoted_decimal_commas, unquoted_decimal_commas,
    blanks_between, nanoseconds, byte_order_mark, two_byte_text, two_byte_text_without_mark, western_page,
    old_line_ends, blank_lines_within, time_printed_twice,
)  # fmt: skip
