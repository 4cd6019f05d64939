"""Changes at a slot: chassis swapped, valves and parts replaced by like ones and by others."""

from restoration.engineering.doubt import Kind
from tests.engineering.doubt.worked_lines import Worked

K = Kind
AT_SLOTS = (
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
)
