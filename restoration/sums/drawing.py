"""Waves that a sum draws, in the same figure as a capture."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures import Trace
from restoration.proving.drawing import Drawing, DrawnTrace, figure_of

KINDS = ("expected", "found", "left")


def waves(
    title: str, caption: str, times_s: NDArray[np.float64], levels_v: Mapping[str, NDArray[np.float64]]
) -> dict[str, Any]:
    """Up to three named waves over the same evenly spaced times, as a figure."""
    step_s = float(times_s[1] - times_s[0])
    drawn = [
        DrawnTrace(kind, name, Trace(name, float(times_s[0]), step_s, values))
        for kind, (name, values) in zip(KINDS, levels_v.items(), strict=False)
    ]
    return figure_of(Drawing(drawn), title=title, caption=caption, data_url="")
