"""What the parts on a link have to bear: watts and volts, from the waves reckoned with them."""

import numpy as np

from restoration.conditioning.foreseeing import Foreseen
from restoration.engineering.in_place import Predicted
from restoration.engineering.link_model import Samples


def ratings_of(foreseen: Foreseen | None) -> dict[str, tuple[float, float]]:
    """Mean watts and peak volts of each part, by role; a capacitor has no watts.

    Where no period is known, the watts are those of a pulse that never ends, so that the part is never too small.
    """
    if foreseen is None:
        return {}
    fitted, source = foreseen.case.arrangement, foreseen.case.source
    across = _volts_across(foreseen.predicted)
    times_s = foreseen.predicted.volts.times_s
    return {
        part.role: (
            _watts(across[part.role], times_s, part.value, source.period_s) if part.kind == "resistor" else 0.0,
            float(np.abs(across[part.role]).max()),
        )
        for part in fitted.parts()
    }


def _volts_across(predicted: Predicted) -> dict[str, Samples]:
    volts = predicted.volts
    at_end = volts.line_end_v - volts.load_v
    return {
        "source_shunt_ohm": volts.source_v,
        "series_ohm": volts.source_v - volts.line_start_v,
        "attenuator_ohm": at_end,
        "attenuator_f": at_end,
        "shunt_ohm": volts.load_v,
        "shunt_coupling_f": volts.load_v,
    }


def _watts(volts: Samples, times_s: Samples, ohm: float, period_s: float | None) -> float:
    if period_s is None:
        return float((volts**2).max() / ohm)
    return float(np.trapezoid(volts**2, times_s) / ohm / period_s)
