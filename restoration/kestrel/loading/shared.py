"""Enters what drawings say of the inside of chassis, what racks share, and the functional parts."""

from restoration.commissioning.services.groups import GroupGiven, add_group
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.shared_table import earths, groups, rails
from restoration.kestrel.stage_table import stages_of
from restoration.machine.models import Design, Rack, Slot
from restoration.machine.services.shared import add_earth, add_rail
from restoration.machine.services.stages import StageGiven, set_stages
from restoration.people.models import Person


def load_inside_and_shared(by: Person) -> None:
    """Enter stages, rails, earths and groups, through the services people use."""
    designs = {design.number: design for design in Design.objects.all()}
    for plan in machine_plan().designs:
        if stages := stages_of(plan):
            given = [StageGiven(s.name, s.is_barrier, s.parts, s.inputs, s.outputs) for s in stages]
            set_stages(design=designs[plan.number], stages=given, by=by)
    slots = list(Slot.objects.select_related("rack"))
    racks = {rack.code: rack for rack in Rack.objects.all()}
    for rail in rails():
        on_it = [slot for slot in slots if slot.rack is not None and slot.rack.code in rail.racks]
        add_rail(code=rail.code, kind=rail.kind, function=rail.function, slots=on_it, by=by)
    for earth in earths():
        add_earth(code=earth.code, function=earth.function, racks=[racks[code] for code in earth.racks], by=by)
    for position, group in enumerate(groups(), start=1):
        members = [slot for slot in slots if slot.code in group.slots]
        given_group = GroupGiven(group.name, pass_test=group.pass_test, position=position, slots=members)
        add_group(code=group.code, given=given_group, by=by)
