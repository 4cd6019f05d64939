"""What came of a prediction: the first signal check after it that saw the link as it was predicted."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from restoration.conditioning.models import ModificationNote, PredictedFigure, Prediction
from restoration.proving.models import SignalCheck, SignalReading
from restoration.proving.models.signal_checks import End, Stage

Parts = Mapping[str, float]


@dataclass(frozen=True)
class FigureOutcome:
    """One predicted figure beside what was measured afterwards, in SI units."""

    figure: PredictedFigure
    measured: float
    uncertainty: float | None

    @property
    def is_inside(self) -> bool:
        """Whether the measured figure lies within the interval that was predicted."""
        return self.figure.low <= self.measured <= self.figure.high

    @property
    def ratio(self) -> float | None:
        """Measured over predicted; None where nothing was predicted to be there."""
        return self.measured / self.figure.value if self.figure.value else None


@dataclass(frozen=True)
class PredictionOutcome:
    """A prediction, the check that answers it, the stage of that check, and each figure that both tell."""

    prediction: Prediction
    check: SignalCheck
    stage: str
    figures: tuple[FigureOutcome, ...]

    @property
    def held(self) -> int:
        """How many of the figures lie within their intervals."""
        return sum(figure.is_inside for figure in self.figures)

    def figure(self, end: str, quantity: str) -> FigureOutcome | None:
        """The figure of one end and quantity, where both were told."""
        mine = (each for each in self.figures if (each.figure.end, each.figure.quantity) == (end, quantity))
        return next(mine, None)


def outcome_of(prediction: Prediction) -> PredictionOutcome | None:
    """What came of one prediction; None while no check has seen the link as it was predicted."""
    return outcomes_of([prediction]).get(prediction.pk)


def outcomes_of(predictions: Iterable[Prediction]) -> dict[int, PredictionOutcome]:
    """What came of many predictions, by row id; four reads, however many there are.

    A check answers a prediction if it was made after it, is in force, has figures, and if the parts then on the link
    are those of the prediction. Its figures as left count, or as found where nothing was left.
    """
    given = list(predictions)
    links = {prediction.interconnect_id for prediction in given}
    checks, parts = _checks_of(links), parts_over_time(links)
    figures: dict[int, list[PredictedFigure]] = defaultdict(list)
    for row in PredictedFigure.objects.filter(prediction__in=given):
        figures[row.prediction_id].append(row)
    found = (
        _answer(one, figures[one.pk], checks[one.interconnect_id], parts.get(one.interconnect_id, [])) for one in given
    )
    return {outcome.prediction.pk: outcome for outcome in found if outcome is not None}


def _checks_of(links: set[int]) -> dict[int, list[SignalCheck]]:
    checks = SignalCheck.objects.in_force().filter(interconnect__in=links).order_by("done_at", "pk")
    by_link: dict[int, list[SignalCheck]] = defaultdict(list)
    for check in checks.select_related("done_by", "second_person").prefetch_related("readings"):
        by_link[check.interconnect_id].append(check)
    return by_link


def parts_over_time(links: Iterable[int]) -> dict[int, list[tuple[datetime, Parts]]]:
    """What was on each of these links from when on, as the notes in force tell it, oldest first; one read."""
    told: dict[int, list[tuple[datetime, Parts]]] = defaultdict(list)
    notes = ModificationNote.objects.in_force().filter(change__interconnect__in=list(links))
    rows = notes.order_by("change__done_at", "pk").values_list("change__interconnect", "change__done_at", "arrangement")
    for link, done_at, arrangement in rows:
        told[link].append((done_at, arrangement))
    return dict(told)


def parts_at(over_time: list[tuple[datetime, Parts]], moment: datetime) -> Parts:
    """What was on a link at a moment; nothing where no note was written before it."""
    return next((parts for since, parts in reversed(over_time) if since <= moment), {})


def same_parts(one: Parts, other: Parts) -> bool:
    """Whether two arrangements are of the same parts; a part of no value is none."""
    return {role: value for role, value in one.items() if value} == {r: v for r, v in other.items() if v}


def figures_of(check: SignalCheck) -> dict[tuple[str, str], SignalReading]:
    """The figures of a check as left, or as found where nothing was left at the load end, by end and quantity."""
    return {
        (row.end, row.quantity): row
        for row in check.readings.all()
        if row.stage == stage_of(check) and row.value is not None
    }


def stage_of(check: SignalCheck) -> str:
    """The stage whose figures a check is judged by."""
    has_left = any(row.stage == Stage.LEFT and row.end == End.LOAD for row in check.readings.all())
    return Stage.LEFT if has_left else Stage.FOUND


def _answer(
    prediction: Prediction,
    figures: list[PredictedFigure],
    checks: list[SignalCheck],
    parts: list[tuple[datetime, Parts]],
) -> PredictionOutcome | None:
    for check in checks:
        if check.done_at < prediction.made_at:
            continue
        if not same_parts(parts_at(parts, check.done_at), prediction.arrangement):
            continue
        read = figures_of(check)
        both = tuple(_beside(row, read[row.end, row.quantity]) for row in figures if (row.end, row.quantity) in read)
        if both:
            return PredictionOutcome(prediction, check, stage_of(check), both)
    return None


def _beside(row: PredictedFigure, read: SignalReading) -> FigureOutcome:
    return FigureOutcome(row, float(read.value or 0.0), read.uncertainty)
