"""Which lines of the wire list are joined, and what the other lines of a source ask of it."""

from collections import defaultdict
from dataclasses import dataclass
from functools import cache

from restoration.kestrel.chassis_table import FITTED_SLOTS
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.plan_records import InterconnectPlan
from restoration.kestrel.signal_kinds import KINDS
from restoration.kestrel.site_days import chance

HALF_FITTED_JOINED = 0.58
LOAD_OHM = 100e3
LOAD_F = 22e-12
WIRE_F_PER_M = 14e-12  # of every other wire: the demonstration does not tell them apart
EDGE_PART = 0.4  # of the rise that a load asks for: what the drive of an output may take of it with all its loads
LEAST_DRIVE_OHM = 45.0
RISE_OF_RC = 2.2


def slots_of(link: InterconnectPlan) -> tuple[str, ...]:
    """The slots a link joins, its source's first."""
    return tuple(end.split("/")[0] for end in (link.source, *link.loads))


def is_joined(link: InterconnectPlan) -> bool:
    """Joined once its source is fitted: always where all loads are too, else about as often as not."""
    slots = slots_of(link)
    if all(slot in FITTED_SLOTS for slot in slots):
        return True
    return slots[0] in FITTED_SLOTS and float(chance(link.code, "join").random()) < HALF_FITTED_JOINED


@dataclass(frozen=True)
class Hung:
    """What hangs on a source: so many loads, and all of them with their wires as one capacitance."""

    loads: int = 0
    capacitance_f: float = 0.0

    @classmethod
    def of(cls, lines: list[InterconnectPlan]) -> "Hung":
        """What these lines hang on their source; a wire of the line's length goes to each load."""
        each_f = (len(line.loads) * (LOAD_F + line.length_m * WIRE_F_PER_M) for line in lines)
        return cls(sum(len(line.loads) for line in lines), sum(each_f))


@cache
def _lines() -> dict[str, list[InterconnectPlan]]:
    found = defaultdict(list)
    for line in machine_plan().interconnects:
        found[line.source].append(line)
    return dict(found)


def beside(link: InterconnectPlan) -> Hung:
    """What the other joined lines hang on the source of a link."""
    return Hung.of([line for line in _lines()[link.source] if line.code != link.code and is_joined(line)])


@cache
def _heaviest() -> dict[tuple[str, str], float]:
    """By drawing and terminal, the capacitance that the output drives where it drives the most."""
    found: dict[tuple[str, str], float] = defaultdict(float)
    for lines in _lines().values():
        output = lines[0].output
        found[output] = max(found[output], Hung.of(lines).capacitance_f)
    return dict(found)


def drive_ohm(output: tuple[str, str], kind_name: str) -> float:
    """The resistance of an output: as its kind has it, less where many loads hang on it."""
    kind = KINDS[kind_name]
    heavy_f = _heaviest().get(output, 0.0)
    if not heavy_f:
        return float(kind.source_ohm)
    allowed_ohm = EDGE_PART * kind.rise_most_us * 1e-6 / (RISE_OF_RC * heavy_f)
    return float(round(min(kind.source_ohm, max(LEAST_DRIVE_OHM, allowed_ohm))))
