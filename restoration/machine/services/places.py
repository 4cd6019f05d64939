"""Writing down racks, slots and terminals."""

from django.db import transaction

from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Design, Rack, Slot, Terminal
from restoration.machine.services.saving import checked, stored, who
from restoration.people.models import Person


def _rack_taken(code: str) -> dict[str, str]:
    return {"code": f"There is a rack {code} already; the code of a rack is used once."}


def _slot_taken(code: str) -> dict[str, str]:
    return {"code": f"There is a slot {code} already; the code of a slot is used once on the machine."}


@transaction.atomic
def add_rack(*, code: str, by: Person | None, function: str = "", position: int = 0) -> Rack:
    """Put a frame on the list of racks."""
    rack = stored(Rack(code=code, function=function, position=position), taken=_rack_taken(code))
    sentence = f"{who(by)} put rack {code} on the list{_called(function)}."
    write_line(act="rack added", sentence=sentence, by=by, subject_kind="rack", subject_code=code)
    return rack


@transaction.atomic
def edit_rack(*, rack: Rack, function: str, position: int, by: Person | None) -> Rack:
    """Say anew what a rack is for and where it stands in the row."""
    before = {"function": rack.function, "position": rack.position}
    rack.function, rack.position = function, position
    checked(rack).save(update_fields=["function", "position"])
    write_line(
        act="rack edited",
        sentence=f"{who(by)} wrote anew what rack {rack.code} is{_called(function)}.",
        by=by,
        subject_kind="rack",
        subject_code=rack.code,
        details={"before": before},
    )
    return rack


@transaction.atomic
def add_slot(
    *,
    code: str,
    by: Person | None,
    rack: Rack | None = None,
    position: int = 0,
    function: str = "",
    design: Design | None = None,
) -> Slot:
    """Put a place for a chassis on the list of slots."""
    row = Slot(code=code, rack=rack, position=position, function=function, design=design)
    slot = stored(row, taken=_slot_taken(code))
    where = f" in rack {rack.code}" if rack else ""
    sentence = f"{who(by)} put slot {code}{where} on the list{_called(function)}."
    write_line(act="slot added", sentence=sentence, by=by, subject_kind="slot", subject_code=code)
    return slot


@transaction.atomic
def edit_slot(
    *, slot: Slot, rack: Rack | None, position: int, function: str, design: Design | None, by: Person | None
) -> Slot:
    """Say anew where a slot is, what it does and which design goes into it."""
    before = {"rack": slot.rack.code if slot.rack else "", "design": slot.design.number if slot.design else ""}
    slot.rack, slot.position, slot.function, slot.design = rack, position, function, design
    checked(slot).save(update_fields=["rack", "position", "function", "design"])
    write_line(
        act="slot edited",
        sentence=f"{who(by)} wrote anew what slot {slot.code} is{_called(function)}.",
        by=by,
        subject_kind="slot",
        subject_code=slot.code,
        details={"before": before},
    )
    tell_facts_changed(chassis=slot.fittings.standing().values_list("chassis", flat=True))
    return slot


@transaction.atomic
def add_terminal(*, slot: Slot, code: str, by: Person | None) -> Terminal:
    """Name one more joining point of a slot."""
    terminal = stored(Terminal(slot=slot, code=code))
    sentence = f"{who(by)} named terminal {code} of slot {slot.code}."
    write_line(act="terminal added", sentence=sentence, by=by, subject_kind="slot", subject_code=slot.code)
    return terminal


def _called(function: str) -> str:
    return f", {function}" if function else ""
