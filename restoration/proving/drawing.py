"""Traces as they are drawn: what was found and left, over the limit, with this link's earlier checks behind."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from restoration.engineering.captures import Trace
from restoration.engineering.figures import PREFIXES, power_for
from restoration.engineering.plots import Frame, curve, frame_for, level_band, nice_ticks, thinned
from restoration.machine.models.limits import LimitRow, Quantity
from restoration.proving.quantities import judges, limit_reads

BOX = 1000.0
BUCKETS = 700
NAME_WIDTH, NAME_HEIGHT = 36.0, 9.0  # percent of the plot that a name takes on a phone


@dataclass(frozen=True)
class DrawnTrace:
    """One trace of a figure: its kind (earlier, found, left), its name where it is named, its samples."""

    kind: str
    name: str
    trace: Trace


@dataclass(frozen=True)
class LimitBand:
    """The levels between which the active state of the pulse should lie, in volts; an open side is None."""

    low_v: float | None
    high_v: float | None
    label: str


@dataclass(frozen=True)
class Drawing:
    """All that one figure shows."""

    traces: Sequence[DrawnTrace]
    bands: Sequence[LimitBand] = field(default_factory=tuple)

    @property
    def is_timed(self) -> bool:
        """Whether every trace has its times."""
        return all(drawn.trace.interval_s is not None for drawn in self.traces)

    @property
    def frame(self) -> Frame:
        """The box that holds the traces of this check, high enough for the earlier ones and the limits."""
        own = [drawn.trace for drawn in self.traces if drawn.kind != "earlier"]
        others = [drawn.trace.values for drawn in self.traces if drawn.kind == "earlier"]
        levels = [float(values.min()) for values in others] + [float(values.max()) for values in others]
        levels += [level for band in self.bands for level in (band.low_v, band.high_v) if level is not None]
        return frame_for(own, width=BOX, height=BOX, left=0.0, top=0.0, include_v=levels)


def band_of(limits: Sequence[LimitRow], measurement: dict[str, Any] | None) -> list[LimitBand]:
    """Lay the limit where it can be seen: the high level's own, else the amplitude's above the resting level.

    A negative pulse rests high, and its amplitude is measured downwards from there.
    """
    rows = {row.quantity: row for row in limits if judges(row)}
    level, amplitude = rows.get(Quantity.HIGH_LEVEL), rows.get(Quantity.AMPLITUDE)
    if level is not None:
        return [LimitBand(level.least, level.most, f"limit, {limit_reads(level)}")]
    if amplitude is None:
        return []
    told = measurement or {}
    label = f"limit, {limit_reads(amplitude)}"
    if str(told.get("polarity", "")).startswith("negative"):
        rest_v = told.get("high_level_v") or 0.0
        return [LimitBand(_add(rest_v, amplitude.most, -1), _add(rest_v, amplitude.least, -1), label)]
    rest_v = told.get("low_level_v") or 0.0
    return [LimitBand(_add(rest_v, amplitude.least, 1), _add(rest_v, amplitude.most, 1), label)]


def _add(rest_v: float, part: float | None, sign: int) -> float | None:
    return None if part is None else rest_v + sign * part


def figure_of(drawing: Drawing, *, title: str, caption: str, data_url: str) -> dict[str, Any]:
    """Make what the component of a waveform draws, in its box of 1000 by 1000."""
    frame = drawing.frame
    return {
        "title": title,
        "caption": caption,
        "x_axis": _time_axis(frame, drawing.is_timed),
        "y_axis": _axis("level", "V", frame.least_v, frame.most_v, lambda value: frame.y(value) / 10),
        "bands": [band for band in (_drawn_band(frame, band) for band in drawing.bands) if band],
        "traces": _names_apart([_drawn_trace(frame, drawn) for drawn in drawing.traces]),
        "data_url": data_url,
    }


def _names_apart(traces: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Move names down that would stand on one another."""
    placed: list[tuple[float, float]] = []
    for trace in traces:
        if not trace["name"]:
            continue
        across, down = float(trace["name_x"]), float(trace["name_y"])
        while any(abs(across - x) < NAME_WIDTH and abs(down - y) < NAME_HEIGHT for x, y in placed):
            down += NAME_HEIGHT
        placed.append((across, down))
        trace["name_y"] = f"{down:.1f}"
    return traces


def _time_axis(frame: Frame, is_timed: bool) -> dict[str, Any]:
    if not is_timed:
        ticks = [_tick(frame.x(at) / 10, f"{at:.6g}") for at in nice_ticks(frame.start_s, frame.stop_s)]
        return {"name": "sample", "unit": "number", "ticks": ticks}
    return _axis("time", "s", frame.start_s, frame.stop_s, lambda value: frame.x(value) / 10)


def _axis(name: str, unit: str, least: float, most: float, place: Any) -> dict[str, Any]:
    power = power_for(max(abs(least), abs(most)))
    ticks = [_tick(place(value), f"{value / 10.0**power:.6g}") for value in nice_ticks(least, most)]
    return {"name": name, "unit": f"{PREFIXES[power]}{unit}", "ticks": ticks}


def _tick(at: float, label: str) -> dict[str, Any]:
    return {"at": f"{at:.2f}", "label": label.replace("-", "−")}


def _drawn_band(frame: Frame, band: LimitBand) -> dict[str, Any] | None:
    drawn = level_band(frame, band.low_v, band.high_v)
    if drawn is None:
        return None
    return {"top": f"{drawn.y / 10:.2f}", "height": f"{drawn.height / 10:.2f}", "label": band.label}


def _drawn_trace(frame: Frame, drawn: DrawnTrace) -> dict[str, Any]:
    points = curve(drawn.trace, frame, BUCKETS).points
    values = drawn.trace.values
    furthest = int(abs(values - values[0]).argmax())
    at_s = drawn.trace.start_s + furthest * (drawn.trace.interval_s or 1.0)
    across = min(max(frame.x(at_s) / 10, 1.0), 88.0)
    down = max(frame.y(float(values[furthest])) / 10, 13.0)
    name = "" if drawn.kind == "earlier" else drawn.name
    return {"kind": drawn.kind, "name": name, "points": points, "name_x": f"{across:.1f}", "name_y": f"{down:.1f}"}


def samples_as_json(drawing: Drawing, *, start_s: float | None, stop_s: float | None, buckets: int) -> dict[str, Any]:
    """Give the samples for the plot that zooms: least and most of each stretch of what is looked at, SI units.

    `thinned` says that there are more samples than were given, so that a shorter stretch is worth asking for.
    """
    frame = drawing.frame
    begin = frame.start_s if start_s is None else start_s
    end = frame.stop_s if stop_s is None else stop_s
    time = {"name": "time", "unit": "s"} if drawing.is_timed else {"name": "sample", "unit": ""}
    return {
        "x": time,
        "y": {"name": "level", "unit": "V"},
        "thinned": any(drawn.trace.values.size > 2 * buckets for drawn in drawing.traces),
        "bands": [{"low": band.low_v, "high": band.high_v, "label": band.label} for band in drawing.bands],
        "traces": [
            {"kind": drawn.kind, "name": drawn.name, "x": times.tolist(), "y": values.tolist()}
            for drawn, (times, values) in ((each, thinned(each.trace, begin, end, buckets)) for each in drawing.traces)
        ],
    }
