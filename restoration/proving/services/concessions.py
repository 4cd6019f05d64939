"""Something outside its limits accepted all the same, with a reason."""

from datetime import date, datetime, timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.text import capfirst

from restoration.common.moments import moment_of
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.records import Result
from restoration.people.models import Person
from restoration.proving.models import BenchTest, Concession, RingOut, SignalCheck
from restoration.proving.services.headings import named

Conceded = BenchTest | RingOut | SignalCheck
FIELD_OF: dict[type[Any], str] = {BenchTest: "bench_test", RingOut: "ring_out", SignalCheck: "signal_check"}
FARTHEST = timedelta(days=20 * 365)
WHY_NEEDED = "A concession says why what differs can be accepted."


@transaction.atomic
def give_concession(
    *, record: Conceded, reason: str, by: Person, until: date | None = None, at: datetime | None = None
) -> Concession:
    """Accept a record whose figures are outside, or too close to, their limits; until a day, or for good."""
    moment = moment_of(at)
    if not reason.strip():
        raise ValidationError({"reason": WHY_NEEDED})
    if until is not None and until < timezone.localdate(moment):
        raise ValidationError({"until": f"{until:%d %b %Y} is past already; give a day to come, or none."})
    if until is not None and until > timezone.localdate(moment) + FARTHEST:
        raise ValidationError({"until": f"{until:%d %b %Y} is too far ahead; give a day within twenty years, or none."})
    held: Any = type(record).objects.select_for_update(of=("self",), no_key=True).get(pk=record.pk)
    refused = why_no_concession(held)
    if refused:
        raise ValidationError(refused)
    concession = Concession.objects.create(
        reason=reason.strip(), given_by=by, given_at=moment, until=until, **{FIELD_OF[type(record)]: held}
    )
    _write(concession, held)
    return concession


def why_no_concession(record: Conceded) -> str:
    """Say why no concession can be given on a record; nothing where it can."""
    name = capfirst(str(record))
    later = type(record).objects.filter(replaces=record).first()
    if later is not None:
        return f"{name} was corrected by record {later.pk}; look at that one."
    if hasattr(record, "concession"):
        return f"{name} has a concession already, given by {record.concession.given_by}."
    if record.result == Result.PASSED:
        return f"{name} passed, so it needs no concession."
    if record.result == Result.CANNOT_TELL:
        return f"{name} leaves something not measured. Measure it; what nobody knows cannot be accepted."
    return ""


def _write(concession: Concession, record: Conceded) -> None:
    """Write the line, and tell of new facts on whatever the record is about."""
    kind, code = named(record.chassis if isinstance(record, BenchTest) else record.interconnect)
    until = f" until {concession.until:%d %b %Y}" if concession.until else ""
    write_line(
        act="concession given",
        sentence=f"{concession.given_by} accepted {record} on concession{until}: {concession.reason}",
        by=concession.given_by,
        subject_kind=kind,
        subject_code=code,
        happened_at=concession.given_at,
        details={"concession": concession.pk, "record": record.pk, "result": str(record.result)},
    )
    if isinstance(record, BenchTest):
        tell_facts_changed(chassis=[record.chassis_id])
    else:
        tell_facts_changed(interconnects=[record.interconnect_id])
