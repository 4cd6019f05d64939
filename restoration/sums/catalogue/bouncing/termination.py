"""Three ways to terminate a wire, and whether the stage affords them."""

from restoration.engineering.figures import MILLIAMPERES, NANOSECONDS, VOLTS
from restoration.engineering.lines.termination import (
    TerminationCost,
    coupled_cost,
    coupling_for,
    series_cost,
    series_to_match,
    shunt_cost,
)
from restoration.engineering.preferred_values import nearest
from restoration.sums.catalogue.bouncing.shared import IMPEDANCE, NO_LOSS, ONE_LOAD, SOURCE_OHM
from restoration.sums.declared import Answer, Column, Quantity, Result, Span, Sum, Table, Value, shown


def _termination(
    *, step_v: float, source_ohm: float, impedance_ohm: float, delay_s: float, rise_s: float, duration_s: float,
    period_s: float, drive_most_a: float | None,
) -> Answer:  # fmt: skip
    series_ohm = series_to_match(source_ohm, impedance_ohm)
    shunt_ohm, coupling_f = nearest("E24", impedance_ohm), coupling_for(impedance_ohm, delay_s, rise_s)
    level_v = step_v * shunt_ohm / (source_ohm + shunt_ohm)
    by_series = series_cost(
        step_v, source_ohm, series_ohm, impedance_ohm, delay_s, pulses_per_s=1 / period_s, drive_most_a=drive_most_a
    )
    by_shunt = shunt_cost(level_v, shunt_ohm, duty=min(1.0, duration_s / period_s), drive_most_a=drive_most_a)
    by_coupled = coupled_cost(
        step_v, shunt_ohm, coupling_f,
        duration_s=duration_s, period_s=period_s, source_ohm=source_ohm, drive_most_a=drive_most_a,
    )  # fmt: skip
    ways = (
        ("series, at the source", series_ohm, None, step_v, by_series),
        ("shunt, at the load", shunt_ohm, None, level_v, by_shunt),
        ("shunt through a capacitor", shunt_ohm, coupling_f, step_v, by_coupled),
    )
    columns = (
        Column("way", "way"), Column("resistor_ohm", "resistor", "Ω"), Column("capacitor_f", "capacitor", "F"),
        Column("level_v", "level left", "V"), Column("peak_a", "peak current", "A"), Column("mean_w", "mean heat", "W"),
        Column("afforded", "afforded"),
    )  # fmt: skip
    rows: list[tuple[Value, ...]] = [
        (way, ohm, "none" if farad is None else farad, level, cost.peak_a, cost.mean_w, _afforded(cost))
        for way, ohm, farad, level, cost in ways
    ]
    return Answer(
        _verdict([(way, cost) for way, _, _, _, cost in ways]),
        (
            Result("series_ohm", "Series resistor", series_ohm, "Ω"),
            Result("shunt_ohm", "Shunt resistor, nearest of E24", shunt_ohm, "Ω"),
            Result("shunt_peak_a", "Current that the shunt asks", by_shunt.peak_a, "A"),
            Result("shunt_level_v", "Level left by the shunt", level_v, "V"),
            Result("coupling_f", "Capacitor of a coupled shunt", coupling_f, "F"),
            Result("coupled_mean_w", "Mean heat of the coupled shunt", by_coupled.mean_w, "W"),
        ),
        tuple(f"{way.capitalize()}: {cost.words}" for way, _, _, _, cost in ways),
        (Table("Three ways side by side", columns, tuple(rows)),),
    )


def _afforded(cost: TerminationCost) -> str:
    return "not known" if cost.is_afforded is None else "yes" if cost.is_afforded else "no"


def _verdict(ways: list[tuple[str, TerminationCost]]) -> str:
    if any(cost.is_afforded is None for _, cost in ways):
        return (
            f"A shunt asks {shown(ways[1][1].peak_a, 'A')} of the stage; say what it can give, and the ways are judged."
        )
    afforded = [way for way, cost in ways if cost.is_afforded]
    return f"The stage affords: {'; '.join(afforded)}." if afforded else "The stage affords none of the three ways."


TERMINATION = Sum(
    slug="termination",
    title="Termination, and whether the stage affords it",
    question="How can this wire be terminated, and can the driving stage pay for it?",
    inputs=(
        Quantity(name="step_v", label="Pulse of the source with nothing on it", unit=VOLTS, example="30 V"),
        SOURCE_OHM,
        IMPEDANCE,
        Quantity(name="delay_s", label="Delay of the wire, one way", unit=NANOSECONDS, example="18.4 ns"),
        Quantity(name="rise_s", label="Edge, 10 to 90 %", unit=NANOSECONDS, example="50 ns", span=Span.ZERO_UP),
        Quantity(name="duration_s", label="Pulse duration", unit=NANOSECONDS, example="2 µs"),
        Quantity(name="period_s", label="From pulse to pulse", unit=NANOSECONDS, example="10 µs"),
        Quantity(
            name="drive_most_a", label="Most that the stage can give", unit=MILLIAMPERES, example="60 mA", optional=True
        ),
    ),
    compute=_termination,
    formula=(
        "series: R = Z0 − Rs, current V / (Rs + R + Z0) for a round trip",
        "shunt: R = Z0, current V / R for the whole pulse, heat V² / R times the duty",
        "through a capacitor: R C = 3 times the longer of edge and round trip",
    ),
    source="Ohm's law and wave algebra; the factor 3 is common practice, no source.",
    assumptions=(NO_LOSS, "The source is a resistance, the same on both edges."),
    limits=(
        "A series resistor suits one load at the far end; loads along the wire see half the step for a while.",
        ONE_LOAD,
    ),
    leads_to_ht=True,
)  # fmt: skip
