"""What a whole signal check says, from the verdicts on its figures and the loads that were joined."""

from collections.abc import Sequence
from dataclasses import dataclass

from restoration.engineering.limits import Verdict, overall


@dataclass(frozen=True)
class JudgedFigure:
    """One limited figure in words: what it is, how it reads, its limit, the verdict, and why it cannot be told."""

    words: str
    reads: str
    limit: str
    verdict: Verdict
    reason: str = ""

    def sentence(self) -> str:
        """Say what stands in the way, or that the figure is within its limit.

        Formula: none. Source: none. Units: as written in the words given.

        >>> JudgedFigure("amplitude", "31 V", "15 to 20 V", Verdict.OUTSIDE).sentence()
        'The amplitude, 31 V, is outside its limit of 15 to 20 V.'
        """
        if self.verdict is Verdict.CANNOT_TELL:
            return f"The {self.words}, limit {self.limit}, cannot be told. {self.reason or 'It was not measured.'}"
        if self.verdict is Verdict.TOO_CLOSE:
            return f"The {self.words}, {self.reads}, is too close to its limit of {self.limit} to call."
        return f"The {self.words}, {self.reads}, is {self.verdict.value} its limit of {self.limit}."


@dataclass(frozen=True)
class Outcome:
    """The verdict on a signal check, and the sentences that stand in the way of a pass."""

    verdict: Verdict
    reasons: tuple[str, ...] = ()


def check_outcome(figures: Sequence[JudgedFigure], *, all_loads_joined: bool, loads_missing: str = "") -> Outcome:
    """Judge a signal check at the load end.

    Outside where any figure is; else cannot tell where no figure has a limit or a load was not joined, since each
    load changes the pulse for all; else the worst of the figures; within only where all are. Own rule, no source.
    Valid for figures of one end at one stage. Units: none. Errors: none.

    >>> within = JudgedFigure("amplitude", "17 V", "15 to 20 V", Verdict.WITHIN)
    >>> check_outcome([within], all_loads_joined=True)
    Outcome(verdict=<Verdict.WITHIN: 'within'>, reasons=())
    >>> check_outcome([within], all_loads_joined=False, loads_missing="D-02:4").reasons
    ('Not every load was joined (D-02:4), and each load changes the pulse for all of them.',)
    >>> check_outcome([], all_loads_joined=True).verdict.value
    'cannot tell'
    """
    reasons = [figure.sentence() for figure in figures if figure.verdict is not Verdict.WITHIN]
    worst = overall(figure.verdict for figure in figures)
    if not figures:
        reasons.append("There is no limit to judge the figures by.")
    if not all_loads_joined:
        which = f" ({loads_missing.strip()})" if loads_missing.strip() else ""
        reasons.append(f"Not every load was joined{which}, and each load changes the pulse for all of them.")
        worst = worst if worst is Verdict.OUTSIDE else Verdict.CANNOT_TELL
    return Outcome(worst, tuple(reasons))


def withheld(outcome: Outcome, reasons: Sequence[str]) -> Outcome:
    """Hold a verdict back for reasons that stand outside the figures; without any, leave it as it is.

    Formula: none. Source: own rule: figures of a wire that ends in nothing, or that was changed afterwards, tell
    nothing of the wire as it is, be they within or outside. Units: none. Errors: none.

    >>> withheld(Outcome(Verdict.WITHIN), ["No chassis is fitted in slot C-07, so nothing is proved yet."]).verdict
    <Verdict.CANNOT_TELL: 'cannot tell'>
    >>> withheld(Outcome(Verdict.WITHIN), [])
    Outcome(verdict=<Verdict.WITHIN: 'within'>, reasons=())
    """
    return Outcome(Verdict.CANNOT_TELL, (*reasons, *outcome.reasons)) if reasons else outcome
