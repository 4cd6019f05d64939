"""Signal checks as records of the site: what each measured, with what was known of its link on that day.

A check tells of wires and drives only where the pulse is known from the bench, apart from the place; what it found
with parts that nobody wrote down tells of those parts instead. Such checks are left out, each with its reason.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import OuterRef, Subquery
from django.utils import timezone

from restoration.conditioning.known.gathering import Gathered
from restoration.conditioning.known.knowing import known_of
from restoration.conditioning.known.many import ManyKnown
from restoration.conditioning.outcomes import stage_of
from restoration.engineering.in_place import LinkCase, Record
from restoration.engineering.in_place.matching import uncertainty_of
from restoration.engineering.limits import Quantity as Measured
from restoration.machine.models import Interconnect
from restoration.machine.models.limits import Quantity
from restoration.proving.models import BenchReading, Capture, SignalCheck, SignalReading
from restoration.proving.models.signal_checks import End, Stage

Q = Quantity
RESTS_ON = {
    Q.AMPLITUDE: (Q.AMPLITUDE,),
    Q.RISE_TIME: (Q.AMPLITUDE, Q.RISE_TIME),
    Q.FALL_TIME: (Q.AMPLITUDE, Q.FALL_TIME),
    Q.OVERSHOOT: (Q.AMPLITUDE, Q.RISE_TIME, Q.FALL_TIME),
}
"""What the bench has to tell for a figure in place to say something of wires and drives."""

NO_FIGURE = "no amplitude was measured at the load end"
NOTHING_CAME = "nothing came: the amplitude at the load end was 0 V, which is for the fault log"
LIFTED = "not all loads were joined"
NO_BENCH = "no bench test tells the amplitude of the chassis that was in the slot of its source"
UNWRITTEN = "parts were changed at it, nothing was measured before, and no modification note says which parts"
NO_LENGTH = "no length of its link is written down"
NO_DRIVE = "no drawing says what resistance drives its link"
NO_LOAD = "no drawing says what load its link ends in"
CANNOT_BE = "a figure of it, or of its link, cannot be"


@dataclass(frozen=True)
class Beside:
    """A check and its figures at the load, beside what the chassis in its source slot showed on the bench."""

    check: SignalCheck
    stage: str
    readings: Mapping[str, SignalReading]
    rows: Gathered

    @property
    def link(self) -> Interconnect:
        """The link that was checked."""
        return self.rows.link

    @property
    def bench(self) -> Mapping[str, BenchReading]:
        """The bench figures of that day."""
        return self.rows.bench


@dataclass(frozen=True)
class Taken:
    """A check as a record: beside the bench, with the case that it was measured on and what that assumes."""

    beside: Beside
    record: Record
    assumed: tuple[str, ...] = ()

    @property
    def check(self) -> SignalCheck:
        """The check itself."""
        return self.beside.check

    @property
    def link(self) -> Interconnect:
        """The link that was checked."""
        return self.beside.link

    @property
    def case(self) -> LinkCase:
        """The link as it was known on that day, with nominal constants."""
        return self.record.case


@dataclass(frozen=True)
class LeftOut:
    """A check that tells nothing of wires and drives, and why."""

    check: SignalCheck
    why: str


@dataclass(frozen=True)
class Recorded:
    """The checks that tell something, oldest first, and those that do not."""

    taken: tuple[Taken, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def records(self) -> tuple[Record, ...]:
        """The records, oldest first."""
        return tuple(each.record for each in self.taken)

    @property
    def reasons(self) -> dict[str, int]:
        """How many checks are left out for each reason, the most frequent first."""
        return dict(Counter(each.why for each in self.left_out).most_common())


def records_now(*, until: datetime | None = None) -> tuple[Record, ...]:
    """Every signal check in force up to a moment that tells of wires and drives, oldest first."""
    return recorded(until=until).records


def recorded(*, until: datetime | None = None) -> Recorded:
    """Every signal check in force up to a moment, as a record or with the reason why it is none."""
    checks = SignalCheck.objects.in_force().filter(done_at__lte=until or timezone.now())
    return recorded_of(checks.order_by("done_at", "pk"))


def recorded_of(checks: Any) -> Recorded:
    """These checks as records, in their order; a dozen reads, however many there are."""
    taken, left_out = [], []
    for each in beside_of(checks):
        found = record_of(each) if isinstance(each, Beside) else each
        if isinstance(found, Taken):
            taken.append(found)
        else:
            left_out.append(found)
    return Recorded(tuple(taken), tuple(left_out))


def beside_of(checks: Any) -> list[Beside | LeftOut]:
    """These checks beside the bench, or why one cannot stand beside it; a dozen reads, however many there are."""
    links = ("interconnect__signal", "interconnect__source__slot", "interconnect__load__slot")
    given: list[SignalCheck] = list(checks.select_related(*links).prefetch_related("readings"))
    known = ManyKnown.of({check.interconnect_id: check.interconnect for check in given}.values())
    measured = _measurements(given)
    return [_beside(check, known, measured.get(check.pk, {})) for check in given]


def newest_checks(links: Any = None) -> Any:
    """The newest check in force of each link, or of each of these links, by link."""
    later = SignalCheck.objects.in_force().filter(interconnect=OuterRef("interconnect")).order_by("-done_at", "-pk")
    newest = SignalCheck.objects.filter(pk=Subquery(later.values("pk")[:1]))
    return (newest if links is None else newest.filter(interconnect__in=links)).order_by("interconnect__code")


def _measurements(checks: Sequence[SignalCheck]) -> dict[int, Mapping[str, Any]]:
    """What was measured on the newest capture of each check, the load end's where there is one; one read."""
    told: dict[int, dict[str, Mapping[str, Any]]] = defaultdict(dict)
    rows = Capture.objects.filter(check_made__in=[check.pk for check in checks]).order_by("stage", "pk")
    for check, end, measurement in rows.values_list("check_made_id", "end", "measurement"):
        told[check][end] = measurement
    return {check: ends.get(End.LOAD) or ends.get(End.SOURCE) or {} for check, ends in told.items()}


