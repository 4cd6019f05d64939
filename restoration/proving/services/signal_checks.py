"""A signal proved in place: measured first, then stored in one go."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.engineering.check_result import Outcome
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Interconnect, SignalLimit
from restoration.machine.models.limits import Quantity
from restoration.people.models import Person
from restoration.proving.captures_store import Original, read_original, store_capture
from restoration.proving.in_place import outcome_in_place
from restoration.proving.measuring import (
    RESULTS,
    EndMeasured,
    Setting,
    delay_reading,
    expected_amplitude,
    judged_rows,
    read_trace,
    readings_by_hand,
    readings_of,
)
from restoration.proving.models import Instrument, SignalCheck, SignalReading
from restoration.proving.models.signal_checks import End, Stage
from restoration.proving.quantities import ORDER, reads, words
from restoration.proving.services.headings import Heading, head_record, write_record_line
from restoration.proving.services.wire_checks import is_joined

PAIR_NEEDED = "A signal check on a live rack is made by two; say who the second person was."
LOAD_NEEDED = "Give the load end, as found or as left: a capture, or at least one figure."

BELOW_ZERO = (
    "{} was given, and an amplitude is a size: give it without the sign. "
    "Which way the pulse goes is told by its levels."
)


@dataclass(frozen=True)
class EndFigures:
    """One end at one stage as given: figures in SI units by quantity, or a capture's bytes, or both.

    A figure given by hand stands in place of what the capture tells of the same quantity. `channel` is a name or a
    number from 1, the first where it is empty; `delay_from` names the channel that the delay is counted from.
    """

    end: str
    stage: str
    figures: Mapping[str, float] = field(default_factory=dict)
    capture: bytes | None = field(default=None, repr=False)
    name: str = ""
    channel: str = ""
    interval_s: float | None = None
    delay_from: str = ""


@dataclass(frozen=True)
class Surroundings:
    """What a check was made with and under: probe, loads, parts changed, supplies."""

    instrument: Instrument | None = None
    probe_factor: float = 10
    probe_compensated: bool = False
    reference: str = ""
    loads_joined: bool = False
    loads_missing: str = ""
    parts_changed: str = ""
    ht_v: float | None = None
    bias_v: float | None = None
    heater_v: float | None = None
    temperature_c: float | None = None
    also_running: str = ""
    remarks: str = ""


def record_signal_check(
    *,
    interconnect: Interconnect,
    ends: Sequence[EndFigures | EndMeasured],
    done_by: Person,
    second_person: Person | None,
    entered_by: Person,
    at: datetime | None = None,
    instrument: Instrument | None = None,
    probe_factor: float = 10,
    probe_compensated: bool = False,
    probe_allowed_for: bool = True,
    reference: str = "",
    loads_joined: bool = False,
    loads_missing: str = "",
    parts_changed: str = "",
    ht_v: float | None = None,
    bias_v: float | None = None,
    heater_v: float | None = None,
    temperature_c: float | None = None,
    also_running: str = "",
    remarks: str = "",
    replaces: SignalCheck | None = None,
    replaces_why: str = "",
) -> SignalCheck:
    """Record one visit of a pair with an oscilloscope, and work out what it says of the link.

    `probe_allowed_for` says that the instrument already multiplies by the probe; otherwise volts are multiplied
    here. Captures are read and measured before the transaction begins.
    """
    heading = head_record(
        interconnect,
        done_by=done_by,
        second_person=second_person,
        entered_by=entered_by,
        at=at,
        replaces=replaces,
        replaces_why=replaces_why,
        second_needed=PAIR_NEEDED,
    )
    surroundings = Surroundings(
        instrument=instrument,
        probe_factor=probe_factor,
        probe_compensated=probe_compensated,
        reference=reference,
        loads_joined=loads_joined,
        loads_missing=loads_missing,
        parts_changed=parts_changed,
        ht_v=ht_v,
        bias_v=bias_v,
        heater_v=heater_v,
        temperature_c=temperature_c,
        also_running=also_running,
        remarks=remarks,
    )
    limits = limits_of(interconnect)
    setting = Setting.of(instrument, probe_factor, probe_allowed_for)
    measured = [one if isinstance(one, EndMeasured) else measure_end(one, setting, limits) for one in ends]
    refuse_ends(measured)
    _refuse_loads(loads_joined, loads_missing)
    return _store(interconnect, measured, limits, heading, surroundings)


def limits_of(interconnect: Interconnect) -> list[SignalLimit]:
    """List the limits in force for the signal of a link; none where it carries no named signal."""
    return list(SignalLimit.objects.filter(signal=interconnect.signal_id)) if interconnect.signal_id else []


def measure_end(given: EndFigures, setting: Setting, limits: Sequence[SignalLimit]) -> EndMeasured:
    """Read and measure one end, the typed figures standing before those of the capture.

    Raises CaptureRefused for a file that is no capture, ValueError for a channel that is not in it.
    """
    unknown = [quantity for quantity in given.figures if quantity not in ORDER]
    if unknown:
        raise ValidationError(f"“{unknown[0]}” is no quantity of a signal; there are: {', '.join(ORDER)}.")
    for quantity, value in given.figures.items():
        if not math.isfinite(value):
            raise ValidationError(f"The {words(quantity)} is given as {value}; it has to be a finite number.")
        if quantity == Quantity.AMPLITUDE and value < 0:
            raise ValidationError({quantity: BELOW_ZERO.format(reads(quantity, value))})
    by_hand = {reading.quantity: reading for reading in readings_by_hand(given.figures, setting, limits)}
    if given.capture is None:
        return EndMeasured(given.end, given.stage, tuple(by_hand.values()))
    capture = read_original(Original(given.name, given.capture), given.interval_s)
    expected_v = expected_amplitude(limits) if given.end == End.LOAD else None
    taken = read_trace(capture, given.channel, setting, expected_v)
    readings = {reading.quantity: reading for reading in readings_of(taken.measurement)}
    if given.delay_from:
        readings[Quantity.DELAY] = delay_reading(taken, given.delay_from)
    readings |= by_hand
    return EndMeasured(
        given.end, given.stage, tuple(readings.values()), taken, given.capture, given.name, setting.probe_scale
    )


def refuse_ends(measured: Sequence[EndMeasured]) -> None:
    """Refuse a check without its load end, or with the same end given twice."""
    if not any(one.end == End.LOAD and one.readings for one in measured):
        raise ValidationError(LOAD_NEEDED)
    places = [(one.end, one.stage) for one in measured]
    doubled = next((place for place in places if places.count(place) > 1), None)
    if doubled:
        raise ValidationError(f"The {End(doubled[0]).label} as {Stage(doubled[1]).label} was given twice.")


def _refuse_loads(loads_joined: bool, loads_missing: str) -> None:
    """Refuse a check that says at once that all loads were joined and that one was not."""
    if loads_joined and loads_missing.strip():
        sentence = (
            f"All loads are said to be joined, and “{loads_missing.strip()}” is named as not joined; say which it is."
        )
        raise ValidationError({"loads_missing": sentence})


def _refuse_unjoined(interconnect: Interconnect, at: datetime) -> None:
    if not is_joined(interconnect, at):
        raise ValidationError(
            f"Link {interconnect.code} is not joined, so no signal can be proved on it. Record the joint first."
        )


@transaction.atomic
def _store(
    interconnect: Interconnect,
    measured: Sequence[EndMeasured],
    limits: Sequence[SignalLimit],
    heading: Heading,
    surroundings: Surroundings,
) -> SignalCheck:
    _refuse_unjoined(interconnect, heading.at)
    rows = [row for one in measured for row in judged_rows(one, limits)]
    outcome = outcome_in_place(
        interconnect,
        heading.at,
        rows,
        {(one.end, one.stage) for one in measured if one.readings or one.taken is not None},
        loads_joined=surroundings.loads_joined,
        loads_missing=surroundings.loads_missing,
        parts_changed=surroundings.parts_changed,
    )
    check: SignalCheck = SignalCheck.objects.create(
        interconnect=interconnect, result=RESULTS[outcome.verdict], **vars(surroundings), **heading.fields()
    )
    for row in rows:
        row.check_made = check
    SignalReading.objects.bulk_create(rows)
    _write(check, outcome, heading)
    tell_facts_changed(interconnects=[interconnect.pk])
    for one in measured:
        if one.taken is not None:
            store_capture(check, one)
    return check


def _write(check: SignalCheck, outcome: Outcome, heading: Heading) -> None:
    why = f" {outcome.reasons[0]}" if outcome.reasons else ""
    sentence = (
        f"{check.done_by} and {check.second_person} checked the signal of link {check.interconnect.code}. "
        f"Result: {check.result}.{why}"
    )
    details = {"result": str(check.result), "reasons": list(outcome.reasons)}
    write_record_line(check, check.interconnect, heading, act="signal check", sentence=sentence, **details)
