"""Places as people name them: a slot by its code, a terminal as slot:terminal, an interconnect by its code."""

from dataclasses import dataclass

from django.db.models import Q

from restoration.common.text import can_be_stored
from restoration.machine.models import Interconnect, Slot, Terminal
from restoration.machine.services.saving import refuse

NAMED = 6  # terminals of a slot that a refusal names


@dataclass(frozen=True)
class Place:
    """Where following a signal begins: a slot, one terminal of it, or an interconnect (row ids)."""

    text: str
    slot: int = 0
    terminal: int | None = None
    link: int | None = None


def find_place(text: str) -> Place:
    """Find the slot of this code, else the terminal of this name; refuse, in a sentence, what names neither.

    Codes may hold colons, so that a name may be read in several ways; the one counts of which both parts exist.
    """
    if not can_be_stored(text):
        raise refuse(_no_slot(text))
    slot = Slot.objects.filter(code=text).values_list("pk", flat=True).first()
    if slot is not None:
        return Place(text, slot=slot)
    found = list(_terminals(text))
    if len(found) > 1:
        ways = " and ".join(f"terminal {terminal.code} of slot {terminal.slot.code}" for terminal in found)
        raise refuse(f"“{text}” names {ways}; give the slot alone.")
    if not found:
        raise refuse(_unknown(text))
    return Place(text, slot=found[0].slot_id, terminal=found[0].pk)


def place_of_link(code: str) -> Place:
    """Find the interconnect of this code; refuse, in a sentence, one that is not on the wire list."""
    links = Interconnect.objects.filter(code=code) if can_be_stored(code) else Interconnect.objects.none()
    link = links.values_list("pk", flat=True).first()
    if link is None:
        raise refuse(f"There is no link “{code}” on the wire list; give the code of a link as it is listed.")
    return Place(code, link=link)


def _splits(text: str) -> list[tuple[str, str]]:
    """Every way to read a name as slot:terminal."""
    colons = [at for at, sign in enumerate(text) if sign == ":"]
    return [(text[:at], text[at + 1 :]) for at in colons if text[:at] and text[at + 1 :]]


def _terminals(text: str) -> list[Terminal]:
    either = Q(pk=None)
    for slot, terminal in _splits(text):
        either |= Q(slot__code=slot, code=terminal)
    return list(Terminal.objects.filter(either).select_related("slot").order_by("slot__code"))


def _unknown(text: str) -> str:
    for slot, terminal in _splits(text):
        known = Terminal.objects.filter(slot__code=slot).order_by("code").values_list("code", flat=True)
        if known or Slot.objects.filter(code=slot).exists():
            return f"Slot {slot} has no terminal “{terminal}”; {_those(list(known))}."
    return _no_slot(text)


def _no_slot(text: str) -> str:
    return f"There is no slot “{text}”; give a slot by its code, or a terminal as slot:terminal."


def _those(codes: list[str]) -> str:
    if not codes:
        return "none of it is named yet"
    more = f" and {len(codes) - NAMED} more" if len(codes) > NAMED else ""
    return f"it has {', '.join(codes[:NAMED])}{more}"
