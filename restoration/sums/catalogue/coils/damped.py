"""A coil wound on a resistor and damped by it."""

import math

import numpy as np

from restoration.engineering.coils import DampedInductor, damped_figures, drift_of, volts_per_ampere
from restoration.engineering.figures import MICROHENRIES, MILLIAMPERES, OHMS, PERCENT, PICOFARADS
from restoration.sums.declared import Answer, Quantity, Result, Span, Sum, shown
from restoration.sums.drawing import waves


def _damped(
    *, inductance_h: float, capacitance_f: float, body_ohm: float, winding_ohm: float, drift: float, step_a: float
) -> Answer:
    inductor = DampedInductor(inductance_h, capacitance_f, body_ohm, winding_ohm)
    found, moved = damped_figures(inductor), drift_of(inductor, drift)
    peak_s = found.peak_s if math.isfinite(found.peak_s) else found.settling_s
    span_s = max(4.0 / found.resonance_hz, 3 * peak_s)
    times = np.linspace(0.0, span_s, 600)
    ends = {
        "as made": body_ohm,
        f"{shown(-drift, '%')}": body_ohm * (1 - drift),
        f"+{shown(drift, '%')}": body_ohm * (1 + drift),
    }
    drawn = {
        name: step_a * volts_per_ampere(DampedInductor(inductance_h, capacitance_f, ohm, winding_ohm), times)
        for name, ohm in ends.items()
    }
    rings = f"It rings at {shown(found.damped_hz, 'Hz')}" if found.damped_hz else "It does not ring"
    return Answer(
        f"{rings} and overshoots by {shown(found.overshoot, '%')}. {moved.verdict}",
        (
            Result("damping_ratio", "Damping ratio", found.damping),
            Result("overshoot", "Overshoot of the current", found.overshoot, "%"),
            Result("damped_hz", "Rings at", found.damped_hz, "Hz"),
            Result("resonance_hz", "Would ring undamped at", found.resonance_hz, "Hz"),
            Result("q", "Q", found.q),
            Result("critical_ohm", "Just does not ring with", found.critical_ohm, "Ω", "or less across it"),
            Result("peak_v", "Peak level", found.peak_ohm * step_a, "V", "for this step of current"),
            Result("settling_s", "Within 2 % after", found.settling_s, "s"),
            Result("period_ratio", "One peak over the next", found.period_ratio),
            Result("worst_move", "The drift moves the overshoot by", moved.worst_move, "%", "of the step"),
        ),
        figure=waves(
            f"Level over the coil, as made and with the resistor {shown(drift, '%')} off",
            "A step of current through the coil: as made, and with its resistor at both ends of the drift.",
            times,
            drawn,
        ),
    )


DAMPED = Sum(
    slug="coil-damped",
    title="A coil damped by its resistor",
    question="Does a coil on a resistor body ring, and does the resistor's drift matter?",
    inputs=(
        Quantity(name="inductance_h", label="Inductance", unit=MICROHENRIES, example="100 µH"),
        Quantity(
            name="capacitance_f", label="Capacitance across it", unit=PICOFARADS, example="100p",
            help="Its own, the wires' and the load's.",
        ),
        Quantity(name="body_ohm", label="Resistor across it", unit=OHMS, example="1k"),
        Quantity(name="winding_ohm", label="Resistance of the winding", unit=OHMS, example="2", span=Span.ZERO_UP),
        Quantity(
            name="drift", label="Drift of the resistor, either way", unit=PERCENT, example="20 %", span=Span.ZERO_UP
        ),
        Quantity(name="step_a", label="Step of current", unit=MILLIAMPERES, example="10 mA"),
    ),
    compute=_damped,
    formula=(
        "f0 = 1 / 2π√(LC), ζ = (r/L + 1/RC) / 2ω",
        "overshoot = exp(−πζ / √(1 − ζ²))",
        "just does not ring: R = ½ √(L/C)",
    ),
    source=(
        "Second-order circuit theory; checked against ngspice. "
        "That old resistors drift by 10 to 20 % is common practice, no source."
    ),
    assumptions=("One capacitance stands for winding, wires and load.",),
    limits=(
        "Accept a coil by its damped response in a jig, not by its inductance alone.",
        "An overshoot that moves by less than 5 % of the step is taken not to matter.",
    ),
    leads_to_ht=True,
)  # fmt: skip
