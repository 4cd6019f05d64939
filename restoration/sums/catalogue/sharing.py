"""Sums for what else hangs on a source, what leaks in from beside it, and whether the pulse comes in time."""

import math

from restoration.engineering.crosstalk import STEEPEST, crosstalk_bound
from restoration.engineering.fan_out import Drive, HungLoad, fan_out
from restoration.engineering.figures import (
    FARADS_PER_METRE,
    METRES,
    MILLIAMPERES,
    NANOSECONDS,
    OHMS,
    PICOFARADS,
    VOLTS,
)
from restoration.engineering.timing_budget import Step, budget
from restoration.sums.declared import (
    Answer,
    Choice,
    Column,
    Group,
    Lines,
    Quantity,
    Result,
    Span,
    Sum,
    Table,
    Value,
    shown,
)
from restoration.sums.units import named_figures

LOAD_FIGURES = (("resistance", OHMS), ("capacitance", PICOFARADS), ("metres of wire", METRES))
STEP_FIGURES = (("delay", NANOSECONDS), ("how much later", NANOSECONDS), ("how much earlier", NANOSECONDS))


def _load(line: str) -> HungLoad:
    def make(name: str, given: dict[str, float]) -> HungLoad:
        ohm, farad, metre = (given.get(what) for what, _ in LOAD_FIGURES)
        return HungLoad(name, math.inf if ohm is None else ohm, farad or 0.0, metre or 0.0)

    load: HungLoad = named_figures(line, LOAD_FIGURES, make)
    return load


def _step(line: str) -> Step:
    def make(name: str, given: dict[str, float]) -> Step:
        if "delay" not in given:
            raise ValueError(f"“{name}” has no delay; write one after its name.")
        return Step(name, *(given.get(what, 0.0) for what, _ in STEP_FIGURES))

    step: Step = named_figures(line, STEP_FIGURES, make)
    return step


def _fan_out(
    *, open_v: float, source_ohm: float, edge_s: float, most_a: float | None, loads: tuple[HungLoad, ...],
    wire_f_per_m: float,
) -> Answer:  # fmt: skip
    found = fan_out(Drive(open_v, source_ohm, most_a, edge_s), loads, wire_f_per_m=wire_f_per_m)
    share = "what the stage can give is not known" if found.share is None else f"{shown(found.share, '%')} of the drive"
    columns = (
        Column("name", "load"), Column("resistance_ohm", "resistance", "Ω"),
        Column("capacitance_f", "capacitance with wire", "F"), Column("part", "part of all capacitance", "%"),
    )  # fmt: skip
    rows: list[tuple[Value, ...]] = []
    for load in loads:
        own_f = load.capacitance_f + load.wire_m * wire_f_per_m
        rows.append((load.name, load.resistance_ohm, own_f, own_f / found.load_f if found.load_f else 0.0))
    count = f"{len(loads)} loads leave" if len(loads) > 1 else "One load leaves"
    return Answer(
        f"{count} {shown(found.level_v, 'V')} and an edge of {shown(found.rise_s, 's')}; {share}.",
        (
            Result("level_v", "Level with all loads", found.level_v, "V"),
            Result("rise_s", "Edge, 10 to 90 %", found.rise_s, "s"),
            Result("load_ohm", "All loads together", found.load_ohm, "Ω"),
            Result("load_f", "All capacitance together", found.load_f, "F"),
            Result("steady_a", "Current while the pulse stands", found.steady_a, "A"),
            Result("peak_a", "Most current on the edge", found.peak_a, "A"),
            Result("share", "Part of what the stage can give", found.share, "%"),
        ),
        found.warnings,
        (Table("The loads", columns, tuple(rows)),),
    )


FAN_OUT = Sum(
    slug="fan-out",
    title="All loads on one source",
    question="What do all the loads together make of the level and the edge, and can the stage drive them?",
    inputs=(
        Quantity(name="open_v", label="Pulse with nothing on it", unit=VOLTS, example="30 V", span=Span.ANY),
        Quantity(name="source_ohm", label="Resistance of the source", unit=OHMS, example="1k", span=Span.ZERO_UP),
        Quantity(
            name="edge_s", label="Its own edge, 10 to 90 %", unit=NANOSECONDS, example="80 ns", span=Span.ZERO_UP
        ),
        Quantity(
            name="most_a", label="Most that the stage can give", unit=MILLIAMPERES, example="25 mA", optional=True
        ),
        Lines(
            name="loads", label="Loads, one a line", reader=_load,
            example="V7 grid 220k 40p 3 m\nV9 grid 47k 25p 1.2 m",
            help="A name, its resistance, its capacitance, metres of wire to it; a dash for what it has not.",
        ),
        Quantity(
            name="wire_f_per_m", label="Capacitance of each metre of wire", unit=FARADS_PER_METRE, example="12 pF/m",
            span=Span.ZERO_UP, help="10 to 15 pF for each metre of single wire over a chassis.",
        ),
    ),
    compute=_fan_out,
    formula=(
        "level = V · R / (Rs + R), R all loads side by side",
        "edge = 2.197 (Rs beside R) ΣC, with the source's own by the sum of squares",
        "most current: the level's share and what fills ΣC, at the end of the edge",
    ),
    source="Thevenin's theorem and the RC's answer to a ramp; the pF of each metre are common practice, no source.",
    assumptions=("The wires are short beside the edge.", "The source is the same resistance up and down."),
    limits=(
        "A cathode follower pulls up faster than it lets go.",
        "More than 80 % of the drive leaves little for ageing (common practice, no source).",
    ),
    leads_to_ht=True,
)  # fmt: skip


