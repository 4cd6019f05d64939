"""What a change must say before it can be recorded, by its kind."""

from collections.abc import Iterator
from datetime import datetime

from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.commissioning.changing.touched import UNITS, Touched
from restoration.engineering.doubt import Kind

LONGEST = 120
UNIT_WANTED = ("chassis", "Say which chassis, or the slot that it is in.")
LINK_WANTED = ("interconnect", "Say which link.")
ISSUE_WANTED = ("issue", "Say which issue of the drawing.")
WANTED: dict[Kind, tuple[str, str]] = {
    Kind.LIKE_VALVE: UNIT_WANTED,
    Kind.LIKE_PART: UNIT_WANTED,
    Kind.OTHER_PART: UNIT_WANTED,
    Kind.REMADE: LINK_WANTED,
    Kind.LOAD: LINK_WANTED,
    Kind.CONDITIONED: LINK_WANTED,
    Kind.RAIL: ("rail", "Say which rail."),
    Kind.EARTH: ("earth", "Say which earth."),
    Kind.DRAWING_AS_BUILT: ISSUE_WANTED,
    Kind.DRAWING_FUNCTION: ISSUE_WANTED,
    Kind.INSTRUMENT: ("instrument", "Say which instrument."),
    Kind.REST: ("racks", "There is no rack yet that could have rested."),
}
PART_WANTED: dict[Kind, str] = {
    Kind.LIKE_VALVE: "Say which valve, such as V3.",
    Kind.LIKE_PART: "Say which part, such as R12.",
    Kind.OTHER_PART: "Say which valve or part, such as R12.",
    Kind.LOAD: "Say what the load is, such as a dummy load of 10 kΩ.",
    Kind.CONDITIONED: "Say what it is: an attenuator, a terminator, or another part.",
    Kind.RAIL: "Say what of the rail was changed: its setting, a supply part, its decoupling.",
    Kind.EARTH: "Say what was done to the earth or screen.",
}
SINCE_WANTED: dict[Kind, str] = {
    Kind.INSTRUMENT: "Give the day on which the instrument was last known to be good.",
    Kind.REST: "Give the day on which the rest began.",
}


def refuse_touched(kind: Kind, touched: Touched, at: datetime) -> None:
    """Refuse a change that does not say enough, or says what cannot be; a sentence for each field."""
    problems: dict[str, str] = {}
    for field, sentence in _problems(kind, touched, at):
        problems.setdefault(field, sentence)
    if problems:
        raise ValidationError(problems)


def _problems(kind: Kind, touched: Touched, at: datetime) -> Iterator[tuple[str, str]]:
    yield from _missing(kind, touched)
    yield from _stage_problems(touched)
    for field in ("part", "was", "now"):
        if len(getattr(touched, field)) > LONGEST:
            yield field, f"Say it in {LONGEST} letters at most; there is room for more under why."
    if kind is Kind.OTHER_PART and touched.now and touched.was == touched.now:
        yield "now", f"It was {touched.was} and is {touched.now}: that is a part replaced by one like it."
    if kind is Kind.CONDITIONED and not (touched.was or touched.now):
        yield "now", "Say what it is now; or, if it was taken off, what it was."
    if kind is Kind.LOAD and touched.now not in ("added", "lifted"):
        yield "now", "Say whether the load was added or lifted."
    if touched.since is not None and touched.since > at:
        since, when = (f"{timezone.localtime(moment):%d %b %Y}" for moment in (touched.since, at))
        yield "since", f"{since} is later than the change itself, which was on {when}."


def _missing(kind: Kind, touched: Touched) -> Iterator[tuple[str, str]]:
    field, sentence = WANTED.get(kind, ("", ""))
    is_named = bool(touched.chassis or touched.slot) if kind in UNITS else field and getattr(touched, field)
    if field and not is_named:
        yield field, sentence
    if kind is Kind.KNOCK and not (touched.slot or touched.racks):
        yield "racks", "Say which racks, or which slot."
    if kind in PART_WANTED and not touched.part:
        yield "part", PART_WANTED[kind]
    if kind is Kind.OTHER_PART and not touched.now:
        yield "now", "Say what it is now: its value or type."
    if kind in SINCE_WANTED and touched.since is None:
        yield "since", SINCE_WANTED[kind]


def _stage_problems(touched: Touched) -> Iterator[tuple[str, str]]:
    stage, slot, chassis = touched.stage, touched.slot, touched.chassis
    designs = {thing.design_id for thing in (slot, chassis) if thing is not None}
    if stage is not None and stage.design_id not in designs:
        yield "stage", f"Stage {stage.name} is of another design than this chassis."
