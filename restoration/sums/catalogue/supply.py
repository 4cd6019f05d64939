"""Sums for noise that rides on the supply."""

from restoration.engineering.figures import (
    MICROHENRIES,
    MICROSECONDS,
    MILLIAMPERES,
    NANOSECONDS,
    OHMS,
    PICOFARADS,
    SECONDS,
    VOLTS,
)
from restoration.engineering.preferred_values import neighbours
from restoration.engineering.spectrum import MAINS, folded_hz, harmonics_near, needed_duration_s
from restoration.engineering.supply_noise import (
    SupplyWire,
    capacitor_dip_v,
    decoupling_f,
    dip_of_step,
    pulse_charge_c,
    ripple_at_repetition,
    sag_at_repetition,
    self_resonance_hz,
    wire_dip_v,
)
from restoration.sums.declared import Answer, Column, Count, Group, Quantity, Result, Span, Sum, Table, Value, shown
from restoration.sums.units import PER_SECOND

CURRENT = Quantity(
    name="current_a", label="Current that the stage draws in a pulse", unit=MILLIAMPERES, example="20 mA"
)
EDGE = Quantity(name="edge_s", label="How quickly it draws it", unit=NANOSECONDS, example="100 ns")
DURATION = Quantity(name="duration_s", label="Pulse duration", unit=MICROSECONDS, example="1 µs")
PERIOD = Quantity(name="period_s", label="From pulse to pulse", unit=MICROSECONDS, example="20 µs")
AIM = "A starting aim is 1 % of the HT at the chassis: a guess, no source."


def _noise(
    *, inductance_h: float, resistance_ohm: float, capacitance_f: float, current_a: float, edge_s: float,
    duration_s: float, period_s: float,
) -> Answer:  # fmt: skip
    wire = SupplyWire(inductance_h, resistance_ohm, capacitance_f)
    bare_v, step_v = wire_dip_v(inductance_h, current_a, edge_s), dip_of_step(wire, current_a)
    ripple_v, says = _long_run(wire, current_a, duration_s, period_s)
    return Answer(
        f"Without a capacitor the wire drops {shown(bare_v, 'V')} on the edge; with it the supply dips "
        f"{shown(step_v, 'V')} and rings at {shown(wire.resonance_hz, 'Hz')}."
        if wire.damping_ratio < 1
        else f"Without a capacitor the wire drops {shown(bare_v, 'V')} on the edge; with it the supply dips "
        f"{shown(step_v, 'V')} and does not ring.",
        (
            Result("bare_v", "Along the wire, no capacitor", bare_v, "V", "L di/dt"),
            Result("step_v", "Deepest dip with the capacitor", step_v, "V", "a step of current"),
            Result("ripple_v", "Ripple in the long run", ripple_v, "V", "peak to peak, at this repetition"),
            Result("resonance_hz", "Wire and capacitor ring at", wire.resonance_hz, "Hz"),
            Result("impedance_ohm", "Their impedance, √(L/C)", wire.impedance_ohm, "Ω"),
            Result("damping_ratio", "Damping ratio", wire.damping_ratio),
            Result("damping_ohm", "Resistance for a ratio of 0.7", wire.resistance_for(0.7), "Ω"),
        ),
        (*says, AIM),
    )


def _long_run(wire: SupplyWire, current_a: float, duration_s: float, period_s: float) -> tuple[float | None, list[str]]:
    """Ripple once the pulses have come for long, or why it is not worked; and what the repetition meets."""
    harmonic = max(1, round(wire.resonance_hz * period_s))
    off = abs(harmonic / period_s / wire.resonance_hz - 1)
    near = [
        f"The repetition, {harmonic} times, falls {shown(off, '%')} beside the resonance: the ring builds up from "
        "pulse to pulse."
    ]
    says = near if off < 2 * wire.damping_ratio and wire.damping_ratio < 0.5 and harmonic < 12 else []
    try:
        return ripple_at_repetition(wire, current_a, duration_s, period_s).peak_to_peak_v, says
    except ValueError as refusal:
        return None, [*says, f"The ripple in the long run is not worked: {refusal}"]


