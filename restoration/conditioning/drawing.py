"""The wave at one end of a link: what is to be expected now, with the chosen part, and what was measured last."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
from django.utils.timezone import localtime

from restoration.conditioning.known import KnownCase
from restoration.engineering.captures import Trace
from restoration.engineering.in_place import Predicted
from restoration.proving.captures_store import trace_of
from restoration.proving.drawing import Drawing, DrawnTrace, band_of, figure_of
from restoration.proving.models import Capture, SignalCheck
from restoration.proving.models.signal_checks import End, Stage
from restoration.proving.quantities import reads

SAMPLES = 2000
ROOM = 0.15  # of the reckoned stretch, before and after it, that a measured trace may fill
EXPECTED, CHOSEN = "expected", "chosen"
Captures = Mapping[str, Capture]


def newest_captures(known: KnownCase) -> dict[str, Capture]:
    """The captures of the newest check by end, as left or else as found; one read."""
    if known.rows.check is None:
        return {}
    rows = Capture.objects.filter(check_made=known.rows.check, interval_s__isnull=False).order_by("stage", "pk")
    return {row.end: row for row in rows}


def drawing_of(known: KnownCase, end: str, now: Predicted, chosen: Predicted | None, captures: Captures) -> Drawing:
    """Lay the waves of one end over one another: measured, expected now, and with the chosen part."""
    expected = [_reckoned(now, end, EXPECTED, "expected now")]
    if chosen is not None:
        expected.append(_reckoned(chosen, end, CHOSEN, "with the part"))
    measured = [_measured(captures[end], expected[0].trace, known.rows.check)] if end in captures else []
    limits = list(known.limits.values()) if end == End.LOAD else []
    return Drawing([*measured, *expected], band_of(limits, _levels(now)))


def _levels(now: Predicted) -> dict[str, Any]:
    is_negative = now.volts.load_v[np.abs(now.volts.load_v).argmax()] < 0
    polarity = "negative pulse" if is_negative else "positive pulse"
    return {"polarity": polarity, "low_level_v": now.load.low_level_v, "high_level_v": now.load.high_level_v}


def _reckoned(predicted: Predicted, end: str, kind: str, name: str) -> DrawnTrace:
    """A reckoned wave as evenly spaced samples."""
    volts = predicted.volts
    times_s = volts.times_s
    even_s = np.linspace(times_s[0], times_s[-1], SAMPLES)
    levels = np.interp(even_s, times_s, volts.load_v if end == End.LOAD else volts.source_v)
    return DrawnTrace(kind, name, Trace(name, float(even_s[0]), float(even_s[1] - even_s[0]), levels))


def _measured(capture: Capture, beside: Trace, check: SignalCheck | None) -> DrawnTrace:
    """The measured wave, moved so that its leading edge lies on the reckoned one, and cut to the same stretch."""
    trace = trace_of(capture)
    interval_s = trace.interval_s or 1.0
    start_s = _turn_s(beside) - _turn_s(trace) + trace.start_s
    spare_s = ROOM * (beside.values.size * (beside.interval_s or 1.0))
    first = max(0, int((beside.start_s - spare_s - start_s) / interval_s))
    stop_s = beside.start_s + beside.values.size * (beside.interval_s or 1.0) + spare_s
    last = max(first + 2, int((stop_s - start_s) / interval_s))
    values = trace.values[first:last]
    moved = replace(trace, start_s=start_s + first * interval_s, values=values if values.size > 1 else trace.values)
    day = f", {localtime(check.done_at):%-d %b}" if check else ""
    name = f"{capture.get_stage_display()}{day}"
    return DrawnTrace(capture.stage, name, moved)


def _turn_s(trace: Trace) -> float:
    """When a wave first passes half of its way."""
    rest = float(np.median(trace.values[: max(3, trace.values.size // 50)]))
    away = np.abs(trace.values - rest)
    return trace.start_s + int(np.argmax(away >= away.max() / 2)) * (trace.interval_s or 1.0)


def figure(drawing: Drawing, end: str, now: Predicted, chosen: Predicted | None, data_url: str) -> dict[str, Any]:
    """What the component of a waveform draws for one end."""
    place = "load" if end == End.LOAD else "source"
    said = f"At the {place}, {_amplitude(now, end)} is to be expected now"
    after = f"; {_amplitude(chosen, end)} with the part" if chosen else ""
    has_measured = any(drawn.kind in (Stage.FOUND, Stage.LEFT) for drawn in drawing.traces)
    laid = " Leading edges are laid on one another." if has_measured else ""
    title = f"{said}{after}"
    return figure_of(drawing, title=title, caption=f"{title}.{laid}", data_url=data_url)


def _amplitude(predicted: Predicted, end: str) -> str:
    return reads("amplitude", predicted.end(end).amplitude_v)
