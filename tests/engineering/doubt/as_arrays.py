"""A drawn machine as the arrays that the wiring graph is built of."""

from restoration.engineering.wiring import Wiring, build_wiring
from tests.engineering.doubt.drawn import Drawing, slot_of


def wiring_of(drawing: Drawing) -> Wiring:
    """Build the graph; slots and links stand in it in the order in which they are drawn."""
    slots = {slot: place for place, slot in enumerate(drawing.slots)}
    stages, ports = [], []
    for slot, number in drawing.slots_of_design.items():
        for stage in drawing.designs.get(number, ()):
            ports += [(len(stages), f"{slot}:{mark}", False) for mark in stage.into]
            ports += [(len(stages), f"{slot}:{mark}", True) for mark in stage.out_of]
            stages.append((slots[slot], stage.is_barrier))
    ends = [end for wire in drawing.wires for end in (wire.source, wire.load)] + [name for _, name, _ in ports]
    terminals = {name: place for place, name in enumerate(dict.fromkeys(ends))}
    return build_wiring(
        slot_count=len(slots),
        terminal_slot=[slots[slot_of(name)] for name in terminals],
        source=[terminals[wire.source] for wire in drawing.wires],
        load=[terminals[wire.load] for wire in drawing.wires],
        stage_slot=[slot for slot, _ in stages],
        stage_barrier=[is_barrier for _, is_barrier in stages],
        port_stage=[stage for stage, _, _ in ports],
        port_terminal=[terminals[name] for _, name, _ in ports],
        port_is_out=[is_out for _, _, is_out in ports],
    )
