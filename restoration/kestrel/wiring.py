"""The wire list: every source joined to the loads that take its signal."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations, cycle

from restoration.kestrel.plan_records import InterconnectPlan, SlotPlan, TerminalPlan
from restoration.kestrel.signal_kinds import KINDS

# How many loads one wire calls at before a new wire starts from the source.
LOADS_A_WIRE = (1, 2, 1, 1, 3, 1, 1, 1, 4, 1, 2, 1, 1, 1, 5, 1)
ROVING_LOADS = 3

RACK_LETTERS = "ABCDEFGHJ"
RACK_PITCH_M = 0.62
SLOT_PITCH_M = 0.17
ENDS_M = 0.35
SCREENED_FROM_M, ALL_SCREENED_FROM_M = 3.0, 7.0  # what is critical, and all the others

# One line of the old wire list names a terminal that another line already uses.
TWICE_USED = ("F-07", "quadrant one", "F-09", "end carry")


def interconnects(
    terminals: tuple[TerminalPlan, ...], slots: tuple[SlotPlan, ...], kind_of: dict[str, str]
) -> tuple[InterconnectPlan, ...]:
    """Every line of the wire list, numbered from the first source on."""
    slot_of = {slot.code: slot for slot in slots}
    runs = [*_runs(terminals), _mistake(terminals)]
    runs.sort(key=lambda run: (run[0].slot, int(run[0].mark), run[1][0].slot))
    return tuple(
        _interconnect(f"{number:03d}", source, loads, kind_of[source.signal or ""], slot_of)
        for number, (source, loads) in enumerate(runs, start=1)
    )


Run = tuple[TerminalPlan, tuple[TerminalPlan, ...]]


def _runs(terminals: tuple[TerminalPlan, ...]) -> Iterator[Run]:
    sources, loads = _by_signal(terminals, "out"), _by_signal(terminals, "in")
    for signal, taking in loads.items():
        first, *others = sources[signal]
        # Further sources of a bus are joined to it at its first load.
        for other in others:
            yield other, taking[:1]
        yield from _wires(first, taking)


def _by_signal(terminals: tuple[TerminalPlan, ...], direction: str) -> dict[str, tuple[TerminalPlan, ...]]:
    found: dict[str, list[TerminalPlan]] = defaultdict(list)
    for terminal in terminals:
        if terminal.signal is not None and terminal.direction == direction:
            found[terminal.signal].append(terminal)
    return {signal: tuple(group) for signal, group in found.items()}


def _wires(source: TerminalPlan, loads: tuple[TerminalPlan, ...]) -> Iterator[Run]:
    """Share the loads out over wires; a wire of one or two calls stays in the rack it comes to."""
    counts = cycle(LOADS_A_WIRE)
    left = list(loads)
    while left:
        reach = next(counts)
        near = [load for load in left[:reach] if load.slot[0] == left[0].slot[0] or reach >= ROVING_LOADS]
        yield source, tuple(near)
        left = left[len(near) :]


def _mistake(terminals: tuple[TerminalPlan, ...]) -> Run:
    source_slot, source_signal, load_slot, load_signal = TWICE_USED
    (source,) = (t for t in terminals if (t.slot, t.signal) == (source_slot, source_signal))
    (load,) = (t for t in terminals if (t.slot, t.signal) == (load_slot, load_signal))
    return source, (load,)


def _interconnect(
    code: str, source: TerminalPlan, loads: tuple[TerminalPlan, ...], kind_name: str, slot_of: dict[str, SlotPlan]
) -> InterconnectPlan:
    kind = KINDS[kind_name]
    stops = [source, *loads]
    legs = [_leg_m(slot_of[here.slot], slot_of[there.slot]) for here, there in zip(stops, loads, strict=False)]
    length_m = round(sum(legs), 1)
    far = max(loads, key=lambda load: RACK_LETTERS.index(load.slot[0]))
    long_m = SCREENED_FROM_M if kind.critical else ALL_SCREENED_FROM_M
    screened = length_m >= long_m and source.slot[0] != far.slot[0]
    return InterconnectPlan(
        code=code,
        signal=source.signal or "",
        source=source.code,
        loads=tuple(load.code for load in loads),
        wire="screened, 75 ohm" if screened else "single, 1/0.6 tinned, PVC",
        colour=kind.colour,
        length_m=length_m,
        loom=_loom(source.slot[0], far.slot[0]),
        critical=kind.critical,
        source_design=slot_of[source.slot].design_number,
    )


def _leg_m(here: SlotPlan, there: SlotPlan) -> float:
    """Within a rack straight down its side; between racks up to the tray and down again."""
    apart = abs(RACK_LETTERS.index(here.rack) - RACK_LETTERS.index(there.rack))
    if not apart:
        return ENDS_M + SLOT_PITCH_M * abs(here.position - there.position)
    return ENDS_M + RACK_PITCH_M * apart + SLOT_PITCH_M * (here.position + there.position)


def _looms() -> dict[str, str]:
    pairs = [letter * 2 for letter in RACK_LETTERS] + ["".join(pair) for pair in combinations(RACK_LETTERS, 2)]
    return {pair: str(number) for number, pair in enumerate(pairs, start=1)}


LOOMS = _looms()


def _loom(one: str, other: str) -> str:
    return LOOMS["".join(sorted((one, other)))]
