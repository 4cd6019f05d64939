"""What the racks of the tide computer share, and the functional parts it is proved by."""

from dataclasses import dataclass

RAIL_TABLE = """
HEAT-1 | heaters | 6.3 V, racks A to C | A B C
HEAT-2 | heaters | 6.3 V, racks D to F | D E F
HEAT-3 | heaters | 6.3 V, racks G to J | G H J
HT-1 | HT | +250 V, clock and drum | A B
HT-2 | HT | +250 V, constituents | C D E
HT-3 | HT | +250 V, arithmetic and output | F G H J
BIAS-1 | bias | −120 V, every rack | A B C D E F G H J
"""

EARTH_TABLE = """
EARTH-1 | copper bar under racks A to E | A B C D E
EARTH-2 | copper bar under racks F to J, and the printer | F G H J
"""

# Code, name, pass test written before the test, member slots.
GROUP_TABLE = """
CLOCK | Tide clock and speed correction
  | The clock holds the drum for an hour: lock lost never rises, marks and clock stay within 0.3 µs.
  | A-01 A-02 A-03 A-04 A-05 A-12
COUNT | Digit and word counters
  | Twenty-four digit times and eight word gates, each once a turn of the drum, for a thousand turns.
  | A-06 A-07 A-08 A-09 A-10 A-11 B-01 B-02 B-03 B-04
PULSES | Common pulses
  | Digit, dash and erase pulses at every receiver at full height, and their check pulses back at the alarm.
  | B-05 B-06 B-07 D-02 D-13
CHANNEL-1 | First drum channel
  | A pattern written on track 1 is read back for an hour without a wrong digit.
  | B-08 B-11 B-14
M2 | Constituent M2
  | The phase of M2 steps on by 28.984 degrees an hour for 709 hours and comes back to its beginning.
  | C-03 C-10 B-08 B-11
SUM | Summing register
  | Two known terms are summed, then ninety-nine times the same; the sum agrees to the last digit.
  | C-06 C-07 C-08 C-09
COSINE | Cosine table and interpolator
  | The cosine of every whole degree, within one in the last digit.
  | F-01 F-02 F-03 F-04 F-05 F-06 F-07 F-08 F-09 F-10 F-11 F-12
OUTPUT | Height, decimals and printer
  | A ramp of heights prints 0.0 to 29.9 feet without a missing line.
  | H-01 H-02 H-03 H-04 H-05 H-06 H-07 H-08 H-09 H-10 H-11 H-12
"""


@dataclass(frozen=True)
class RailPlan:
    """A supply line, by the racks it feeds."""

    code: str
    kind: str
    function: str
    racks: tuple[str, ...]


@dataclass(frozen=True)
class EarthPlan:
    """An earth bar, by the racks bonded to it."""

    code: str
    function: str
    racks: tuple[str, ...]


@dataclass(frozen=True)
class GroupPlan:
    """A functional part: what it is called, how it is known to work, and its slots."""

    code: str
    name: str
    pass_test: str
    slots: tuple[str, ...]


def _rows(table: str) -> list[list[str]]:
    """Cells of each row; a line that begins with a blank goes on with the row before it."""
    return [row.split(" | ") for row in table.strip().replace("\n  |", " |").splitlines()]


def rails() -> tuple[RailPlan, ...]:
    """The supply lines."""
    return tuple(
        RailPlan(code, kind, function, tuple(racks.split())) for code, kind, function, racks in _rows(RAIL_TABLE)
    )


def earths() -> tuple[EarthPlan, ...]:
    """The earth bars."""
    return tuple(EarthPlan(code, function, tuple(racks.split())) for code, function, racks in _rows(EARTH_TABLE))


def groups() -> tuple[GroupPlan, ...]:
    """The functional parts, in the order in which they are proved."""
    return tuple(
        GroupPlan(code, name, pass_test, tuple(slots.split())) for code, name, pass_test, slots in _rows(GROUP_TABLE)
    )
