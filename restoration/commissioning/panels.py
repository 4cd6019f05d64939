"""What commissioning shows on the machine's pages: gates, readiness, and the way in and out of a slot."""

from collections.abc import Iterable, Sequence
from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from restoration.commissioning.gates import CHASSIS_GATES, RECORDED_OF
from restoration.commissioning.groups import groups_of
from restoration.commissioning.models import Group
from restoration.commissioning.readiness import Meant, chassis_meant_for, readiness_of, sentence, standing_at_slots
from restoration.commissioning.reading import not_done, recorded_states, standings_of
from restoration.commissioning.signing.rows import gate_rows
from restoration.commissioning.unlocking import what_opens_most
from restoration.common.panels import add_panel
from restoration.engineering.readiness import GateCount, RackReadiness
from restoration.engineering.standing import Standing, State
from restoration.machine.marks import (
    GateMark,
    Marks,
    SlotFront,
    one_mark,
    set_fronts_source,
    set_marks_source,
    set_recorded_marks_source,
)
from restoration.machine.models import Chassis, Interconnect, Rack, Slot
from restoration.people.access import who


def marks(chassis_ids: Sequence[int], interconnect_ids: Sequence[int]) -> Marks:
    """Give the machine's pages their gate marks, in two reads."""
    return Marks(
        chassis=_gate_marks("chassis", chassis_ids), interconnects=_gate_marks("interconnect", interconnect_ids)
    )


def _gate_marks(kind: str, ids: Sequence[int]) -> dict[int, list[GateMark]]:
    if not ids:
        return {}
    few = fewer_marks if kind == "chassis" else each_mark
    return {pk: few(standings) for pk, standings in standings_of(kind, ids).items()}


def recorded_marks(chassis_ids: Sequence[int], interconnect_ids: Sequence[int]) -> Marks:
    """Give the machine's drawings the marks of gates with records, in two reads."""
    chassis = {pk: _fewer(marks) for pk, marks in _recorded("chassis", chassis_ids).items()}
    return Marks(chassis, _recorded("interconnect", interconnect_ids))


def _recorded(kind: str, ids: Sequence[int]) -> dict[int, list[GateMark]]:
    states = recorded_states(kind, ids)
    gates = RECORDED_OF[kind]
    return {pk: [GateMark(gate, states.get((pk, gate), State.NOT_DONE.value)) for gate in gates] for pk in ids}


def each_mark(standings: Iterable[Standing]) -> list[GateMark]:
    """One mark a gate."""
    return [GateMark(standing.gate, standing.state.value, standing.reasons) for standing in standings]


def fewer_marks(standings: Iterable[Standing]) -> list[GateMark]:
    """The marks of a chassis in a list: its way to the rack as one, then each gate that is passed in its slot."""
    return _fewer(each_mark(standings))


def _fewer(marks: list[GateMark]) -> list[GateMark]:
    in_slot = CHASSIS_GATES.index("fitted")
    way = one_mark(marks[:in_slot])
    reasons = tuple(reason for mark in marks[:in_slot] if mark.standing == way for reason in mark.reasons)
    return [GateMark(f"up to {marks[in_slot - 1].gate}", way, reasons), *marks[in_slot:]]


def fronts(slot_ids: Sequence[int]) -> dict[int, SlotFront]:
    """Say of each slot which chassis is on its way to it, and how the wires at it stand."""
    meant = chassis_meant_for(list(Slot.objects.filter(pk__in=slot_ids)))
    fitted = set(
        Slot.objects.filter(pk__in=slot_ids, fittings__removed_at=None, fittings__isnull=False).values_list(
            "pk", flat=True
        )
    )
    wires = standing_at_slots(slot_ids)
    return {pk: _front(None if pk in fitted else meant.get(pk), wires[pk]) for pk in slot_ids}


