"""Waves that a sum draws, in the same figure as a capture, each named where it stands clear of the others."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures import Trace
from restoration.proving.drawing import Drawing, DrawnTrace, figure_of

KINDS = ("left", "expected", "found")
PLACES = 60  # at which a name may stand
RIGHTMOST, TOPMOST = 80.0, 13.0  # percent: a name keeps inside the drawing
ENOUGH = 15.0  # percent of room: more is no better, and a flat stretch of the wave is
WIDE, HIGH = 22.0, 9.0  # percent that a name takes

Samples = NDArray[np.float64]


def waves(title: str, caption: str, times_s: Samples, levels_v: Mapping[str, Samples]) -> dict[str, Any]:
    """Up to three named waves over the same evenly spaced times, as a figure."""
    step_s = float(times_s[1] - times_s[0])
    drawing = Drawing(
        [
            DrawnTrace(kind, name, Trace(name, float(times_s[0]), step_s, values))
            for kind, (name, values) in zip(KINDS, levels_v.items(), strict=False)
        ]
    )
    figure = figure_of(drawing, title=title, caption=caption, data_url="")
    for drawn, (across, down) in zip(figure["traces"], _name_places(drawing, times_s), strict=True):
        drawn |= {"name_x": f"{across:.1f}", "name_y": f"{down:.1f}"}
    return figure


def _name_places(drawing: Drawing, times_s: Samples) -> list[tuple[float, float]]:
    """Where each name stands, in percent: on its wave, away from the other waves and the names before it."""
    frame = drawing.frame
    picked = np.linspace(0, times_s.size - 1, PLACES).astype(int)
    across = np.array([frame.x(float(times_s[at])) / 10 for at in picked])
    heights = np.array([[frame.y(float(drawn.trace.values[at])) / 10 for at in picked] for drawn in drawing.traces])
    placed: list[tuple[float, float]] = []
    for own, down in enumerate(heights):
        others = np.delete(heights, own, axis=0)
        room = np.abs(others - down).min(axis=0) if others.size else np.full(PLACES, 100.0)
        room = np.minimum(room, ENOUGH) - np.abs(np.gradient(down))
        low = np.maximum(down, TOPMOST)
        for name_x, name_y in placed:
            room = np.where((np.abs(across - name_x) < WIDE) & (np.abs(low - name_y) < HIGH), -200.0, room)
        room = np.where(across > RIGHTMOST, -300.0, room)
        best = int(room.argmax())
        placed.append((float(across[best]), float(low[best])))
    return placed
