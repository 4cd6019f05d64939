"""Enters what drawings say of terminals, what the wires are, and what the drawers hold."""

from restoration.kestrel.coil_table import COILS
from restoration.kestrel.ends_table import WIRES, ends_of
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.stores_table import parts
from restoration.machine.models import Basis, Design
from restoration.machine.services.ends import EndGiven, set_terminal_figures
from restoration.machine.services.wire_kinds import WireGiven, add_wire_kind
from restoration.people.models import Person
from restoration.workshop.services import PartGiven, RecipeGiven, add_recipe, add_to_stores


def load_ends_and_wires(by: Person) -> None:
    """Enter every terminal of every drawing, and both kinds of wire, through the services people use."""
    designs = {design.number: design for design in Design.objects.all()}
    for plan in machine_plan().designs:
        rows = [
            EndGiven(**vars(end), basis=Basis.DRAWING if end.drive_ohm is None else Basis.RECKONED)
            for end in ends_of(plan)
        ]
        set_terminal_figures(design=designs[plan.number], rows=rows, by=by)
    for wire in WIRES:
        given = WireGiven(wire.form, wire.conductor_m, wire.spacing_m, wire.permittivity, wire.remarks)
        add_wire_kind(name=wire.name, given=given, by=by)


def load_stores(by: Person) -> None:
    """Enter what lies in the drawers."""
    for part in parts():
        drawer = part.drawer
        given = PartGiven(
            kind=drawer.kind,
            value=part.value,
            tolerance=drawer.tolerance,
            rating_w=drawer.rating_w,
            rating_v=drawer.rating_v,
            quantity=part.quantity,
            grade=drawer.grade,
            make=drawer.make,
            place=f"drawer {drawer.place}",
            remarks=drawer.remarks,
        )
        add_to_stores(part=given, by=by)


def load_coils(by: Person) -> None:
    """Enter how the coils are wound."""
    designs = {design.number: design for design in Design.objects.all()}
    for coil in COILS:
        told = {name: value for name, value in vars(coil).items() if name not in ("code", "designs")}
        given = RecipeGiven(**told)
        add_recipe(code=coil.code, given=given, by=by, designs=[designs[number] for number in coil.designs])
