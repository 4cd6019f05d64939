"""Reading a capture file: from bytes to traces, whatever instrument wrote it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from restoration.engineering.captures.header import Header, Label, read_header
from restoration.engineering.captures.layout import Layout, find_layout, split
from restoration.engineering.captures.numbers import NUMBER, printed_step
from restoration.engineering.captures.record import Capture, CaptureRefused, Samples, Trace, vertical_step
from restoration.engineering.captures.table import Table, read_table
from restoration.engineering.captures.text import decode
from restoration.engineering.captures.timebase import Timebase, from_index, from_times

MOST_SAMPLES = 20_000_000
MOST_BYTES = 1_000_000_000
MOST_SEGMENTS = 1000


@dataclass(frozen=True)
class _Plan:
    """How the first column is to be understood, and which columns are traces."""

    first: str
    traces: tuple[int, ...]


def read_capture(
    data: bytes,
    *,
    name: str = "",
    interval_s: float | None = None,
    most_samples: int = MOST_SAMPLES,
    most_bytes: int = MOST_BYTES,
) -> Capture:
    """Traces of a text capture, one for each channel (and each segment, kept apart) in the order of the file.

    Reads columns of numbers under, beside or without a header; comma, semicolon, tab or blanks between them; a
    point or a comma as decimal mark; a time column in s, ms, µs, ns or ps, a sample number with start and increment,
    or no time at all with the interval from the header. Volts are brought to V. ``name`` is the file's name, for
    the sentence of a refusal; ``interval_s`` is given by a person who knows it where the file does not say.

    Segments are never joined: each is a trace of its own with a warning. Paired rows with the same time (least and
    most of each interval) become two traces with a warning. Limits: evenly sampled traces only, at most
    ``most_samples`` samples and ``most_bytes`` bytes. Raises CaptureRefused, always with a whole sentence.

    >>> capture = read_capture(b"Time (us),CH1 (mV)\\n0.0,10\\n0.1,20\\n0.2,40\\n")
    >>> trace, = capture.channels
    >>> trace.name, trace.interval_s, trace.values.tolist()
    ('CH1', 1e-07, [0.01, 0.02, 0.04])
    """
    if len(data) > most_bytes:
        raise CaptureRefused(f"The file has {len(data)} bytes; at most {most_bytes} are read.")
    if interval_s is not None and not (math.isfinite(interval_s) and interval_s > 0):
        raise CaptureRefused(f"The sample interval given is {interval_s} s; it has to be above zero.")
    try:
        return _read(decode(data), interval_s, most_samples)
    except CaptureRefused as refusal:
        raise CaptureRefused(f"{name}: {refusal}" if name else str(refusal)) from None


def _read(text: str, interval_s: float | None, most_samples: int) -> Capture:
    layout = find_layout(text)
    header = read_header(layout)
    labelled = len([label for label in header.labels if label.name or label.kind])
    table = read_table(layout, labelled, most_samples)
    header = _fitted(header, table)
    header = replace(header, interval_s=header.interval_s or interval_s)
    blocks = _blocks(table, header)
    plan = _plan(table, header, layout)
    channels: list[Trace] = []
    warnings = list(_told_of_blocks(blocks)) + list(_told_of_length(table, header))
    for place, (start, stop) in enumerate(blocks):
        part = replace(
            table, rows=table.rows[start:stop], first_line=table.first_line + start, lines=_lines(table, start, stop)
        )
        traces, told = _traces(part, plan, header, layout, f", segment {place + 1}" if len(blocks) > 1 else "")
        channels += traces
        warnings += [sentence for sentence in told if sentence not in warnings]
    return Capture(_shape(layout, header, plan, table, len(blocks)), tuple(channels), tuple(warnings))


def _fitted(header: Header, table: Table) -> Header:
    """Labels for every column, in case joining decimal commas changed their number."""
    labels = header.labels[: table.rows.shape[1]]
    return replace(header, labels=labels + (Label(),) * (table.rows.shape[1] - len(labels)))


def _lines(table: Table, start: int, stop: int) -> np.ndarray | None:
    return None if table.lines is None else table.lines[start:stop]


def _blocks(table: Table, header: Header) -> list[tuple[int, int]]:
    """Where each segment begins and ends: by repeated headings, by the stated size, or by time starting again."""
    rows = len(table.rows)
    starts = list(table.breaks)
    if len(starts) == 1 and header.segments > 1:
        back = np.flatnonzero(np.diff(table.rows[:, 0]) < 0) + 1
        size = header.segment_size
        starts = [0, *(int(place) for place in back)]
        if len(starts) != header.segments and size and size * header.segments == rows:
            starts = list(range(0, rows, size))
    if len(starts) > MOST_SEGMENTS:
        raise CaptureRefused(f"The file holds {len(starts)} segments; at most {MOST_SEGMENTS} are read.")
    return list(zip(starts, [*starts[1:], rows], strict=True))


def _told_of_blocks(blocks: list[tuple[int, int]]) -> tuple[str, ...]:
    if len(blocks) < 2:
        return ()
    return (
        f"The file holds {len(blocks)} segments; each is a trace of its own, and none was joined to the next "
        "across the gap between them.",
    )


def _told_of_length(table: Table, header: Header) -> tuple[str, ...]:
    rows = len(table.rows)
    if header.samples is None or header.segments > 1 or rows >= header.samples:
        return ()
    return (f"The header declares {header.samples} samples and {rows} were read: the file may be cut short.",)


def _plan(table: Table, header: Header, layout: Layout) -> _Plan:
    columns = table.rows.shape[1]
    first = "none" if columns == 1 else _first_column(table, header, layout)
    if columns == 1 and header.labels[0].kind in ("time", "index"):
        raise CaptureRefused("The file has a column of times and no column of voltages.")
    traces = tuple(range(0 if first == "none" else 1, columns))
    if first == "time":
        traces = tuple(at for at in traces if not np.array_equal(table.rows[:, at], table.rows[:, 0]))
    if not traces:
        raise CaptureRefused("The file has a column of times and no column of voltages.")
    return _Plan(first, traces)


def _first_column(table: Table, header: Header, layout: Layout) -> str:
    kind = header.labels[0].kind
    if kind == "index" or kind == "time":
        return kind
    if kind in ("volts", "other"):
        return "none"
    column = table.rows[: table.breaks[1] if len(table.breaks) > 1 else None, 0]
    if not _advances(column):
        return "none"
    printed = [row[layout.columns[0]] for row in layout.sample_rows if layout.columns[0] < len(row)]
    if (np.diff(column) == 1).all() and not any("." in field or "e" in field.lower() for field in printed):
        return "index"
    return "time"


def _advances(column: Samples) -> bool:
    """Whether a column without a heading looks like times: it never falls and often rises, or mostly rises evenly."""
    steps = np.diff(column)
    if not steps.size:
        return False
    usual = float(np.median(steps))
    if (steps >= 0).all():
        return bool(np.count_nonzero(steps) >= max(1, 0.1 * steps.size))
    return usual > 0 and bool(np.mean(np.abs(steps - usual) <= 0.05 * usual) > 0.8)


def _traces(
    part: Table, plan: _Plan, header: Header, layout: Layout, suffix: str
) -> tuple[list[Trace], tuple[str, ...]]:
    pairs = plan.first == "time" and _paired(part.rows, header)
    rows = part.rows[::2] if pairs else part.rows
    start_s, interval_s, told = _timebase(replace(part, rows=rows), plan, header, layout, pairs)
    traces = []
    names = _names([header.labels[column] for column in plan.traces], header.sources)
    for order, column in enumerate(plan.traces):
        label = header.labels[column]
        unit, factor = label.unit or "V", label.factor
        name = names[order] + suffix
        probe = header.probes[min(order, len(header.probes) - 1)] if header.probes else None
        for extreme, values in _extremes(part.rows[:, column] * factor, pairs):
            step = vertical_step(values)
            traces.append(Trace(name + extreme, start_s, interval_s, values, unit, step, probe))
        if unit != "V":
            told = (*told, f"{name} is given in {unit}, not in volts; its figures are in {unit}.")
    if pairs:
        told = (
            *told,
            "The file gives the least and the most of every interval; they are two traces, and instants on either are "
            "known to one interval only.",
        )
    return traces, told


def _extremes(values: Samples, pairs: bool) -> list[tuple[str, Samples]]:
    if not pairs:
        return [("", values)]
    both = values.reshape(-1, 2)
    return [(" least", both.min(axis=1)), (" most", both.max(axis=1))]


def _paired(rows: Samples, header: Header) -> bool:
    """Whether the rows are least-and-most pairs: equal times two by two, values in one order throughout."""
    if len(rows) < 4 or len(rows) % 2 or not np.array_equal(rows[::2, 0], rows[1::2, 0]):
        return False
    steps = np.diff(rows[::2, 0])
    if (steps <= 0).any() or (header.interval_s and abs(header.interval_s - steps.mean() / 2) < 0.01 * steps.mean()):
        return False
    rising = rows[1::2, 1:] - rows[::2, 1:]
    return bool((rising >= 0).all() or (rising <= 0).all())


def _timebase(
    part: Table, plan: _Plan, header: Header, layout: Layout, pairs: bool
) -> tuple[float, float | None, tuple[str, ...]]:
    if plan.first == "time":
        factor = header.labels[0].factor
        stated = None if pairs else header.interval_s
        return _in_seconds(part, factor, _printed_step(layout) * factor, stated)
    if plan.first == "index" and header.interval_s is not None:
        return from_index(part.rows[:, 0], header.start_s or 0.0, header.interval_s, part.line_of(0))
    if header.interval_s is not None:
        return header.start_s or 0.0, header.interval_s, ()
    if plan.first == "index":
        from_index(part.rows[:, 0], 0.0, 1.0, part.line_of(0))
        return (
            0.0,
            None,
            (
                "The first column counts samples and the file states no sample interval: levels can be measured, "
                "times cannot. Give the interval if you know it.",
            ),
        )
    return (
        0.0,
        None,
        (
            "The file has no column of times and states no sample interval: levels can be measured, times cannot. "
            "Give the interval if you know it.",
        ),
    )


def _in_seconds(part: Table, factor: float, printed_s: float, stated_s: float | None) -> Timebase:
    times = part.rows[:, 0] * factor if factor != 1.0 else np.ascontiguousarray(part.rows[:, 0])
    start_s, interval_s, told = from_times(times, printed_s, stated_s, part.line_of(0))
    return float(f"{start_s:.12g}"), interval_s, told


def _printed_step(layout: Layout) -> float:
    """Weight of the last printed digit of the times, at the largest time of the first and the last rows."""
    column = layout.columns[0]
    rows = [split(line, layout.separator) for line in layout.body[:4000].split("\n")[:3]]
    fields = [row[column].replace(",", ".") for row in (*rows, *layout.sample_rows) if column < len(row)]
    return printed_step([field for field in fields if NUMBER.match(field)])


def _names(labels: list[Label], sources: tuple[str, ...]) -> list[str]:
    """A name for each trace: its heading, else its stated source; where two are alike, or none is, they are counted."""
    given = [f"CH{label.name}" if label.name.isdigit() else label.name[:60] for label in labels]
    if not any(given) and len(sources) == len(given):
        given = [source[:60] for source in sources]
    return [name if name and given.count(name) == 1 else f"CH{order + 1}" for order, name in enumerate(given)]


def _shape(layout: Layout, header: Header, plan: _Plan, table: Table, blocks: int) -> str:
    """The shape of the file in words."""
    if layout.beside:
        return "header beside the data"
    if blocks > 1:
        return "segments one after another"
    if table.decimal_commas:
        return "decimal commas in a comma-separated file"
    if header.keyed_by_channel:
        return "settings keyed by channel above the data"
    if plan.first == "index":
        return "sample numbers with start and increment" if header.interval_s else "sample numbers without an interval"
    if plan.first == "none":
        return "voltages without a time column"
    if not any(any(row) for row in layout.header):
        return "times and voltages without a header"
    return "settings above the data" if header.settings > 0 else "a heading above the data"
