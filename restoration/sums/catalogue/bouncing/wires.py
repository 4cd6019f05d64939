"""What a wire is, and whether it must be treated as a line."""

from restoration.engineering.figures import MILLIMETRES, NANOSECONDS, NUMBER
from restoration.engineering.lines.geometry import (
    capacitance_per_metre,
    delay_per_metre,
    impedance_coaxial,
    impedance_over_chassis,
    impedance_twin,
    inductance_per_metre,
)
from restoration.engineering.lines.lumped import rules_on, what_the_rules_say
from restoration.sums.catalogue.bouncing.shared import DELAY_PER_METRE, LENGTH
from restoration.sums.declared import Answer, Choice, Column, Quantity, Result, Sum, Table, Value, shown

SHAPES = {
    "chassis": ("over a chassis", "Height of its middle over the chassis", impedance_over_chassis),
    "pair": ("two wires side by side", "Spacing, middle to middle", impedance_twin),
    "coaxial": ("coaxial", "Inner diameter of the screen", impedance_coaxial),
}


def _wire(*, shape: str, across_m: float, diameter_m: float, permittivity: float, length_m: float) -> Answer:
    impedance = SHAPES[shape][2]
    exact, rounded = (impedance(across_m, diameter_m, permittivity, by_logarithm=by) for by in (False, True))
    delay = delay_per_metre(permittivity)
    farads, henries = capacitance_per_metre(exact, delay), inductance_per_metre(exact, delay)
    return Answer(
        f"{shown(exact, 'Ω')}, and {shown(delay * length_m, 's')} from end to end.",
        (
            Result("impedance_ohm", "Characteristic impedance", exact, "Ω"),
            Result("by_logarithm_ohm", "By the usual round formula", rounded, "Ω"),
            Result("by_logarithm_off", "Which is off by", rounded / exact - 1, "%"),
            Result("delay_s", "Delay of the wire", delay * length_m, "s"),
            Result("delay_s_per_m", "Delay of each metre", delay, "s/m"),
            Result("capacitance_f_per_m", "Capacitance of each metre", farads, "F/m"),
            Result("inductance_h_per_m", "Inductance of each metre", henries, "H/m"),
            Result("capacitance_f", "Capacitance of the wire", farads * length_m, "F"),
            Result("inductance_h", "Inductance of the wire", henries * length_m, "H"),
        ),
    )  # fmt: skip


WIRE = Sum(
    slug="wire",
    title="Impedance and delay of a wire",
    question="What are the impedance, delay, capacitance and inductance of this wire?",
    inputs=(
        Choice(
            name="shape", label="Shape", example="chassis",
            options=tuple((key, words) for key, (words, _, _) in SHAPES.items()),
        ),
        Quantity(
            name="across_m", label="Height, spacing or screen", unit=MILLIMETRES, example="25 mm",
            help="Over a chassis: height of the wire's middle. Two wires: middle to middle. Coaxial: the screen.",
        ),
        Quantity(name="diameter_m", label="Diameter of the bare wire", unit=MILLIMETRES, example="1 mm"),
        Quantity(
            name="permittivity", label="Relative permittivity round it", unit=NUMBER, example="1",
            help="1 air, 2.25 solid polythene; insulated wire in air lies between.",
        ),
        LENGTH,
    ),
    compute=_wire,
    formula=(
        "over a chassis: 60 arcosh(2h/d) / √εr, nearly 138 log(4h/d) / √εr",
        "two wires: 120 arcosh(D/d) / √εr, nearly 276 log(2D/d) / √εr",
        "coaxial: 60 ln(D/d) / √εr, nearly 138 log(D/d) / √εr",
        "delay = √εr / c; C = delay / Z0; L = delay · Z0",
    ),
    source="Conformal mapping (textbooks, from memory); the round formulas as commonly published. 60 is 376.73 / 2π.",
    assumptions=("One medium all round, no loss, a chassis much wider than the height.",),
    limits=(
        "The round formulas are 5 % high where height or spacing is near the diameter.",
        "In a loom it differs from place to place by a fifth and more.",
    ),
)  # fmt: skip


def _long(*, length_m: float, rise_s: float, delay_s_per_m: float) -> Answer:
    answers = rules_on(length_m, rise_s, delay_s_per_m=delay_s_per_m)
    rows: list[tuple[Value, ...]] = [
        (rule.words, "a line" if is_line else "lumped", rule.share_of_edge * rise_s / delay_s_per_m, rule.source)
        for rule, is_line in answers
    ]
    columns = (
        Column("rule", "rule"), Column("says", "says"), Column("longest_m", "lumped up to", "m"),
        Column("source", "published by"),
    )  # fmt: skip
    delay_s = length_m * delay_s_per_m
    return Answer(
        what_the_rules_say(length_m, rise_s, delay_s_per_m=delay_s_per_m),
        (
            Result("delay_s", "Delay of the wire, one way", delay_s, "s"),
            Result("share_of_edge", "Delay as a part of the edge", delay_s / rise_s, "%"),
            Result("lines", "Rules that call it a line", sum(is_line for _, is_line in answers), "rules"),
            Result("rules", "Rules asked", len(answers), "rules"),
        ),
        says=("What it does as a lump, and what as a line, stands side by side in “Damping a ringing wire”.",),
        tables=(Table("The published rules, the strictest first", columns, tuple(rows)),),
    )


LONG = Sum(
    slug="long",
    title="Long or lumped",
    question="Must this wire be treated as a line, or is it a lump of inductance and capacitance?",
    inputs=(
        LENGTH,
        Quantity(name="rise_s", label="Edge, 10 to 90 %", unit=NANOSECONDS, example="100 ns"),
        DELAY_PER_METRE,
    ),
    compute=_long,
    formula=("a line once delay > share · rise time", "share: from 1/20 to 1/2, as each rule has it"),
    source="The published rules named in the table; they disagree by ten to one, so all are shown.",
    assumptions=("One wire with its load at the end.",),
    limits=("No rule knows the load: into an open grid even a short wire rings. Look at both results.",),
)
