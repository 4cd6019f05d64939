"""Sums for what may be believed of a figure that was read."""

from restoration.engineering.figures import VOLTS
from restoration.engineering.limits import Limit, Verdict, judge
from restoration.sums.declared import Answer, Group, Quantity, Result, Span, Sum, shown

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
            name="uncertainty_v",
            label="Its expanded uncertainty",
            unit=VOLTS,
            example="0.6 V",
            span=Span.ZERO_UP,
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

GROUP = Group(3, "What may be believed of a reading", (LIMIT,))
