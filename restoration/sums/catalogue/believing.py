"""Sums for what may be believed of a reading."""

from restoration.engineering.figures import MILLIMETRES, NANOSECONDS, OHMS, PICOFARADS, VOLTS
from restoration.engineering.limits import Limit, Verdict, judge
from restoration.engineering.probe import TIMES_ONE, TIMES_TEN, Probe, probe_loading
from restoration.engineering.rise_time import combined_rise_s, quadrature_error, rise_of_bandwidth, true_edge
from restoration.sums.declared import (
    Answer,
    Choice,
    Column,
    Group,
    Quantity,
    Result,
    Span,
    Sum,
    Table,
    Value,
    shown,
)
from restoration.sums.units import PER_SECOND

SHAPES = (("gaussian", "Gaussian"), ("single pole", "single pole"))


def _edge(*, measured_s: float, uncertainty_s: float, scope_hz: float, probe_hz: float | None, shape: str) -> Answer:
    scope_s = rise_of_bandwidth(scope_hz, shape)  # type: ignore[arg-type]
    probe_s = rise_of_bandwidth(probe_hz, shape) if probe_hz else 0.0  # type: ignore[arg-type]
    own_s = combined_rise_s(scope_s, probe_s)
    found = true_edge(measured_s, uncertainty_s, scope_s, probe_s)
    between = f"between {shown(found.low_s, 's')} and {shown(found.high_s, 's')}"
    value = f"{shown(found.value_s, 's')}, {between}." if found.value_s is not None else f"not known; it is {between}."
    worst = abs(quadrature_error([own_s, own_s]))
    return Answer(
        f"The true edge is {value}",
        (
            Result("true_s", "True edge, 10 to 90 %", found.value_s, "s"),
            Result("low_s", "At least", found.low_s, "s"),
            Result("high_s", "At most", found.high_s, "s"),
            Result("scope_s", "The oscilloscope's own", scope_s, "s"),
            Result("probe_s", "The probe's own", probe_s, "s"),
            Result("own_s", "Both together", own_s, "s"),
        ),
        (
            *((found.reason,) if found.reason else ()),
            "The sum of squares holds for Gaussian responses. For two equal RC stages in a row it reads "
            f"{shown(worst, '%')} low; for a real instrument its error is typically unknown.",
        ),
    )


EDGE = Sum(
    slug="edge",
    title="The true edge behind the one on the screen",
    question="How quick is the edge itself, once oscilloscope and probe are taken out?",
    inputs=(
        Quantity(name="measured_s", label="Edge as measured, 10 to 90 %", unit=NANOSECONDS, example="40 ns"),
        Quantity(name="uncertainty_s", label="Its uncertainty", unit=NANOSECONDS, example="2 ns", span=Span.ZERO_UP),
        Quantity(name="scope_hz", label="Bandwidth of the oscilloscope", unit=PER_SECOND, example="20 MHz"),
        Quantity(
            name="probe_hz", label="Bandwidth of the probe", unit=PER_SECOND, example="60 MHz", optional=True,
            help="Left empty: counted in that of the oscilloscope.",
        ),
        Choice(name="shape", label="Shape of their response", example="gaussian", options=SHAPES),
    ),
    compute=_edge,
    formula=(
        "own = 0.34 / bandwidth (Gaussian) or 0.35 / bandwidth (single pole)",
        "true = √(measured² − scope² − probe²)",
    ),
    source=(
        "Closed forms. That the sum of squares has an error that is typically unknown: P. Hale and others, 2017, "
        "from the abstract on nist.gov."
    ),
    assumptions=(
        "Neither the edge nor the instrument rings.",
        "The bounds take the instrument once as Gaussian, once as RC.",
    ),
    limits=("An edge as short as the instrument's own has no value, only a bound.",),
    leads_to_ht=True,
)  # fmt: skip


def _probe(
    *, source_ohm: float, source_f: float | None, probe_ohm: float, probe_f: float, lead_m: float,
    pulse_s: float | None,
) -> Answer:  # fmt: skip
    probes = {
        "this probe": Probe(probe_ohm, probe_f, ground_lead_m=lead_m),
        "a usual ×10": TIMES_TEN,
        "a usual ×1": TIMES_ONE,
    }
    found = {name: probe_loading(probe, source_ohm, source_f or 0.0, pulse_s=pulse_s) for name, probe in probes.items()}
    rows: list[tuple[Value, ...]] = [
        (name, each.dc_error, each.added_rise_s, each.rise_with_s, each.ringing_hz) for name, each in found.items()
    ]
    columns = (
        Column("probe", "probe"), Column("level_lost", "level lost", "%"), Column("added_rise_s", "adds", "s"),
        Column("rise_with_s", "edge with it", "s"), Column("ringing_hz", "lead rings at", "Hz"),
    )  # fmt: skip
    own = found["this probe"]
    return Answer(
        f"The probe takes {shown(own.dc_error, '%')} of the level, and alone slows the edge to "
        f"{shown(own.added_rise_s, 's')}.",
        (
            Result("level_lost", "Part of the level lost", own.dc_error, "%"),
            Result("rise_without_s", "Edge of the point without it", own.rise_without_s, "s", "10 to 90 %"),
            Result("rise_with_s", "Edge of the point with it", own.rise_with_s, "s", "10 to 90 %"),
            Result("added_rise_s", "Edge of the probe behind the source alone", own.added_rise_s, "s"),
            Result("ringing_hz", "Its earth lead rings at", own.ringing_hz, "Hz"),
        ),
        own.warnings,
        (Table("This probe beside usual ones", columns, tuple(rows)),),
    )