NOISE = Sum(
    slug="supply-noise",
    title="A pulse's noise on its own supply",
    question="How far does the supply dip at the chassis, and does the wire ring with the capacitor?",
    inputs=(
        Quantity(
            name="inductance_h", label="Inductance of the supply wire", unit=MICROHENRIES, example="5 µH",
            help="About 1 µH for each metre of single wire.",
        ),
        Quantity(
            name="resistance_ohm", label="Resistance in series with it", unit=OHMS, example="0.2", span=Span.ZERO_UP,
            help="Wire, and any resistor in the supply.",
        ),
        Quantity(name="capacitance_f", label="Capacitor at the chassis", unit=PICOFARADS, example="0.2 µF"),
        CURRENT,
        EDGE,
        DURATION,
        PERIOD,
    ),
    compute=_noise,
    formula=(
        "no capacitor: V = L ΔI / Δt",
        "with it, a step: I √(L/C) (2ζ + exp(−ζ (π − arccos ζ) / √(1 − ζ²))), ζ = (R/2) √(C/L)",
        "rings at 1 / 2π√(LC)",
    ),
    source="Induction and second-order circuit theory; checked against scipy and ngspice.",
    assumptions=(
        "The supply is stiff at its own end of the wire.",
        "The capacitor has no resistance and no inductance of its own.",
    ),
    limits=(
        "An edge that is no straight line has a steeper part: up to π/2 of it for a rounded one.",
        "Other stages on the same wire come on top.",
    ),
    leads_to_ht=True,
)  # fmt: skip


def _decoupling(
    *, current_a: float, duration_s: float, period_s: float, dip_v: float, edge_s: float, own_ohm: float,
    own_h: float, supply_ohm: float,
) -> Answer:  # fmt: skip
    needed_f = decoupling_f(current_a, duration_s, dip_v)
    fitted_f = neighbours("E6", needed_f)[1]
    bound_v = capacitor_dip_v(current_a, duration_s, edge_s, fitted_f, own_ohm, own_h)
    sag = sag_at_repetition(current_a, duration_s, period_s, supply_ohm, fitted_f)
    charge_c = pulse_charge_c(current_a, duration_s)
    fault_v = bound_v - charge_c / fitted_f
    says = []
    if bound_v > dip_v and fault_v < dip_v:
        says.append(
            f"Its own resistance and leads add {shown(fault_v, 'V')}: to keep within {shown(dip_v, 'V')} with them it "
            f"takes {shown(charge_c / (dip_v - fault_v), 'F')} or more, or shorter leads."
        )
    elif bound_v > dip_v:
        says.append(
            f"Its own resistance and leads alone come to {shown(fault_v, 'V')}: more capacitance does not mend that, "
            "shorter leads or a capacitor of less resistance do."
        )
    return Answer(
        f"{shown(needed_f, 'F')} or more; {shown(fitted_f, 'F')} is the next of E6 and dips {shown(bound_v, 'V')} "
        "at most.",
        (
            Result("needed_f", "Capacitance for the charge", needed_f, "F"),
            Result("fitted_f", "Next of E6 above", fitted_f, "F"),
            Result("charge_c", "Charge of one pulse", charge_c, "C"),
            Result("bound_v", "Dip with its own faults", bound_v, "V", "an upper bound"),
            Result("self_resonance_hz", "With its leads it resonates at", self_resonance_hz(fitted_f, own_h), "Hz"),
            Result("ripple_v", "Ripple behind the resistor", sag.ripple_v, "V", "in the long run"),
            Result("mean_v", "Steady drop in the resistor", sag.mean_v, "V"),
        ),
        (*says, AIM),
    )  # fmt: skip


DECOUPLING = Sum(
    slug="decoupling",
    title="A decoupling capacitor",
    question="What capacitor at the chassis keeps the pulses off the supply?",
    inputs=(
        CURRENT,
        DURATION,
        PERIOD,
        Quantity(name="dip_v", label="Dip that is allowed", unit=VOLTS, example="0.1 V"),
        EDGE,
        Quantity(
            name="own_ohm", label="Resistance of the capacitor itself", unit=OHMS, example="0.5", span=Span.ZERO_UP
        ),
        Quantity(
            name="own_h", label="Inductance of it and its leads", unit=MICROHENRIES, example="20 nH", span=Span.ZERO_UP,
            help="About 1 nH for each millimetre of lead.",
        ),
        Quantity(name="supply_ohm", label="Resistor in the supply before it", unit=OHMS, example="1k"),
    ),
    compute=_decoupling,
    formula=(
        "C = I Δt / ΔV",
        "dip ≤ I t / C + I R + L I / t of the edge",
        "in the long run: I R (1 − a) (1 − b) / (1 − a b), a = exp(−t / RC), b = exp(−(T − t) / RC)",
    ),
    source="Definition of capacitance, induction, and the steady state of a first-order circuit.",
    assumptions=("The supply gives nothing during the pulse.", "The pulse of current is flat."),
    limits=(
        "Old capacitors have lost capacitance and gained resistance: measure them.",
        "Above its resonance a capacitor is an inductance.",
    ),
    leads_to_ht=True,
)  # fmt: skip

