"""The worked table: changes to the small machine, and all that each of them puts in doubt, written down by hand.

Each line of what is expected reads: rule, item: gates: path. What a rule passes over has a dash in front, and no
gates. The table follows the rules for regression of the trade row by row; the paths were followed with a finger on
the drawing in `small_machine`.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from restoration.engineering.doubt import DoubtFound, Kind
from tests.engineering.doubt.small_machine import MAY_4


@dataclass(frozen=True)
class Worked:
    """One change, by the names of what it is about, and the lines expected of it."""

    name: str
    kind: Kind
    about: dict[str, object]
    expected: str = ""

    @property
    def lines(self) -> list[str]:
        """What is expected, line by line."""
        return sorted(line.strip() for line in self.expected.strip().splitlines() if line.strip())


@dataclass(frozen=True)
class Line:
    """Writes a doubt as the table does."""

    found: DoubtFound
    order: tuple[str, ...] = field(
        default=(
            "received",
            "cold-checked",
            "bench-tested",
            "fitted",
            "heaters on",
            "HT on",
            "joined",
            "rung out",
            "signal-checked",
            "bonded",
            "heaters proved",
            "HT proved",
            "functional check",
            "margin check",
            "soak",
        )
    )

    def __str__(self) -> str:
        found = self.found
        noun = "link" if found.item.kind == "interconnect" else found.item.kind
        named = f"{found.rule} {noun} {found.item.code}"
        if not found.is_asked:
            return f"- {named}: {found.path}"
        record = f" [{found.record}]" if found.record else ""
        return f"{named}: {', '.join(sorted(found.gates, key=self.order.index))}{record}: {found.path}"


def as_lines(found: Iterable[DoubtFound]) -> list[str]:
    """What was found, as the table writes it."""
    return sorted(str(Line(one)) for one in found)


K = Kind
WORKED_TABLE = (
    Worked(
        "a register swapped for a spare",
        K.SWAPPED,
        {"slot": "C-01", "chassis": "SR-2", "taken_out": "SR-1"},
        """
        1 chassis SR-1: fitted, heaters on, HT on: slot C-01 → chassis SR-1
        1 chassis SR-2: fitted, heaters on, HT on: slot C-01 → chassis SR-2
        2 link 04: rung out, signal-checked: slot C-01 → link 04 → source at A-02
        2 link 07: rung out, signal-checked: slot C-01 → link 07 → source at B-02
        2 link 08: rung out, signal-checked: slot C-01 → link 08 → load at C-02
        2 link 09: rung out, signal-checked: slot C-01 → link 09 → load at B-02
        3 group PRT: functional check, margin check, soak: slot C-01 → group PRT
        3 group ADD: functional check, margin check, soak: slot C-01 → link 04 → group ADD
        """,
    ),
    Worked(
        "the clock swapped",
        K.SWAPPED,
        {"slot": "A-01", "chassis": "CG-2", "taken_out": "CG-1"},
        """
        1 chassis CG-1: fitted, heaters on, HT on: slot A-01 → chassis CG-1
        1 chassis CG-2: fitted, heaters on, HT on: slot A-01 → chassis CG-2
        2 link 01: rung out, signal-checked: slot A-01 → link 01 → load at A-02
        3 group CLK: functional check, margin check, soak: slot A-01 → group CLK
        """,
    ),
    Worked(
        "a swap looked at before it is made, parallel wires among its links",
        K.SWAPPED,
        {"slot": "B-01"},
        """
        1 chassis GT-1: fitted, heaters on, HT on: slot B-01 → chassis GT-1
        2 link 02: rung out, signal-checked: slot B-01 → link 02 → source at A-02
        2 link 05: rung out, signal-checked: slot B-01 → link 05 → load at B-02
        2 link 06: rung out, signal-checked: slot B-01 → link 06 → load at B-02
        2 link 10: rung out, signal-checked: slot B-01 → link 10 → load at C-02
        2 link 11: rung out, signal-checked: slot B-01 → link 11 → source at C-02
        3 group ADD: functional check, margin check, soak: slot B-01 → group ADD
        """,
    ),
    Worked(
        "a valve like the last one in the clock, whose one wire is critical",
        K.LIKE_VALVE,
        {"slot": "A-01", "chassis": "CG-1"},
        """
        4 chassis CG-1: HT on: slot A-01 → chassis CG-1
        5 link 01: signal-checked: slot A-01 → link 01 → load at A-02
        6 group CLK: functional check: slot A-01 → group CLK
        """,
    ),
    Worked(
        "a valve like the last one in the diode gate: no critical wire goes out of it",
        K.LIKE_VALVE,
        {"slot": "B-01", "chassis": "GT-1", "stage": "KS-201/diode gate"},
        """
        4 chassis GT-1: HT on: slot B-01 → chassis GT-1
        5 link 05: signal-checked: slot B-01 → link 05 → load at B-02
        5 link 06: signal-checked: slot B-01 → link 06 → load at B-02
        """,
    ),
    Worked(
        "a valve like the last one in the follower: a critical wire goes out of it",
        K.LIKE_VALVE,
        {"slot": "B-01", "chassis": "GT-1", "stage": "KS-201/follower"},
        """
        4 chassis GT-1: HT on: slot B-01 → chassis GT-1
        5 link 10: signal-checked: slot B-01 → link 10 → load at C-02
        6 group ADD: functional check: slot B-01 → group ADD
        """,
    ),
    Worked(
        "a valve like the last one, and nobody says in which stage",
        K.LIKE_VALVE,
        {"slot": "B-01"},
        """
        4 chassis GT-1: HT on: slot B-01 → chassis GT-1
        5 link 05: signal-checked: slot B-01 → link 05 → load at B-02
        5 link 06: signal-checked: slot B-01 → link 06 → load at B-02
        5 link 10: signal-checked: slot B-01 → link 10 → load at C-02
        6 group ADD: functional check: slot B-01 → group ADD
        """,
    ),
    Worked(
        "a valve like the last one in the former, a barrier: what goes out of it is looked at",
        K.LIKE_VALVE,
        {"chassis": "PF-1", "stage": "KS-102/former"},
        """
        4 chassis PF-1: HT on: slot A-02 → chassis PF-1
        5 link 02: signal-checked: slot A-02 → link 02 → load at B-01
        5 link 03: signal-checked: slot A-02 → link 03 → load at B-02
        5 link 04: signal-checked: slot A-02 → link 04 → load at C-01
        6 group CLK: functional check: slot A-02 → group CLK
        6 group ADD: functional check: slot A-02 → link 04 → group ADD
        """,
    ),
    Worked(
        "a part like the last one in the follower: wires in and out of that stage",
        K.LIKE_PART,
        {"slot": "B-01", "chassis": "GT-1", "stage": "KS-201/follower"},
        """
        7 chassis GT-1: HT on: slot B-01 → chassis GT-1
        8 link 10: signal-checked: slot B-01 → link 10 → load at C-02
        8 link 11: signal-checked: slot B-01 → link 11 → source at C-02
        9 group ADD: functional check: slot B-01 → group ADD
        """,
    ),
    Worked(
        "a part like the last one in the adder, which has no stages",
        K.LIKE_PART,
        {"slot": "B-02", "chassis": "SA-1"},
        """
        7 chassis SA-1: HT on: slot B-02 → chassis SA-1
        8 link 03: signal-checked: slot B-02 → link 03 → source at A-02
        8 link 05: signal-checked: slot B-02 → link 05 → source at B-01
        8 link 06: signal-checked: slot B-02 → link 06 → source at B-01
        8 link 07: signal-checked: slot B-02 → link 07 → load at C-01
        8 link 09: signal-checked: slot B-02 → link 09 → source at C-01
        9 group ADD: functional check: slot B-02 → group ADD
        """,
    ),
    Worked(
        "a part of another value in the clock: the barrier behind it stops the walk",
        K.OTHER_PART,
        {"slot": "A-01", "chassis": "CG-1"},
        """
        10 chassis CG-1: bench-tested, HT on: slot A-01 → chassis CG-1
        11 link 01: signal-checked: slot A-01 → link 01 → load at A-02
        12 link 01: signal-checked: slot A-01 → link 01 → load at A-02
        13 group CLK: functional check, margin check: slot A-01 → group CLK
        """,
    ),
    Worked(
        "a part of another value in the barrier itself: out of it, and on to the next barrier",
        K.OTHER_PART,
        {"slot": "A-02", "chassis": "PF-1"},
        """
        10 chassis PF-1: bench-tested, HT on: slot A-02 → chassis PF-1
        11 link 01: signal-checked: slot A-02 → link 01 → source at A-01
        11 link 02: signal-checked: slot A-02 → link 02 → load at B-01
        11 link 03: signal-checked: slot A-02 → link 03 → load at B-02
        11 link 04: signal-checked: slot A-02 → link 04 → load at C-01
        12 link 02: signal-checked: slot A-02 → link 02 → load at B-01
        12 link 03: signal-checked: slot A-02 → link 03 → load at B-02
        12 link 04: signal-checked: slot A-02 → link 04 → load at C-01
        12 link 05: signal-checked: slot A-02 → link 02 → slot B-01 → link 05 → load at B-02
        12 link 06: signal-checked: slot A-02 → link 02 → slot B-01 → link 06 → load at B-02
        12 link 07: signal-checked: slot A-02 → link 03 → slot B-02 → link 07 → load at C-01
        12 link 09: signal-checked: slot A-02 → link 03 → slot B-02 → link 07 → slot C-01 → link 09 → load at B-02
        13 group CLK: functional check, margin check: slot A-02 → group CLK
        13 group ADD: functional check, margin check: slot A-02 → link 04 → group ADD
        """,
    ),
    Worked(
        "a part of another value in the gate: round a loop once, past parallel wires",
        K.OTHER_PART,
        {"slot": "B-01", "chassis": "GT-1"},
        """
        10 chassis GT-1: bench-tested, HT on: slot B-01 → chassis GT-1
        11 link 02: signal-checked: slot B-01 → link 02 → source at A-02
        11 link 05: signal-checked: slot B-01 → link 05 → load at B-02
        11 link 06: signal-checked: slot B-01 → link 06 → load at B-02
        11 link 10: signal-checked: slot B-01 → link 10 → load at C-02
        11 link 11: signal-checked: slot B-01 → link 11 → source at C-02
        12 link 05: signal-checked: slot B-01 → link 05 → load at B-02
        12 link 06: signal-checked: slot B-01 → link 06 → load at B-02
        12 link 07: signal-checked: slot B-01 → link 05 → slot B-02 → link 07 → load at C-01
        12 link 09: signal-checked: slot B-01 → link 05 → slot B-02 → link 07 → slot C-01 → link 09 → load at B-02
        12 link 10: signal-checked: slot B-01 → link 10 → load at C-02
        12 link 11: signal-checked: slot B-01 → link 10 → slot C-02 → link 11 → load at B-01
        13 group ADD: functional check, margin check: slot B-01 → group ADD
        """,
    ),
    Worked(
        "a part of another value in the adder: the flip-flop stops it, the carry does not",
        K.OTHER_PART,
        {"slot": "B-02", "chassis": "SA-1"},
        """
        10 chassis SA-1: bench-tested, HT on: slot B-02 → chassis SA-1
        11 link 03: signal-checked: slot B-02 → link 03 → source at A-02
        11 link 05: signal-checked: slot B-02 → link 05 → source at B-01
        11 link 06: signal-checked: slot B-02 → link 06 → source at B-01
        11 link 07: signal-checked: slot B-02 → link 07 → load at C-01
        11 link 09: signal-checked: slot B-02 → link 09 → source at C-01
        12 link 07: signal-checked: slot B-02 → link 07 → load at C-01
        12 link 09: signal-checked: slot B-02 → link 07 → slot C-01 → link 09 → load at B-02
        13 group ADD: functional check, margin check: slot B-02 → group ADD
        """,
    ),
    Worked(
        "a part of another value in the printer drive: back into the gate, and out by the follower alone",
        K.OTHER_PART,
        {"slot": "C-02", "chassis": "PD-1"},
        """
        10 chassis PD-1: bench-tested, HT on: slot C-02 → chassis PD-1
        11 link 08: signal-checked: slot C-02 → link 08 → source at C-01
        11 link 10: signal-checked: slot C-02 → link 10 → source at B-01
        11 link 11: signal-checked: slot C-02 → link 11 → load at B-01
        12 link 10: signal-checked: slot C-02 → link 11 → slot B-01 → link 10 → load at C-02
        12 link 11: signal-checked: slot C-02 → link 11 → load at B-01
        13 group PRT: functional check, margin check: slot C-02 → group PRT
        """,
    ),
    Worked(
        "a part of another value in a spare on the shelf",
        K.OTHER_PART,
        {"chassis": "SR-2"},
        """
        10 chassis SR-2: bench-tested, HT on: chassis SR-2
        """,
    ),
    Worked(
        "a critical wire made again, its neighbours of the loom one in five in each rack",
        K.REMADE,
        {"link": "01"},
        """
        14 link 01: joined, rung out, signal-checked: link 01
        16 link 02: signal-checked: link 01 → loom L1 → link 02
        16 link 05: signal-checked: link 01 → loom L1 → link 05
        17 group CLK: functional check: link 01 → group CLK
        """,
    ),
    Worked(
        "a critical wire made again that a group names among its further links",
        K.REMADE,
        {"link": "04"},
        """
        14 link 04: joined, rung out, signal-checked: link 04
        15 link 02: signal-checked: link 04 → source at A-02 → link 02 → load at B-01
        15 link 03: signal-checked: link 04 → source at A-02 → link 03 → load at B-02
        16 link 03: signal-checked: link 04 → loom L2 → link 03
        16 link 10: signal-checked: link 04 → loom L2 → link 10
        17 group ADD: functional check: link 04 → group ADD
        """,
    ),
    Worked(
        "a wire made again that is not critical: a loom of which one is passed over",
        K.REMADE,
        {"link": "07"},
        """
        14 link 07: joined, rung out, signal-checked: link 07
        16 link 08: signal-checked: link 07 → loom L3 → link 08
        - 16 link 09: link 07 → loom L3 → link 09
        """,
    ),
    Worked(
        "one of two parallel wires made again, in no loom",
        K.REMADE,
        {"link": "06"},
        """
        14 link 06: joined, rung out, signal-checked: link 06
        15 link 05: signal-checked: link 06 → source at B-01 → link 05 → load at B-02
        """,
    ),
    Worked(
        "a load added to a source with others",
        K.LOAD,
        {"link": "03"},
        """
        18 link 03: signal-checked: link 03
        19 link 02: signal-checked: link 03 → source at A-02 → link 02 → load at B-01
        19 link 04: signal-checked: link 03 → source at A-02 → link 04 → load at C-01
        20 group ADD: functional check, margin check: link 03 → source at A-02 → link 04 → group ADD
        """,
    ),
    Worked(
        "a load added to a source with no other",
        K.LOAD,
        {"link": "08"},
        """
        18 link 08: signal-checked: link 08
        20 group PRT: functional check, margin check: link 08 → group PRT
        """,
    ),
    Worked(
        "a terminator changed at one of two parallel wires",
        K.CONDITIONED,
        {"link": "05"},
        """
        21 link 05: signal-checked: link 05
        22 link 06: signal-checked: link 05 → source at B-01 → link 06 → load at B-02
        23 group ADD: functional check, margin check: link 05 → group ADD
        """,
    ),
    Worked(
        "the HT rail set anew: all critical links, and of the rest one in five in each rack",
        K.RAIL,
        {"rail": "HT-1"},
        """
        24 chassis CG-1: HT on: rail HT-1 → slot A-01 → chassis CG-1
        24 chassis PF-1: HT on: rail HT-1 → slot A-02 → chassis PF-1
        24 chassis GT-1: HT on: rail HT-1 → slot B-01 → chassis GT-1
        25 link 01: signal-checked: rail HT-1 → slot A-01 → link 01
        25 link 02: signal-checked: rail HT-1 → slot A-02 → link 02
        25 link 03: signal-checked: rail HT-1 → slot A-02 → link 03
        25 link 04: signal-checked: rail HT-1 → slot A-02 → link 04
        25 link 05: signal-checked: rail HT-1 → slot B-01 → link 05
        - 25 link 06: rail HT-1 → slot B-01 → link 06
        25 link 10: signal-checked: rail HT-1 → slot B-01 → link 10
        - 25 link 11: rail HT-1 → slot B-01 → link 11
        26 rack A: HT proved: rail HT-1 → rack A
        26 rack B: HT proved: rail HT-1 → rack B
        27 group CLK: margin check, soak: rail HT-1 → slot A-01 → group CLK
        27 group ADD: margin check, soak: rail HT-1 → slot B-01 → group ADD
        """,
    ),
    Worked(
        "a transformer of the heater rail changed",
        K.RAIL,
        {"rail": "HR-1"},
        """
        24 chassis GT-1: heaters on, HT on: rail HR-1 → slot B-01 → chassis GT-1
        24 chassis SA-1: heaters on, HT on: rail HR-1 → slot B-02 → chassis SA-1
        24 chassis SR-1: heaters on, HT on: rail HR-1 → slot C-01 → chassis SR-1
        24 chassis PD-1: heaters on, HT on: rail HR-1 → slot C-02 → chassis PD-1
        25 link 02: signal-checked: rail HR-1 → slot B-01 → link 02
        25 link 04: signal-checked: rail HR-1 → slot C-01 → link 04
        25 link 10: signal-checked: rail HR-1 → slot B-01 → link 10
        25 link 05: signal-checked: rail HR-1 → slot B-01 → link 05
        - 25 link 06: rail HR-1 → slot B-01 → link 06
        - 25 link 11: rail HR-1 → slot B-01 → link 11
        - 25 link 03: rail HR-1 → slot B-02 → link 03
        - 25 link 07: rail HR-1 → slot B-02 → link 07
        25 link 09: signal-checked: rail HR-1 → slot B-02 → link 09
        25 link 08: signal-checked: rail HR-1 → slot C-01 → link 08
        26 rack B: heaters proved: rail HR-1 → rack B
        26 rack C: heaters proved: rail HR-1 → rack C
        27 group ADD: margin check, soak: rail HR-1 → slot B-01 → group ADD
        27 group PRT: margin check, soak: rail HR-1 → slot C-01 → group PRT
        """,
    ),
    Worked(
        "the bias rail of one slot decoupled otherwise",
        K.RAIL,
        {"rail": "BI-1"},
        """
        24 chassis PD-1: HT on: rail BI-1 → slot C-02 → chassis PD-1
        25 link 10: signal-checked: rail BI-1 → slot C-02 → link 10
        25 link 08: signal-checked: rail BI-1 → slot C-02 → link 08
        - 25 link 11: rail BI-1 → slot C-02 → link 11
        26 rack C: HT proved: rail BI-1 → rack C
        27 group PRT: margin check, soak: rail BI-1 → slot C-02 → group PRT
        """,
    ),
    Worked(
        "an earth bar moved: a sample in each rack touched",
        K.EARTH,
        {"earth": "E-1"},
        """
        28 link 01: signal-checked: earth E-1 → rack A → slot A-01 → link 01
        - 28 link 02: earth E-1 → rack A → slot A-02 → link 02
        - 28 link 03: earth E-1 → rack A → slot A-02 → link 03
        - 28 link 04: earth E-1 → rack A → slot A-02 → link 04
        28 link 05: signal-checked: earth E-1 → rack B → slot B-01 → link 05
        - 28 link 06: earth E-1 → rack B → slot B-01 → link 06
        - 28 link 10: earth E-1 → rack B → slot B-01 → link 10
        - 28 link 11: earth E-1 → rack B → slot B-01 → link 11
        - 28 link 07: earth E-1 → rack B → slot B-02 → link 07
        28 link 09: signal-checked: earth E-1 → rack B → slot B-02 → link 09
        29 rack A: bonded: earth E-1 → rack A
        29 rack B: bonded: earth E-1 → rack B
        30 group CLK: soak: earth E-1 → rack A → slot A-01 → group CLK
        30 group ADD: soak: earth E-1 → rack B → slot B-01 → group ADD
        """,
    ),
    Worked(
        "a screen changed in one rack that no earth is drawn for",
        K.EARTH,
        {"racks": ("C",)},
        """
        28 link 04: signal-checked: rack C → slot C-01 → link 04
        - 28 link 07: rack C → slot C-01 → link 07
        - 28 link 08: rack C → slot C-01 → link 08
        - 28 link 09: rack C → slot C-01 → link 09
        - 28 link 10: rack C → slot C-02 → link 10
        28 link 11: signal-checked: rack C → slot C-02 → link 11
        29 rack C: bonded: rack C
        30 group PRT: soak: rack C → slot C-01 → group PRT
        30 group ADD: soak: rack C → slot C-01 → link 04 → group ADD
        """,
    ),
    Worked("a drawing corrected to what is built", K.DRAWING_AS_BUILT, {"issue": "KS-207/E"}),
    Worked(
        "a drawing issued with another function: units at older issues, and of unknown issue",
        K.DRAWING_FUNCTION,
        {"issue": "KS-207/E"},
        """
        32 chassis SR-1: bench-tested: drawing KS-207 issue E → chassis SR-1, built to issue D, for a decision
        32 chassis SR-2: bench-tested: drawing KS-207 issue E → chassis SR-2, issue not recorded, for a decision
        """,
    ),
    Worked(
        "a drawing issued with another function, to which one of two units is built already",
        K.DRAWING_FUNCTION,
        {"issue": "KS-101/C"},
        """
        32 chassis CG-2: bench-tested: drawing KS-101 issue C → chassis CG-2, built to issue B, for a decision
        """,
    ),
    Worked(
        "an oscilloscope found out of limits: what was made with it since it was last good",
        K.INSTRUMENT,
        {"instrument": "OSC-1", "since": MAY_4},
        """
        33 chassis SR-1: bench-tested [bench test 2]: instrument OSC-1 → bench test 2 → chassis SR-1
        33 link 02: signal-checked [signal check 1]: instrument OSC-1 → signal check 1 → link 02
        """,
    ),
    Worked(
        "a long rest of one rack: a sample of its critical links",
        K.REST,
        {"racks": ("C",)},
        """
        34 chassis SR-1: heaters on, HT on: rack C → slot C-01 → chassis SR-1
        34 chassis PD-1: heaters on, HT on: rack C → slot C-02 → chassis PD-1
        35 link 04: signal-checked: rack C → slot C-01 → link 04
        - 35 link 10: rack C → slot C-02 → link 10
        36 rack C: heaters proved, HT proved: rack C
        37 group PRT: functional check: rack C → slot C-01 → group PRT
        37 group ADD: functional check: rack C → slot C-01 → link 04 → group ADD
        """,
    ),
    Worked(
        "a rack knocked",
        K.KNOCK,
        {"racks": ("A",)},
        """
        38 chassis CG-1: cold-checked, heaters on, HT on: rack A → slot A-01 → chassis CG-1
        38 chassis PF-1: cold-checked, heaters on, HT on: rack A → slot A-02 → chassis PF-1
        39 link 01: signal-checked: rack A → slot A-01 → link 01
        - 39 link 02: rack A → slot A-02 → link 02
        - 39 link 04: rack A → slot A-02 → link 04
        40 rack A: bonded, heaters proved, HT proved: rack A
        41 group CLK: functional check: rack A → slot A-01 → group CLK
        41 group ADD: functional check: rack A → slot A-02 → link 04 → group ADD
        """,
    ),
    Worked(
        "one chassis knocked in its slot: its rack stands as it did",
        K.KNOCK,
        {"slot": "B-01"},
        """
        38 chassis GT-1: cold-checked, heaters on, HT on: slot B-01 → chassis GT-1
        39 link 02: signal-checked: slot B-01 → link 02
        - 39 link 10: slot B-01 → link 10
        41 group ADD: functional check: slot B-01 → group ADD
        """,
    ),
    Worked(
        "a spare dropped on the bench",
        K.KNOCK,
        {"chassis": "CG-2"},
        """
        38 chassis CG-2: cold-checked, heaters on, HT on: chassis CG-2
        """,
    ),
    Worked(
        "a chassis withdrawn, which has a form of its own",
        K.WITHDRAWN,
        {"slot": "B-02"},
        """
        46 chassis SA-1: heaters on, HT on: slot B-02 → chassis SA-1
        47 link 03: rung out, signal-checked: slot B-02 → link 03 → source at A-02
        47 link 05: rung out, signal-checked: slot B-02 → link 05 → source at B-01
        47 link 06: rung out, signal-checked: slot B-02 → link 06 → source at B-01
        47 link 07: rung out, signal-checked: slot B-02 → link 07 → load at C-01
        47 link 09: rung out, signal-checked: slot B-02 → link 09 → source at C-01
        48 group ADD: functional check: slot B-02 → group ADD
        """,
    ),
)