def _crosstalk(
    *, step_v: float, rise_s: float, shape: str, length_m: float, mutual_f_per_m: float, victim_ohm: float,
    victim_f: float, threshold_v: float | None,
) -> Answer:  # fmt: skip
    mutual_f = mutual_f_per_m * length_m
    found = crosstalk_bound(
        step_v, rise_s, mutual_f, victim_ohm, victim_f,
        shape=shape, threshold_v=threshold_v,  # type: ignore[arg-type]
    )  # fmt: skip
    against = ""
    if found.share is not None:
        against = ", less than a third of the threshold" if found.share < 1 else ", more than a third of the threshold"
    return Answer(
        f"At most {shown(found.bound_v, 'V')} appear on the wire beside it{against}.",
        (
            Result("bound_v", "Most that appears", found.bound_v, "V", "the lower of the two below"),
            Result("slope_bound_v", "By the steepest slope", found.slope_bound_v, "V"),
            Result("divider_bound_v", "By the capacitances alone", found.divider_bound_v, "V"),
            Result("mutual_f", "Capacitance between the wires", mutual_f, "F"),
            Result("share", "Part of a third of the threshold", found.share, "%"),
        ),
    )


CROSSTALK = Sum(
    slug="crosstalk",
    title="What the wire beside it puts on a wire",
    question="How much of one wire's pulse can appear on its neighbour in the loom?",
    inputs=(
        Quantity(name="step_v", label="Pulse on the other wire", unit=VOLTS, example="30 V", span=Span.ANY),
        Quantity(name="rise_s", label="Its edge, 10 to 90 %", unit=NANOSECONDS, example="80 ns"),
        Choice(
            name="shape", label="Shape of its edge", example="exponential",
            options=tuple((shape, shape) for shape in STEEPEST), help="Not known: exponential, the steepest.",
        ),
        Quantity(name="length_m", label="Length that they run together", unit=METRES, example="3 m"),
        Quantity(
            name="mutual_f_per_m", label="Capacitance between them, each metre", unit=FARADS_PER_METRE,
            example="5 pF/m", help="5 pF a metre is a guess for wires laid together.",
        ),
        Quantity(
            name="victim_ohm", label="Resistance of this wire to earth", unit=OHMS, example="1k",
            help="All that hangs on it, side by side.",
        ),
        Quantity(
            name="victim_f", label="Capacitance of this wire to earth", unit=PICOFARADS, example="36p",
            span=Span.ZERO_UP,
        ),
        Quantity(
            name="threshold_v", label="Level at which its load answers", unit=VOLTS, example="9 V", optional=True,
            span=Span.ANY,
        ),
    ),
    compute=_crosstalk,
    formula=("V ≤ the lower of R · Cm · dV/dt and ΔV · Cm / (Cm + Cv)",),
    source="Follows from (Cm + Cv) v' + v / R = Cm V'; a third of the threshold is common practice, no source.",
    assumptions=("The wires are short beside the edge.", "Only their capacitance couples them."),
    limits=(
        "An upper bound: it is mostly far less.",
        "Large currents couple by inductance as well, and that comes on top.",
    ),
    leads_to_ht=True,
)  # fmt: skip


def _timing(*, steps: tuple[Step, ...], slot_s: float, not_before_s: float) -> Answer:
    found = budget(steps, slot_s, not_before_s=not_before_s)
    columns = (
        Column("name", "stage or wire"), Column("delay_s", "delay", "s"), Column("plus_s", "later by", "s"),
        Column("minus_s", "earlier by", "s"),
    )  # fmt: skip
    rows: list[tuple[Value, ...]] = [(step.name, step.delay_s, step.plus_s, step.minus_s) for step in steps]
    return Answer(
        found.words,
        (
            Result("nominal_s", "Arrives, as it should be", found.nominal_s, "s"),
            Result("worst_s", "At the latest", found.worst_s, "s", "all late together"),
            Result("earliest_s", "At the earliest", found.earliest_s, "s", "all early together"),
            Result("root_sum_square_s", "Likely the latest", found.root_sum_square_s, "s", "root-sum-square"),
            Result("slack_worst_s", "Slack at worst", found.slack_worst_s, "s"),
            Result("slack_rss_s", "Slack, likely", found.slack_rss_s, "s"),
            Result("slack_early_s", "Room before the earliest", found.slack_early_s, "s"),
            Result("worst_step", "Wanders furthest", found.worst_step),
        ),
        ("Decide on the worst case where the stages are few: valves of one batch age alike.",),
        (Table("The path", columns, tuple(rows)),),
    )


TIMING = Sum(
    slug="timing",
    title="Timing budget of a path",
    question="Does the pulse come within its slot, at worst and as a rule?",
    inputs=(
        Lines(
            name="steps", label="Stages and wires, one a line", reader=_step,
            example="driver 120 ns 30 ns 20 ns\nwire 20 ns 2 ns\ngate 150 ns 40 ns 30 ns",
            help="A name, its delay, how much later and how much earlier it may be; without a unit in ns.",
        ),
        Quantity(name="slot_s", label="Slot in which it must arrive", unit=NANOSECONDS, example="350 ns"),
        Quantity(
            name="not_before_s", label="Not before", unit=NANOSECONDS, example="0", span=Span.ZERO_UP,
            help="0 where it may come at any time.",
        ),
    ),
    compute=_timing,
    formula=("worst = Σ delay + Σ later", "likely = Σ delay + √Σ later²", "slack = slot − arrival"),
    source="Common practice, no source.",
    assumptions=("A stage's delay does not hang on another's; put a slow edge into the next one's “later”.",),
    limits=("The root-sum-square is for stages that err independently, and the better the more there are.",),
)  # fmt: skip

GROUP = Group(4, "What else hangs on it, and does it come in time", (FAN_OUT, CROSSTALK, TIMING))