LINES_LISTED = 6


def _hum(
    *, mains_hz: float, own_hz: float, record_s: float, interval_s: float | None, read_hz: float | None, harmonics: int
) -> Answer:
    rates = {"mains": mains_hz, "own rate": own_hz}
    lines = [(name, harmonic, rate * harmonic) for name, rate in rates.items() for harmonic in range(1, harmonics + 1)]
    rows: list[tuple[Value, ...]] = []
    for name, harmonic, at_hz in lines:
        seen_hz = folded_hz(at_hz, interval_s) if interval_s else at_hz
        others = [
            folded_hz(other_hz, interval_s) if interval_s else other_hz for other, _, other_hz in lines if other != name
        ]
        nearest_hz = min(others, key=lambda other_hz: abs(other_hz - seen_hz))
        apart = seen_hz > 0 and nearest_hz > 0 and needed_duration_s(seen_hz, nearest_hz) <= record_s
        rows.append((f"{name} × {harmonic}", at_hz, seen_hz, nearest_hz, "yes" if apart else "no"))
    columns = (
        Column("line", "line"), Column("at_hz", "at", "Hz"), Column("seen_hz", "seen at", "Hz"),
        Column("nearest_hz", "the other's nearest", "Hz"), Column("apart", "told apart"),
    )  # fmt: skip
    hidden = [row[0] for row in rows if row[4] == "no"]
    return Answer(
        _hum_sentence(read_hz, record_s, mains_hz, own_hz, harmonics),
        (
            Result("resolution_hz", "The record tells apart", 1 / record_s, "Hz", "one over its length"),
            Result("mains_period_s", "Mains ripple of a full-wave rectifier comes every", 1 / (2 * mains_hz), "s"),
            Result("own_period_s", "Own ripple comes every", 1 / own_hz, "s"),
            Result("hidden", "Lines that it does not tell apart", len(hidden), "lines"),
        ),
        (f"Not told apart in this record: {', '.join(map(str, hidden))}.",) if hidden else (),
        (Table("Where the lines lie", columns, tuple(rows)),),
    )


def _hum_sentence(read_hz: float | None, record_s: float, mains_hz: float, own_hz: float, harmonics: int) -> str:
    if read_hz is None:
        return f"Lines nearer than {shown(1 / record_s, 'Hz')} cannot be told apart in this record."
    found = harmonics_near(read_hz, record_s, mains_hz=mains_hz, own_hz=own_hz, most=max(harmonics, 40))
    families = {family for family, _ in found}
    named = ", ".join(f"{'the mains' if family == MAINS else 'the own rate'} × {times}" for family, times in found[:3])
    said = shown(read_hz, "Hz")
    if not found:
        return f"{said} keeps neither rate: look for a third source."
    if len(families) > 1:
        return f"{said} may be either: {named}. A longer record tells them apart, unless they coincide."
    word = "hum" if families == {MAINS} else "ripple that the machine makes itself"
    return f"{said} is {word}: {named}."


HUM = Sum(
    slug="hum",
    title="Hum, or ripple of our own",
    question="Does the ripple come from the mains, or does the machine make it itself?",
    inputs=(
        Quantity(name="mains_hz", label="Mains", unit=PER_SECOND, example="50 Hz"),
        Quantity(name="own_hz", label="Repetition rate of the machine", unit=PER_SECOND, example="2.5 kHz"),
        Quantity(
            name="record_s", label="Length of the record", unit=SECONDS, example="100 ms",
            help="The whole width of the screen, or of the capture.",
        ),
        Quantity(
            name="interval_s", label="Between two samples", unit=MICROSECONDS, example="10 µs", optional=True,
            help="Left empty: lines that fold down are not looked for.",
        ),
        Quantity(name="read_hz", label="Frequency that was read", unit=PER_SECOND, example="100 Hz", optional=True),
        Count(name="harmonics", label="Harmonics of each to list", example="6", least=1, most=30),
    ),
    compute=_hum,
    formula=(
        "hum: h · mains; own ripple: h · repetition rate",
        "told apart where 1 / length ≤ the distance of the two",
        "seen at |f − n · sampling rate| where f is above half the sampling rate",
    ),
    source="Resolution of a record of the length T and the sampling theorem, common practice.",
    assumptions=("Both rates are steady over the record.",),
    limits=(
        "A small line beside a large one wants two to four times the length.",
        "The mains wander by a part in a hundred; near a multiple of them one reading does not tell.",
    ),
    leads_to_ht=True,
)  # fmt: skip

GROUP = Group(5, "Noise rides on the supply", (HUM, DECOUPLING, NOISE))