def _beside(check: SignalCheck, known: ManyKnown, measurement: Mapping[str, Any]) -> Beside | LeftOut:
    if not check.loads_joined:
        return LeftOut(check, LIFTED)
    stage = _stage_with_known_parts(check, known)
    if stage is None:
        return LeftOut(check, UNWRITTEN)
    readings = {
        row.quantity: row
        for row in check.readings.all()
        if row.end == End.LOAD and row.stage == stage and row.value is not None
    }
    if Q.AMPLITUDE not in readings:
        return LeftOut(check, NO_FIGURE)
    if not readings[Q.AMPLITUDE].value:
        return LeftOut(check, NOTHING_CAME)
    rows = known.rows(check.interconnect, check.done_at, measurement)
    if Q.AMPLITUDE not in rows.bench or not rows.bench[Q.AMPLITUDE].value:
        return LeftOut(check, NO_BENCH)
    return Beside(check, stage, readings, rows)


def record_of(beside: Beside) -> Taken | LeftOut:
    """A check as a record that wiring constants are fitted to, or why it is none: drive and load have to be drawn."""
    link, written = beside.link, beside.rows.written
    drive, load = written.get(link.source_id), written.get(link.load_id)
    if drive is None or drive.drive_ohm is None:
        return LeftOut(beside.check, NO_DRIVE)
    if load is None or (load.load_ohm is None and load.load_f is None):
        return LeftOut(beside.check, NO_LOAD)
    return taken_of(beside)


def taken_of(beside: Beside) -> Taken | LeftOut:
    """A check with the case it was measured on, whatever that assumes; or why it makes none."""
    try:
        told = known_of(beside.rows)
        if told.case is None:
            return LeftOut(beside.check, CANNOT_BE if beside.link.length_m else NO_LENGTH)
        figures = _figures(beside.readings.values(), beside.bench)
        record = Record(name_of(beside.check), told.case, figures, wire=told.wire_key, drive=told.drive_key)
    except (ValueError, ArithmeticError):
        return LeftOut(beside.check, CANNOT_BE)
    return Taken(beside, record, told.assumed)


def name_of(check: SignalCheck) -> str:
    """How a check is named in what the fit says of it."""
    return f"Signal check {check.pk} of link {check.interconnect.code}"


def _stage_with_known_parts(check: SignalCheck, known: ManyKnown) -> str | None:
    """The stage at which it is known what was on the link: as left, or as found where no note tells the change."""
    stage = stage_of(check)
    if stage == Stage.FOUND or not check.parts_changed or _has_note_of_the_day(check, known):
        return stage
    has_found = any(row.stage == Stage.FOUND and row.end == End.LOAD for row in check.readings.all())
    return Stage.FOUND if has_found else None


def _has_note_of_the_day(check: SignalCheck, known: ManyKnown) -> bool:
    day = timezone.localdate(check.done_at)
    told = known.parts_until(check.interconnect, check.done_at)
    return bool(told) and timezone.localdate(told[-1][0]) == day


def _figures(
    readings: Iterable[SignalReading], bench: Mapping[str, BenchReading]
) -> dict[Measured | str, tuple[float, float]]:
    """What was measured, value and standard uncertainty, of the figures that rest on the bench alone."""
    found: dict[Measured | str, tuple[float, float]] = {}
    for row in readings:
        rests_on = RESTS_ON.get(Q(row.quantity))
        if rests_on is None or any(name not in bench for name in rests_on):
            continue
        value = abs(row.value or 0.0) if row.quantity == Q.AMPLITUDE else float(row.value or 0.0)
        if value > 0.0 or row.quantity == Q.OVERSHOOT:
            found[row.quantity] = (max(value, 0.0), uncertainty_of(row.quantity, value, row.uncertainty))
    return found
