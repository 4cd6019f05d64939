"""Instruments written down and kept up."""

from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.common.versions import save_version
from restoration.logbook.services import write_line
from restoration.people.models import Person
from restoration.proving.models import Instrument


@dataclass(frozen=True)
class InstrumentFacts:
    """What is known of an instrument, apart from the mark on it."""

    kind: str
    description: str = ""
    bandwidth_hz: float | None = None
    gain_accuracy: float = 0.03
    check_due_on: date | None = None


@transaction.atomic
def add_instrument(*, mark: str, facts: InstrumentFacts, by: Person | None) -> Instrument:
    """Put an instrument on the list, by the mark on it."""
    if Instrument.objects.filter(mark=mark).exists():
        raise ValidationError({"mark": f"There is an instrument {mark} already; give this one another mark."})
    instrument = Instrument.objects.create(mark=mark, **vars(facts))
    _write(instrument, by, "put instrument {} on the list", {"mark": mark})
    return instrument


@transaction.atomic
def edit_instrument(*, instrument: Instrument, version: int, facts: InstrumentFacts, by: Person) -> Instrument:
    """Write an instrument's facts anew; records made with it keep what they were judged with."""
    before = {name: str(getattr(instrument, name)) for name in vars(facts)}
    save_version(instrument, version=version, **vars(facts))
    _write(instrument, by, "changed what is written of instrument {}", {"before": before})
    return instrument


def _write(instrument: Instrument, by: Person | None, did: str, details: dict[str, object]) -> None:
    write_line(
        act="instrument kept",
        sentence=f"{by or 'The command line'} {did.format(instrument.mark)}: {instrument.kind}.",
        by=by,
        subject_kind="instrument",
        subject_code=instrument.mark,
        details=details,
    )
