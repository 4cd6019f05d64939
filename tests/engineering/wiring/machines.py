"""Machines for tests: every odd thing that wiring can do, and large ones with the spread of real gate-level sets."""

from hypothesis import strategies as st

from restoration.engineering.wiring import Start
from tests.engineering.wiring.reference import Machine


@st.composite
def machines(draw: st.DrawFn) -> Machine:
    """Loops, parallel links, links back into their slot, islands, several sources on a load, daisy chains, stages."""
    slots = draw(st.integers(1, 7))
    terminal_slot = list(range(slots)) + draw(st.lists(st.integers(0, slots - 1), max_size=12))
    end = st.integers(0, len(terminal_slot) - 1)
    links = draw(st.lists(st.tuples(end, end), max_size=18))
    links += draw(st.lists(st.sampled_from(links), max_size=3)) if links else []
    stages = draw(st.lists(st.tuples(st.integers(0, slots - 1), st.booleans()), max_size=6))
    ports = []
    for stage, (slot, _) in enumerate(stages):
        here = [terminal for terminal, at in enumerate(terminal_slot) if at == slot]
        port = st.tuples(st.just(stage), st.sampled_from(here), st.booleans())
        ports += draw(st.lists(port, max_size=4))
    return Machine(slots, terminal_slot, [a for a, _ in links], [b for _, b in links], stages, ports)


def starts(machine: Machine) -> list[Start]:
    """Every place of a machine that a walk can begin at."""
    wiring = machine.wiring()
    return [
        *map(wiring.at_slot, range(machine.slots)),
        *map(wiring.at_terminal, range(len(machine.terminal_slot))),
        *map(wiring.at_link, range(len(machine.source))),
        *map(wiring.at_stage, range(wiring.stage_count)),
    ]


@st.composite
def walks(draw: st.DrawFn) -> tuple[Machine, Start, bool, int | None, bool]:
    """A machine, a start in it, and which way, how far, and whether barriers stop the walk."""
    machine = draw(machines())
    hops = draw(st.one_of(st.none(), st.integers(0, 5), st.sampled_from([33, 100])))
    return machine, draw(st.sampled_from(starts(machine))), draw(st.booleans()), hops, draw(st.booleans())
