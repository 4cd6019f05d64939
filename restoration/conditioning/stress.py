"""What the parts on a link have to bear: watts and volts, from the waves reckoned with them."""

import math

import numpy as np

from restoration.conditioning.foreseeing import Foreseen
from restoration.engineering.in_place import Arrangement, Predicted
from restoration.engineering.link_model import Samples


def ratings_of(foreseen: Foreseen | None) -> dict[str, tuple[float, float]]:
    """Mean watts and peak volts of each part, by role; a capacitor has no watts.

    Where no period is known, the watts are those of a pulse that never ends, so that the part is never too small.
    """
    if foreseen is None:
        return {}
    fitted, source = foreseen.case.arrangement, foreseen.case.source
    across = _volts_across(foreseen.predicted, fitted)
    times_s = foreseen.predicted.volts.times_s
    return {
        part.role: (
            _watts(across[part.role], times_s, part.value, source.period_s) if part.kind == "resistor" else 0.0,
            float(np.abs(across[part.role]).max()),
        )
        for part in fitted.parts()
    }


def _volts_across(predicted: Predicted, fitted: Arrangement) -> dict[str, Samples]:
    volts = predicted.volts
    time_constant_s = fitted.shunt_ohm * fitted.shunt_coupling_f
    at_end = volts.line_end_v - volts.load_v
    return {
        "source_shunt_ohm": volts.source_v,
        "series_ohm": volts.source_v - volts.line_start_v,
        "attenuator_ohm": at_end,
        "attenuator_f": at_end,
        "shunt_ohm": _past_a_capacitor(volts.times_s, volts.load_v, time_constant_s),
        "shunt_coupling_f": volts.load_v,
    }


def _past_a_capacitor(times_s: Samples, volts: Samples, time_constant_s: float) -> Samples:
    """What a resistor has of a voltage that reaches it through a capacitor, charged to where the trace begins.

    Exact for a trace of straight pieces; without a capacitor it has all of it.
    """
    if not math.isfinite(time_constant_s):
        return volts
    steps_s, rises = np.diff(times_s), np.diff(volts)
    left = np.exp(-steps_s / time_constant_s)
    driven = rises / steps_s * time_constant_s * (1.0 - left)
    across = [0.0]
    for keeps, adds in zip(left.tolist(), driven.tolist(), strict=True):
        across.append(across[-1] * keeps + adds)
    return np.array(across)


def _watts(volts: Samples, times_s: Samples, ohm: float, period_s: float | None) -> float:
    if period_s is None:
        return float((volts**2).max() / ohm)
    return float(np.trapezoid(volts**2, times_s) / ohm / period_s)
