"""The site's own wiring constants are taken into use: every prediction from then on rests on them."""

from datetime import datetime

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
    try:
        found = fit_site(until=moment)
    except ValueError as refused:
        raise ValidationError(str(refused)) from refused
    told = found.told()
    with transaction.atomic():
        stored = WiringFit.objects.create(
            fitted_at=moment,
            fitted_by=by,
            record_count=found.constants.record_count,
            told=told,
            remarks=remarks.strip(),
        )
        FittedConstant.objects.bulk_create(
            FittedConstant(fit=stored, name=row.name, wire=row.wire, value=row.value, low=row.low, high=row.high)
            for row in found.constants.rows()
        )
        _write(stored, found)
    return stored


def _write(stored: WiringFit, found: SiteFit) -> None:
    who = stored.fitted_by or "The command line"
    count = found.constants.record_count
    said = f"{who} took wiring constants {stored.pk} into use, fitted from {count} signal checks."
    older = f" {found.not_taken} older ones were not taken." if found.not_taken else ""
    wild = len(found.constants.wild)
    odd = f" {wild} figures disagree with all the others." if wild > 1 else ""
    odd = " 1 figure disagrees with all the others." if wild == 1 else odd
    write_line(
        act="wiring constants",
        sentence=f"{said}{older}{odd}",
        by=stored.fitted_by,
        subject_kind="wiring constants",
        subject_code=str(stored.pk),
        happened_at=stored.fitted_at,
        details={
            "fit": stored.pk,
            "records": count,
            "constants": [
                {"name": row.name, "wire": row.wire, "value": row.value, "low": row.low, "high": row.high}
                for row in found.constants.rows()
            ],
        },
    )
