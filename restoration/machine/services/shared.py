"""Writing down what slots and racks share: rails and earths."""

from collections.abc import Iterable, Sequence

from django.db import transaction

from restoration.logbook.services import write_line
from restoration.machine.models import Earth, Rack, Rail, Slot
from restoration.machine.services.saving import checked, stored, who
from restoration.people.models import Person


@transaction.atomic
def add_rail(*, code: str, kind: str, by: Person | None, function: str = "", slots: Iterable[Slot] = ()) -> Rail:
    """Put a supply line on the list, and say which slots hang on it."""
    taken = {"code": f"There is a rail {code} already; the code of a rail is used once."}
    rail = stored(Rail(code=code, kind=kind, function=function), taken=taken)
    rail.slots.set(on_it := list(slots))
    sentence = f"{who(by)} put rail {code} on the list, {rail.get_kind_display()}, {_for(on_it, 'slot')}."
    write_line(act="rail added", sentence=sentence, by=by, subject_kind="rail", subject_code=code)
    return rail


@transaction.atomic
def edit_rail(*, rail: Rail, kind: str, function: str, slots: Iterable[Slot], by: Person | None) -> Rail:
    """Say anew what a rail carries and which slots hang on it."""
    before = {"kind": rail.kind, "function": rail.function, "slots": _codes(rail.slots.order_by("code"))}
    rail.kind, rail.function = kind, function
    checked(rail).save(update_fields=["kind", "function"])
    rail.slots.set(on_it := list(slots))
    what = f"what rail {rail.code} is, {_for(on_it, 'slot')}{_moved(before['slots'], on_it)}"
    write_line(
        act="rail edited",
        sentence=f"{who(by)} wrote anew {what}.",
        by=by,
        subject_kind="rail",
        subject_code=rail.code,
        details={"before": before},
    )
    return rail


@transaction.atomic
def add_earth(*, code: str, by: Person | None, function: str = "", racks: Iterable[Rack] = ()) -> Earth:
    """Put an earth bar or screen bond on the list, and say which racks share it."""
    taken = {"code": f"There is an earth {code} already; the code of an earth is used once."}
    earth = stored(Earth(code=code, function=function), taken=taken)
    earth.racks.set(on_it := list(racks))
    sentence = f"{who(by)} put earth {code} on the list, {_for(on_it, 'rack')}."
    write_line(act="earth added", sentence=sentence, by=by, subject_kind="earth", subject_code=code)
    return earth


@transaction.atomic
def edit_earth(*, earth: Earth, function: str, racks: Iterable[Rack], by: Person | None) -> Earth:
    """Say anew what an earth is for and which racks share it."""
    before = {"function": earth.function, "racks": _codes(earth.racks.order_by("code"))}
    earth.function = function
    checked(earth).save(update_fields=["function"])
    earth.racks.set(on_it := list(racks))
    what = f"what earth {earth.code} is, {_for(on_it, 'rack')}{_moved(before['racks'], on_it)}"
    write_line(
        act="earth edited",
        sentence=f"{who(by)} wrote anew {what}.",
        by=by,
        subject_kind="earth",
        subject_code=earth.code,
        details={"before": before},
    )
    return earth


def _codes(places: Iterable[Slot | Rack]) -> list[str]:
    return [place.code for place in places]


def _for(places: list[Slot] | list[Rack], what: str) -> str:
    return f"for {len(places)} {what}{'' if len(places) == 1 else 's'}"


def _moved(before: Sequence[str], places: list[Slot] | list[Rack]) -> str:
    """Name what came to it and what left it."""
    now = _codes(places)
    came, left = ([code for code in some if code not in others] for some, others in ((now, before), (before, now)))
    added = f"; added {', '.join(came)}" if came else ""
    return added + (f"; taken off {', '.join(left)}" if left else "")
