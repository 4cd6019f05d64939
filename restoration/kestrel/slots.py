"""Reads the table of slots and says which signal each terminal carries."""

from collections.abc import Iterator

from restoration.kestrel.plan_records import DesignPlan, PortPlan, RackPlan, SlotPlan, TerminalPlan
from restoration.kestrel.slot_table import SLOT_TABLE

DIGIT_TIMES = 24
WORD_GATES = 8
DIGITS_A_DECODER = 8


def racks() -> tuple[RackPlan, ...]:
    """Racks from left to right."""
    heads = [line for line in SLOT_TABLE.strip().splitlines() if not line.startswith(" ")]
    return tuple(RackPlan(head[0], head[2:], place) for place, head in enumerate(heads, start=1))


def slots(designs: tuple[DesignPlan, ...]) -> tuple[SlotPlan, ...]:
    """Slots in the order of racks and positions."""
    title_of = {design.number: design.title for design in designs}
    found: list[SlotPlan] = []
    rack, position = "", 0
    for line in SLOT_TABLE.strip().splitlines():
        if not line.startswith(" "):
            rack, position = line[0], 0
            continue
        position += 1
        number, *pairs = line.split()
        words = _words(rack, len(found), dict(pair.split("=") for pair in pairs))
        design = f"KS-{number}"
        function = _function(title_of[design], words)
        found.append(SlotPlan(f"{rack}-{position:02d}", rack, position, design, function, words))
    return tuple(found)


def _words(rack: str, index: int, given: dict[str, str]) -> dict[str, str]:
    """Rack, gate and turn-taking digit times and word gates, then what the table says."""
    words = {"r": rack, "g": "1"}
    words |= {f"t{turn}": str((index * 5 + turn * 7) % DIGIT_TIMES + 1) for turn in (1, 2, 3, 4, 5)}
    words |= {f"w{turn}": str((index * 3 + turn) % WORD_GATES + 1) for turn in (1, 2, 3)}
    words |= {key: value.replace("~", " ") for key, value in given.items()}
    first = (int(words.get("n", "1")) - 1) * DIGITS_A_DECODER
    return words | {f"d{step}": str(first + step) for step in range(1, DIGITS_A_DECODER + 1)}


def _function(title: str, words: dict[str, str]) -> str:
    own = words.get("c") or words.get("q") or words.get("n", "")
    return f"{title} {own}".strip()


def carried_signal(port: PortPlan, slot: SlotPlan) -> str | None:
    """The signal at a terminal of a slot, or None where the slot has no word for it."""
    try:
        return port.signal_template.format_map(slot.words)
    except KeyError:
        return None


def terminals(slot_plans: tuple[SlotPlan, ...], designs: tuple[DesignPlan, ...]) -> tuple[TerminalPlan, ...]:
    """Every terminal of every slot."""
    return tuple(_terminals(slot_plans, {design.number: design for design in designs}))


def _terminals(slot_plans: tuple[SlotPlan, ...], by_number: dict[str, DesignPlan]) -> Iterator[TerminalPlan]:
    for slot in slot_plans:
        for port in by_number[slot.design_number].ports:
            yield TerminalPlan(slot.code, port.mark, port.direction, carried_signal(port, slot))