def _front(unit: Meant | None, wires: Sequence[GateCount]) -> SlotFront:
    at_wires = [
        GateMark(count.gate, count.state.value, (f"{count.good} of {count.total}",)) for count in wires if count.total
    ]
    if unit is None:
        return SlotFront(wires=at_wires)
    standings = [*unit.standings, not_done("proved in place")]
    return SlotFront(unit.serial, fewer_marks(standings), at_wires)


def rack_lead(request: HttpRequest, rack: Rack) -> SafeString:
    """The sentence that answers "is this rack ready?"."""
    answer = _answer(request, rack)
    return render_to_string("commissioning/_rack_lead.html", {"sentence": sentence(answer)}, request)


def rack_panel(request: HttpRequest, rack: Rack) -> SafeString:
    """Gates of the rack and the nearest things that hold it."""
    answer = _answer(request, rack)
    context = {"rack": rack, "answer": answer, "rows": gate_rows(who(request), "rack", rack, answer.own)}
    return render_to_string("commissioning/_rack.html", context, request)


def rack_unlock(request: HttpRequest, rack: Rack) -> SafeString:
    """What one thing would open most for the links of a rack."""
    context = {"rack": rack, "openers": what_opens_most(rack, shown=3)}
    return render_to_string("commissioning/_rack_unlock.html", context, request)


def _answer(request: HttpRequest, rack: Rack) -> RackReadiness:
    """Work a rack out once for the two panels of one page."""
    worked_out = request.__dict__.setdefault("_readiness", {})
    if rack.pk not in worked_out:
        worked_out[rack.pk] = readiness_of([rack])[0]
    return worked_out[rack.pk]


def chassis_gates(request: HttpRequest, chassis: Chassis) -> SafeString:
    """Every gate of a chassis, with its reasons, and where it is signed for."""
    return _gates(request, "chassis", chassis)


def interconnect_gates(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """Every gate of an interconnect, with its reasons."""
    return _gates(request, "interconnect", interconnect)


def _gates(request: HttpRequest, kind: str, item: Any) -> SafeString:
    rows = gate_rows(who(request), kind, item, standings_of(kind, [item.pk])[item.pk])
    return render_to_string("commissioning/_gates.html", {"rows": rows}, request)


def groups_of_slot(request: HttpRequest, slot: Slot) -> SafeString:
    """The groups a slot is a member of."""
    return _groups(request, groups_of(slot_ids=[slot.pk]))


def groups_of_link(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """The groups a link belongs to."""
    return _groups(request, groups_of(link_ids=[interconnect.pk]))


def _groups(request: HttpRequest, groups: list[Group]) -> SafeString:
    standings = standings_of("group", [group.pk for group in groups]) if groups else {}
    rows = [(group, each_mark(standings[group.pk])) for group in groups]
    return render_to_string("commissioning/_groups.html", {"rows": rows}, request) if rows else SafeString("")


def slot_actions(request: HttpRequest, slot: Slot) -> SafeString:
    """Fit, or withdraw: whichever can be done to this slot now."""
    context = {"slot": slot, "fitted": slot.fittings.standing().exists()}
    return render_to_string("commissioning/_slot_actions.html", context, request)


def register() -> None:
    """Put each panel in its place."""
    set_marks_source(marks)
    set_recorded_marks_source(recorded_marks)
    set_fronts_source(fronts)
    add_panel("rack-lead", order=10, name="readiness", render=rack_lead)
    add_panel("rack", order=10, name="readiness", render=rack_panel)
    add_panel("rack", order=15, name="unlock", render=rack_unlock)
    add_panel("chassis", order=10, name="gates", render=chassis_gates)
    add_panel("interconnect", order=10, name="gates", render=interconnect_gates)
    add_panel("slot", order=40, name="groups", render=groups_of_slot)
    add_panel("interconnect", order=60, name="groups", render=groups_of_link)
    add_panel("slot-actions", order=10, name="fit and withdraw", render=slot_actions)
