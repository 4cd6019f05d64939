"""The site's own wiring constants are taken into use: every prediction from then on rests on them."""

from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.common.moments import moment_of
from restoration.conditioning.fitting import SiteFit, fit_site
from restoration.conditioning.models import FittedConstant, WiringFit
from restoration.logbook.services import write_line
from restoration.people.models import Person


def take_into_use(*, by: Person | None, at: datetime | None = None, remarks: str = "") -> WiringFit:
    """Fit the wiring constants to the records up to a moment, and predict with them from then on."""
    moment = moment_of(at)
    return store_fit(fit_or_refuse(until=moment), by=by, at=moment, remarks=remarks)


def fit_or_refuse(*, until: datetime | None = None) -> SiteFit:
    """Fit the constants, outside of any transaction since it takes seconds; refused in a sentence where few tell."""
    try:
        return fit_site(until=until)
    except ValueError as refused:
        raise ValidationError(str(refused)) from refused


def store_fit(found: SiteFit, *, by: Person | None, at: datetime | None = None, remarks: str = "") -> WiringFit:
    """Take constants that were fitted into use: the whole answer, the constants for people, and a line of the log."""
    moment = moment_of(at)
    told, rows = found.told(), _rows(found)
    with transaction.atomic():
        stored = WiringFit.objects.create(
            fitted_at=moment,
            fitted_by=by,
            record_count=found.constants.record_count,
            told=told,
            remarks=remarks.strip(),
        )
        FittedConstant.objects.bulk_create(FittedConstant(fit=stored, **row) for row in rows)
        _write(stored, found, rows)
    return stored


def _rows(found: SiteFit) -> list[dict[str, Any]]:
    return [vars(row) for row in found.constants.rows()]


def _write(stored: WiringFit, found: SiteFit, rows: list[dict[str, Any]]) -> None:
    who = stored.fitted_by or "The command line"
    count, wild = found.constants.record_count, len(found.constants.wild)
    said = f"{who} took wiring constants {stored.pk} into use, fitted from {count} signal checks."
    older = f" {found.not_taken} older ones were not taken." if found.not_taken else ""
    figures = "1 figure disagrees" if wild == 1 else f"{wild} figures disagree"
    odd = f" {figures} with all the others." if wild else ""
    write_line(
        act="wiring constants",
        sentence=f"{said}{older}{odd}",
        by=stored.fitted_by,
        subject_kind="wiring constants",
        subject_code=str(stored.pk),
        happened_at=stored.fitted_at,
        details={"fit": stored.pk, "records": count, "constants": rows},
    )
