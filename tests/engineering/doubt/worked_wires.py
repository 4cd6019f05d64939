"""Changes at a wire: made again, a load added, a terminator changed."""

from restoration.engineering.doubt import Kind
from tests.engineering.doubt.worked_lines import Worked

K = Kind
AT_WIRES = (
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
)
