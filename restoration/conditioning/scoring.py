"""How predictions held: every one that a later measurement answers, said openly, misses first if wanted."""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.stats import binom

from restoration.conditioning.models import Prediction, WiringFit
from restoration.conditioning.outcomes import FigureOutcome, PredictionOutcome, outcomes_of
from restoration.engineering.plots import format_part
from restoration.machine.models.limits import Quantity
from restoration.proving.models.signal_checks import End
from restoration.proving.quantities import order_of, reads

PROMISED = 0.9  # of later measurements, that the intervals are meant to hold
ENOUGH = 20  # answered predictions from which the promise can be judged at all: own choice
ROUND = (1.0, 1.5, 2.0, 3.0, 5.0, 7.0)  # figures of a decade that are written beside a scale of ratios
USUAL = 0.95  # how often a kept promise lies between the bounds that are named


@dataclass(frozen=True)
class Score:
    """One prediction with its answer: the amplitude at the load, and how many of all its figures lie inside."""

    outcome: PredictionOutcome
    amplitude: FigureOutcome

    @property
    def prediction(self) -> Prediction:
        """The prediction itself."""
        return self.outcome.prediction

    @property
    def error(self) -> float:
        """How far the measured amplitude is from the predicted one, as a part of the measured one."""
        return abs(self.amplitude.figure.value / self.amplitude.measured - 1.0)

    @property
    def widths(self) -> float:
        """How far off it is in half widths of its interval, on the scale of ratios; within 1 is inside."""
        told, measured = self.amplitude.figure, self.amplitude.measured
        side = told.high if measured > told.value else told.low
        room = abs(math.log(side / told.value)) if side > 0 and side != told.value else math.inf
        return abs(math.log(measured / told.value)) / room if room else math.inf

    @property
    def said(self) -> dict[str, str]:
        """The figures in words."""
        told = self.amplitude.figure
        return {
            "predicted": reads(Quantity.AMPLITUDE, told.value),
            "interval": f"{reads(Quantity.AMPLITUDE, told.low)} to {reads(Quantity.AMPLITUDE, told.high)}",
            "measured": reads(Quantity.AMPLITUDE, self.amplitude.measured),
            "ratio": f"{self.amplitude.ratio:.3f}" if self.amplitude.ratio else "–",
        }

    @property
    def mark(self) -> str:
        """The standing whose mark says whether it lies inside."""
        return "passed" if self.amplitude.is_inside else "failed"


@dataclass(frozen=True)
class Tally:
    """What a group of predictions came to."""

    name: str
    scores: tuple[Score, ...]
    fit: WiringFit | None = field(default=None, compare=False)

    @property
    def count(self) -> int:
        """How many were answered."""
        return len(self.scores)

    @property
    def held(self) -> int:
        """How many amplitudes lie within their interval."""
        return sum(score.amplitude.is_inside for score in self.scores)

    @property
    def share(self) -> str:
        """The same as a part of all."""
        return f"{100 * self.held / self.count:.0f} %" if self.count else "–"

    @property
    def median(self) -> str:
        """The error of amplitude that half of them stay within."""
        return self._quantile(0.5)

    @property
    def ninetieth(self) -> str:
        """The error of amplitude that nine in ten stay within."""
        return self._quantile(0.9)

    def _quantile(self, part: float) -> str:
        return format_part(float(np.quantile([score.error for score in self.scores], part))) if self.scores else "–"

    @property
    def says(self) -> str:
        """The whole in a sentence or two, with an honest word where there are too few."""
        if not self.count:
            return "No prediction has been answered by a later measurement yet."
        least, most = kept_between(self.count)
        are = "prediction is" if self.count == 1 else "predictions are"
        lie = "amplitude lies" if self.held == 1 else "amplitudes lie"
        within = (
            f"It is within {self.median} of what was measured."
            if self.count == 1
            else f"Half are within {self.median} of what was measured, nine in ten within {self.ninetieth}."
        )
        said = (
            f"{self.count} {are} answered by a later measurement; {self.held} {lie} within the interval given, "
            f"{self.share} against the nine in ten promised. {within}"
        )
        if self.count < ENOUGH:
            return f"{said} That is too few to tell whether the promise is kept; {ENOUGH} would begin to."
        kept = least <= self.held <= most
        verdict = "as a kept promise would have it" if kept else "not what a kept promise would have"
        wrong = ": the intervals are too wide" if self.held > most else ": the intervals are too narrow"
        return f"{said} {least} to {most} of {self.count} would be usual: this is {verdict}{'' if kept else wrong}."


