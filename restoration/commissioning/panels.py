"""What commissioning shows on the machine's pages: gates, readiness, and the way in and out of a slot."""

from collections.abc import Sequence

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from restoration.commissioning.readiness import Meant, chassis_meant_for, readiness_of, sentence, standing_at_slots
from restoration.commissioning.reading import standings_of
from restoration.common.panels import add_panel
from restoration.engineering.readiness import GateCount, RackReadiness
from restoration.machine.marks import GateMark, Marks, SlotFront, set_fronts_source, set_marks_source
from restoration.machine.models import Chassis, Interconnect, Rack, Slot


def marks(chassis_ids: Sequence[int], interconnect_ids: Sequence[int]) -> Marks:
    """Give the machine's pages their gate marks, in two reads."""
    return Marks(
        chassis=_gate_marks("chassis", chassis_ids), interconnects=_gate_marks("interconnect", interconnect_ids)
    )


def _gate_marks(kind: str, ids: Sequence[int]) -> dict[int, list[GateMark]]:
    if not ids:
        return {}
    return {
        pk: [GateMark(standing.gate, standing.state.value, standing.reasons) for standing in standings]
        for pk, standings in standings_of(kind, ids).items()
    }


def fronts(slot_ids: Sequence[int]) -> dict[int, SlotFront]:
    """Say of each slot which chassis is on its way to it, and how the wires at it stand."""
    slots = list(Slot.objects.from_the_top())
    meant = chassis_meant_for(slots)
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
    gates = [GateMark(standing.gate, standing.state.value, standing.reasons) for standing in unit.standings]
    return SlotFront(unit.serial, gates, at_wires)


def rack_lead(request: HttpRequest, rack: Rack) -> SafeString:
    """The sentence that answers "is this rack ready?"."""
    answer = _answer(request, rack)
    return render_to_string("commissioning/_rack_lead.html", {"sentence": sentence(answer)}, request)


def rack_panel(request: HttpRequest, rack: Rack) -> SafeString:
    """Gates of the rack and the nearest things that hold it."""
    return render_to_string("commissioning/_rack.html", {"rack": rack, "answer": _answer(request, rack)}, request)


def _answer(request: HttpRequest, rack: Rack) -> RackReadiness:
    """Work a rack out once for the two panels of one page."""
    worked_out = request.__dict__.setdefault("_readiness", {})
    if rack.pk not in worked_out:
        worked_out[rack.pk] = readiness_of([rack])[0]
    return worked_out[rack.pk]


def chassis_gates(request: HttpRequest, chassis: Chassis) -> SafeString:
    """Every gate of a chassis, with its reasons."""
    return _gates(request, standings_of("chassis", [chassis.pk])[chassis.pk])


def interconnect_gates(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """Every gate of an interconnect, with its reasons."""
    return _gates(request, standings_of("interconnect", [interconnect.pk])[interconnect.pk])


def _gates(request: HttpRequest, standings: object) -> SafeString:
    return render_to_string("commissioning/_gates.html", {"standings": standings}, request)


def slot_actions(request: HttpRequest, slot: Slot) -> SafeString:
    """Fit, or withdraw: whichever can be done to this slot now."""
    context = {"slot": slot, "fitted": slot.fittings.standing().exists()}
    return render_to_string("commissioning/_slot_actions.html", context, request)


def register() -> None:
    """Put each panel in its place."""
    set_marks_source(marks)
    set_fronts_source(fronts)
    add_panel("rack-lead", order=10, name="readiness", render=rack_lead)
    add_panel("rack", order=10, name="readiness", render=rack_panel)
    add_panel("chassis", order=10, name="gates", render=chassis_gates)
    add_panel("interconnect", order=10, name="gates", render=interconnect_gates)
    add_panel("slot-actions", order=10, name="fit and withdraw", render=slot_actions)
