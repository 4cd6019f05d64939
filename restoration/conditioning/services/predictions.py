"""A prediction is kept, so that a later measurement can be held against it."""

import math
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Protocol

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.common.moments import moment_of
from restoration.conditioning.models import PredictedFigure, Prediction, WiringFit
from restoration.engineering.in_place.arrangement import Arrangement
from restoration.logbook.services import write_line
from restoration.machine.models import Interconnect
from restoration.people.models import Person
from restoration.proving.models.signal_checks import End
from restoration.proving.quantities import reads


class Told(Protocol):
    """A predicted figure with the ends of its interval."""

    @property
    def value(self) -> float: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...


Figures = Mapping[tuple[str, str], Told]

NOTHING_FORETOLD = "A prediction needs at least one figure, and none could be reckoned for this link."


def keep_prediction(
    *,
    interconnect: Interconnect,
    arrangement: Arrangement,
    figures: Figures,
    by: Person | None,
    assumed: Sequence[str] = (),
    fit: WiringFit | None = None,
    at: datetime | None = None,
) -> Prediction:
    """Keep what a link is predicted to show with these parts on it, with its intervals and what was assumed."""
    if not figures:
        raise ValidationError(NOTHING_FORETOLD)
    for (end, quantity), told in figures.items():
        if not all(map(math.isfinite, (told.value, told.low, told.high))):
            raise ValidationError(f"The {quantity} predicted at the {end} end is no finite figure, so it is not kept.")
    with transaction.atomic():
        prediction = Prediction.objects.create(
            interconnect=interconnect,
            made_at=moment_of(at),
            made_by=by,
            fit=fit,
            arrangement=arrangement.as_dict(),
            assumed=list(assumed),
        )
        PredictedFigure.objects.bulk_create(
            PredictedFigure(prediction=prediction, end=end, quantity=quantity, **_ends(told))
            for (end, quantity), told in figures.items()
        )
        _write(prediction, arrangement, figures)
    return prediction


def _ends(told: Told) -> dict[str, float]:
    """The figure and the ends of its interval, which hold it even where rounding would not."""
    return {"value": told.value, "low": min(told.low, told.value), "high": max(told.high, told.value)}


def _write(prediction: Prediction, arrangement: Arrangement, figures: Figures) -> None:
    who = prediction.made_by or "The command line"
    link = prediction.interconnect
    told = figures.get((End.LOAD, "amplitude"))
    said = f": {reads('amplitude', told.low)} to {reads('amplitude', told.high)} at the load" if told else ""
    write_line(
        act="prediction kept",
        sentence=f"{who} kept prediction {prediction.pk} for link {link.code} with {arrangement.words}{said}.",
        by=prediction.made_by,
        subject_kind="link",
        subject_code=link.code,
        happened_at=prediction.made_at,
        details={"prediction": prediction.pk, "arrangement": prediction.arrangement},
    )
