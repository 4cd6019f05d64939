"""The kinds of signal in the tide computer, with the limits a load asks for.

The figures are the invention of this demonstration, of the size such machines used: microsecond
pulses of some tens of volts.
"""

from dataclasses import dataclass

from restoration.kestrel.plan_records import Limits, SignalPlan

MICRO = 1e-6


@dataclass(frozen=True)
class SignalKind:
    """A row of the table: limits in volts and microseconds, and how the source drives it."""

    name: str
    amplitude_v: tuple[float, float, float]
    duration_us: tuple[float, float, float]
    rise_most_us: float
    fall_most_us: float
    overshoot_most: float
    period_us: float
    source_ohm: float
    polarity: str = "positive"
    critical: bool = False
    colour: str = "white"


KINDS = {
    kind.name: kind
    for kind in (
        SignalKind("clock", (24, 30, 36), (1.8, 2.0, 2.2), 0.25, 0.35, 0.12, 8, 110, critical=True, colour="green"),
        SignalKind("clear", (22, 27, 33), (3.5, 4.0, 4.6), 0.40, 0.60, 0.12, 64, 150, "negative", colour="violet"),
        SignalKind("strobe", (22, 27, 32), (0.9, 1.1, 1.3), 0.20, 0.30, 0.12, 8, 100, critical=True, colour="yellow"),
        SignalKind("digit", (15, 17.5, 20), (2.2, 2.4, 2.6), 0.35, 0.50, 0.10, 8, 130, critical=True, colour="green"),
        SignalKind("gate", (38, 45, 54), (7.4, 8.0, 8.6), 0.60, 0.90, 0.10, 64, 220, colour="blue"),
        SignalKind("train", (18, 22, 27), (2.2, 2.6, 3.0), 0.45, 0.70, 0.12, 8, 160, colour="white"),
        SignalKind("drum", (28, 34, 42), (3.0, 3.6, 4.2), 0.70, 0.90, 0.15, 16, 240, critical=True, colour="slate"),
        SignalKind("write", (45, 52, 60), (3.4, 3.8, 4.2), 0.50, 0.80, 0.15, 16, 180, colour="red"),
        SignalKind("carry", (15, 18, 21), (1.2, 1.5, 1.8), 0.25, 0.40, 0.10, 8, 120, critical=True, colour="orange"),
        SignalKind("printer", (46, 52, 60), (9.0, 10.0, 11.5), 1.00, 1.50, 0.15, 128, 200, colour="brown"),
    )
}


def _scaled(limits: tuple[float, float, float], factor: float = 1.0) -> Limits:
    least, nominal, most = (value * factor for value in limits)
    return Limits(least, nominal, most)


def signal_plan(name: str, kind_name: str) -> SignalPlan:
    """A signal of a kind, with that kind's limits."""
    kind = KINDS[kind_name]
    return SignalPlan(
        name=name,
        kind=kind.name,
        polarity=kind.polarity,
        amplitude_v=_scaled(kind.amplitude_v),
        pulse_duration_s=_scaled(kind.duration_us, MICRO),
        rise_time_s=Limits(None, None, kind.rise_most_us * MICRO),
        fall_time_s=Limits(None, None, kind.fall_most_us * MICRO),
        overshoot=Limits(None, None, kind.overshoot_most),
        period_s=kind.period_us * MICRO,
    )