PROBE = Sum(
    slug="probe",
    title="What the probe does to the point",
    question="How far does the probe pull the level down and slow the edge?",
    inputs=(
        Quantity(
            name="source_ohm", label="Resistance of the point", unit=OHMS, example="10k", span=Span.ZERO_UP,
            help="At an anode: its load resistor beside the valve's own.",
        ),
        Quantity(
            name="source_f", label="Capacitance of the point", unit=PICOFARADS, example="40p", optional=True,
            span=Span.ZERO_UP,
        ),
        Quantity(name="probe_ohm", label="Resistance of the probe", unit=OHMS, example="10M"),
        Quantity(name="probe_f", label="Capacitance of the probe", unit=PICOFARADS, example="12p", span=Span.ZERO_UP),
        Quantity(
            name="lead_m", label="Length of its earth lead", unit=MILLIMETRES, example="150 mm", span=Span.ZERO_UP
        ),
        Quantity(name="pulse_s", label="Pulse duration", unit=NANOSECONDS, example="2 µs", optional=True),
    ),
    compute=_probe,
    formula=(
        "level lost = Rs / (Rs + Rp)",
        "edge = 2.197 (Rs beside Rp) (C + Cp)",
        "earth lead rings at 1 / 2π√(L Cp), L about 1 µH a metre",
    ),
    source="Thevenin's theorem and the RC edge; 1 µH a metre is common practice, from memory.",
    assumptions=("The point is one resistance and one capacitance.",),
    limits=(
        "At high frequencies a probe's resistance falls; above a few MHz only its capacitance counts.",
        "A probe is rated for a voltage: use none beyond it.",
    ),
    leads_to_ht=True,
)  # fmt: skip

SAID = {
    Verdict.WITHIN: "{} is within the limit, the uncertainty taken off both sides.",
    Verdict.OUTSIDE: "{} is outside the limit, even with its uncertainty.",
    Verdict.TOO_CLOSE: "{} is too close to the limit to call with this uncertainty.",
    Verdict.CANNOT_TELL: "Without a least or a most there is no limit to hold {} against.",
}


def _limit(*, value_v: float, uncertainty_v: float, least_v: float | None, most_v: float | None) -> Answer:
    verdict = judge(value_v, uncertainty_v, Limit(least=least_v, most=most_v))
    return Answer(
        SAID[verdict].format(shown(value_v, "V")),
        (
            Result("verdict", "Verdict", verdict.value),
            Result("least_read_v", "Least that may be read", None if least_v is None else least_v + uncertainty_v, "V"),
            Result("most_read_v", "Most that may be read", None if most_v is None else most_v - uncertainty_v, "V"),
        ),
    )


LIMIT = Sum(
    slug="limit",
    title="A figure against its limit",
    question="Is what was read within its limit, or too close to call?",
    inputs=(
        Quantity(name="value_v", label="Level or amplitude read", unit=VOLTS, example="17.2 V", span=Span.ANY),
        Quantity(
            name="uncertainty_v", label="Its expanded uncertainty", unit=VOLTS, example="0.6 V", span=Span.ZERO_UP
        ),
        Quantity(name="least_v", label="Least allowed", unit=VOLTS, example="15 V", span=Span.ANY, optional=True),
        Quantity(name="most_v", label="Most allowed", unit=VOLTS, example="20 V", span=Span.ANY, optional=True),
    ),
    compute=_limit,
    formula=(
        "within: least + U ≤ value ≤ most − U",
        "outside: value < least − U, or value > most + U",
        "between the two: too close to call",
    ),
    source="ISO 14253-1 and JCGM 106:2012 (8.3): guard bands of the width U, k = 2.",
    assumptions=("The uncertainty is that of the whole reading: instrument, probe and person.",),
    limits=("For a figure that was read once; what drifts or jitters needs more readings.",),
    leads_to_ht=True,
)

GROUP = Group(3, "What may be believed of a reading", (EDGE, PROBE, LIMIT))
