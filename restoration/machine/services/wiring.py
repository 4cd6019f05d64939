"""Changing single interconnects by hand; a whole list comes in by `wire_list`."""

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from restoration.common.versions import EditedMeanwhile, save_version
from restoration.engineering.wire_list.codes import form_codes
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Interconnect, Signal, Slot, Terminal, WiringChange
from restoration.machine.services.saving import checked, refuse, stored, who
from restoration.people.models import Person

ENDS = frozenset({"source", "load"})
WIRE_FIELDS = frozenset({"wire", "length_m", "loom"})


@dataclass(frozen=True)
class End:
    """One end of a wire as it is painted: slot and terminal."""

    slot: str
    terminal: str


@transaction.atomic
def add_interconnect(
    *, source: End, load: End, signal: str = "", code: str = "", by: Person | None, **facts: Any
) -> Interconnect:
    """Put one wire on the wire list; its terminals are named if they were not yet."""
    code = code or _free_code(source, load)
    taken = {"code": f"There is a link {code} already; the code of a link is used once."}
    link = Interconnect(code=code, source=_terminal(source, "from_slot"), load=_terminal(load, "to_slot"), **facts)
    link.signal = _signal(signal)
    stored(link, taken=taken)
    sentence = f"{who(by)} put link {code} on the wire list, from {link.source} to {link.load}."
    _line("link added", sentence, link, by)
    tell_facts_changed(interconnects=sharing_a_source([link.source_id]))
    return link


@transaction.atomic
def edit_interconnect(
    *, interconnect: Interconnect, version: int, source: End, load: End, signal: str, by: Person | None, **facts: Any
) -> Interconnect:
    """Write an interconnect anew, keeping what it was; refused if someone else did so meanwhile."""
    link = interconnect
    fields = {
        "source": _terminal(source, "from_slot"),
        "load": _terminal(load, "to_slot"),
        "signal": _signal(signal),
        **facts,
    }
    before = {name: getattr(link, name) for name in fields}
    _refuse_nonsense(link, fields)
    save_version(link, version=version, **fields)
    changed = {name: [_said(before[name]), _said(now)] for name, now in fields.items() if before[name] != now}
    if changed:
        touches = touches_wire(changed)
        WiringChange.objects.create(interconnect=link, changed_by=by, fields=changed, touches_wire=touches)
    what = ", ".join(WORDS[name] for name in changed) or "nothing"
    sentence = f"{who(by)} changed link {link.code} on the wire list: {what}."
    _line("link changed", sentence, link, by, {"changed": changed})
    tell_facts_changed(interconnects={link.pk, *sharing_a_source([before["source"].pk, link.source_id])})
    return link


def _refuse_nonsense(link: Interconnect, fields: dict[str, Any]) -> None:
    """Check what the row would be before it is stored."""
    would_be = copy(link)
    for name, value in fields.items():
        setattr(would_be, name, value)
    checked(would_be)


WORDS = {
    "source": "source end",
    "load": "load end",
    "signal": "signal",
    "wire": "wire",
    "colour": "colour",
    "length_m": "length",
    "loom": "loom",
    "is_critical": "whether it is critical",
    "remarks": "remarks",
}


def touches_wire(changed: Mapping[str, Sequence[Any]]) -> bool:
    """Say whether a change is one of the wire itself, so that what was measured on it is in doubt.

    An end that moved always is. Another wire, length or loom is where both were known: a blank that is filled in, or
    emptied, is a correction of the paper.
    """
    if ENDS & changed.keys():
        return True
    blank = ("", None)
    return any(
        was not in blank and now not in blank for was, now in (changed[name] for name in WIRE_FIELDS & changed.keys())
    )


def sharing_a_source(terminal_ids: Iterable[int]) -> set[int]:
    """The links on these sources: a load more, or less, is felt by all of them."""
    return set(Interconnect.objects.filter(source__in=list(terminal_ids)).values_list("pk", flat=True))


def _said(value: Any) -> Any:
    return str(value) if isinstance(value, (Terminal, Signal)) else value


def _terminal(end: End, field: str) -> Terminal:
    slot = Slot.objects.filter(code=end.slot).first()
    if slot is None:
        raise refuse(f"There is no slot {end.slot}; add the slot first, or give one that is there.", field=field)
    found = Terminal.objects.filter(slot=slot, code=end.terminal).first()
    if found:
        return found
    return stored(Terminal(slot=slot, code=end.terminal))


def _signal(name: str) -> Signal | None:
    if not name:
        return None
    found = Signal.objects.filter(name=name).first()
    if found:
        return found
    return stored(Signal(name=name))


def _free_code(source: End, load: End) -> str:
    ends = (source.slot, source.terminal, load.slot, load.terminal)
    return form_codes([ends], set(Interconnect.objects.values_list("code", flat=True)))[0]


def _line(
    act: str, sentence: str, link: Interconnect, by: Person | None, details: dict[str, Any] | None = None
) -> None:
    write_line(act=act, sentence=sentence, by=by, subject_kind="link", subject_code=link.code, details=details)


__all__ = ["EditedMeanwhile", "End", "add_interconnect", "edit_interconnect", "sharing_a_source"]
