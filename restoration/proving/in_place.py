"""Whether a signal check could prove anything: a chassis at either end, and the load measured after the last change."""

from collections.abc import Collection, Iterable
from datetime import datetime

from restoration.engineering.check_result import Outcome, withheld
from restoration.machine.models import Fitting, Interconnect, Slot
from restoration.proving.measuring import outcome_of
from restoration.proving.models import SignalReading
from restoration.proving.models.signal_checks import End, Stage

Places = Collection[tuple[str, str]]
"""Which ends were measured, each with its stage."""

CHANGED_SINCE = "A part was changed and the load end was not measured after it."


def empty_slots(interconnect: Interconnect, at: datetime) -> list[Slot]:
    """List the slots at the ends of a link in which no chassis was fitted at a moment."""
    ends = {slot.pk: slot for slot in (interconnect.source.slot, interconnect.load.slot)}
    fitted = set(Fitting.objects.standing_at(at).filter(slot__in=ends).values_list("slot_id", flat=True))
    return [slot for key, slot in ends.items() if key not in fitted]


def nothing_proved_yet(slots: Iterable[Slot]) -> list[str]:
    """Say of each empty slot why a signal cannot be proved there."""
    return [f"No chassis is fitted in slot {slot.code}, so nothing is proved yet." for slot in slots]


def outcome_in_place(
    interconnect: Interconnect,
    at: datetime,
    readings: Iterable[SignalReading],
    places: Places,
    *,
    loads_joined: bool,
    loads_missing: str,
    parts_changed: str,
) -> Outcome:
    """Judge a check by its figures, unless an empty slot, or a change not measured after, leaves nothing to judge."""
    outcome = outcome_of(readings, loads_joined=loads_joined, loads_missing=loads_missing)
    reasons = nothing_proved_yet(empty_slots(interconnect, at))
    was_changed = bool(parts_changed.strip()) or any(stage == Stage.LEFT for _, stage in places)
    if was_changed and (End.LOAD, Stage.LEFT) not in places:
        reasons.append(CHANGED_SINCE)
    return withheld(outcome, reasons)
