"""Changes that are felt through what is shared, and what follows from other acts."""

from restoration.engineering.doubt import Kind
from tests.engineering.doubt.small_machine import MAY_4
from tests.engineering.doubt.worked_lines import Worked

K = Kind
SHARED = (
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