def kept_between(count: int) -> tuple[int, int]:
    """Between which numbers, nineteen times in twenty, those inside lie if nine in ten are.

    >>> kept_between(100)
    (84, 95)
    """
    rest = (1 - USUAL) / 2
    return int(binom.ppf(rest, count, PROMISED)), int(binom.ppf(1 - rest, count, PROMISED))


@dataclass(frozen=True)
class QuantityTally:
    """How many predicted figures of one quantity were answered, and how many lie within their interval."""

    quantity: str
    count: int
    held: int

    @property
    def name(self) -> str:
        """The quantity in words."""
        return Quantity(self.quantity).label

    @property
    def share(self) -> str:
        """Those inside as a part of all."""
        return f"{100 * self.held / self.count:.0f} %"


@dataclass(frozen=True)
class Scores:
    """All predictions that were answered, and how many wait."""

    scores: tuple[Score, ...]
    waiting: int

    @property
    def all(self) -> Tally:
        """All of them together."""
        return Tally("all", self.scores)

    @property
    def groups(self) -> list[Tally]:
        """Those made without constants of the site, then those of each fit, the oldest first."""
        by_fit: dict[int | None, list[Score]] = defaultdict(list)
        for score in self.scores:
            by_fit[score.prediction.fit_id].append(score)
        keys = sorted(by_fit, key=lambda key: (key is not None, key or 0))
        return [_group(by_fit[key]) for key in keys]

    @property
    def quantities(self) -> list[QuantityTally]:
        """How each quantity at the load held, in the order in which they are read off a trace."""
        held: dict[str, list[bool]] = defaultdict(list)
        for figure in (figure for score in self.scores for figure in score.outcome.figures):
            if figure.figure.end == End.LOAD:
                held[figure.figure.quantity].append(figure.is_inside)
        return [QuantityTally(name, len(held[name]), sum(held[name])) for name in order_of(held)]

    def in_order(self, *, worst_first: bool) -> list[Score]:
        """The worst misses first, or the newest prediction first."""
        if worst_first:
            return sorted(self.scores, key=lambda score: -score.widths)
        return sorted(self.scores, key=lambda score: (score.prediction.made_at, score.prediction.pk), reverse=True)


def _group(scores: Sequence[Score]) -> Tally:
    fit = scores[0].prediction.fit
    return Tally(f"wiring constants {fit.pk}" if fit else "before any records", tuple(scores), fit)


def scores_now() -> Scores:
    """Every kept prediction that a later measurement of its amplitude at the load answers; five reads."""
    kept = list(Prediction.objects.select_related("interconnect", "fit", "made_by"))
    answered = outcomes_of(kept)
    found = tuple(_scored(answered.values()))
    return Scores(found, len(kept) - len(found))


def _scored(outcomes: Iterable[PredictionOutcome]) -> Iterable[Score]:
    for outcome in outcomes:
        amplitude = outcome.figure(End.LOAD, Quantity.AMPLITUDE)
        if amplitude is not None and amplitude.measured > 0 and amplitude.figure.value > 0:
            yield Score(outcome, amplitude)


@dataclass(frozen=True)
class Dot:
    """One prediction on the drawing of predicted against measured."""

    x: str
    y: str
    is_inside: bool


@dataclass(frozen=True)
class ScatterDrawing:
    """Predicted against measured amplitude, both on the same scale of ratios."""

    dots: tuple[Dot, ...]
    ticks: tuple[tuple[str, str, str], ...]

    @classmethod
    def of(cls, scores: Sequence[Score]) -> "ScatterDrawing | None":
        """Draw these; None where there are too few to draw."""
        if len(scores) < 3:
            return None
        values = [value for score in scores for value in (score.amplitude.figure.value, score.amplitude.measured)]
        low, high = math.log(0.9 * min(values)), math.log(1.1 * max(values))
        dots = (
            Dot(
                _percent(score.amplitude.figure.value, low, high),
                _percent(score.amplitude.measured, low, high, from_top=True),
                score.amplitude.is_inside,
            )
            for score in scores
        )
        ticks = tuple(
            (_percent(value, low, high), _percent(value, low, high, from_top=True), reads(Quantity.AMPLITUDE, value))
            for value in _ticks(math.exp(low), math.exp(high))
        )
        return cls(tuple(dots), ticks)


def _percent(value: float, low: float, high: float, *, from_top: bool = False) -> str:
    part = (math.log(value) - low) / (high - low)
    return f"{100 * (1 - part if from_top else part):.2f}%"


def _ticks(low: float, high: float) -> list[float]:
    """Round figures within the drawing, or its middle where none lies in it."""
    decades = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    found = [times * 10.0**decade for decade in decades for times in ROUND if low <= times * 10.0**decade <= high]
    return found or [math.sqrt(low * high)]
