"""The small machine of the worked table.

rack A                 rack B                      rack C
┌──────────────┐       ┌──────────────────┐        ┌──────────────────┐
│ A-01  CG-1   │       │ B-01  GT-1       │        │ C-01  SR-1       │
│ clock        │       │ gate             │        │ register         │
│              │       │  a ─diode gate─ x│        │ clk ┐            │
│              │       │  b ─follower── y │        │ in ─┴flip-flop▌q │
├──────────────┤       ├──────────────────┤        │ in ──carry──── k │
│ A-02  PF-1   │       │ B-02  SA-1       │        ├──────────────────┤
│ former       │       │ adder            │        │ C-02  PD-1       │
│ in ─former▌ o│       │ (no stages)      │        │ printer drive    │
└──────────────┘       └──────────────────┘        │ (no stages)      │
                                                   └──────────────────┘
▌ is a barrier: it restores amplitude and timing. Spares: CG-2, SR-2.

link  from        to            critical  loom      what it shows
01    A-01:o   →  A-02:in       yes       L1
02    A-02:o   →  B-01:a        yes       L1    ┐
03    A-02:o   →  B-02:a        -         L2    ├  three loads on one source
04    A-02:o   →  C-01:clk      yes       L2    ┘
05    B-01:x   →  B-02:b        -         L1    ┐  parallel wires between
06    B-01:x   →  B-02:b        -         -     ┘  the same two terminals
07    B-02:s   →  C-01:in       -         L3    ┐  a loop: B-02, C-01, B-02,
09    C-01:k   →  B-02:c        -         L3    ┘  past the barrier by the carry
08    C-01:q   →  C-02:in       -         L3
10    B-01:y   →  C-02:en       yes       L2    ┐  a loop: B-01, C-02, B-01
11    C-02:r   →  B-01:b        -         -     ┘

rail HT-1 (HT): A-01, A-02, B-01    rail HR-1 (heaters): B-01, B-02, C-01, C-02    rail BI-1 (bias): C-02
earth E-1: racks A and B
group CLK: A-01, A-02    group ADD: B-01, B-02, and link 04    group PRT: C-01, C-02
"""

from datetime import UTC, datetime

from tests.engineering.doubt.drawn import Drawing, DrawnChassis, DrawnRecord, DrawnStage, DrawnWire

MAY_2 = datetime(2026, 5, 2, 12, tzinfo=UTC)
MAY_4 = datetime(2026, 5, 4, 12, tzinfo=UTC)
MAY_6 = datetime(2026, 5, 6, 12, tzinfo=UTC)

SMALL_MACHINE = Drawing(
    racks={"A": ("A-01", "A-02"), "B": ("B-01", "B-02"), "C": ("C-01", "C-02")},
    wires=(
        DrawnWire("01", "A-01:o", "A-02:in", is_critical=True, loom="L1"),
        DrawnWire("02", "A-02:o", "B-01:a", is_critical=True, loom="L1"),
        DrawnWire("03", "A-02:o", "B-02:a", loom="L2"),
        DrawnWire("04", "A-02:o", "C-01:clk", is_critical=True, loom="L2"),
        DrawnWire("05", "B-01:x", "B-02:b", loom="L1"),
        DrawnWire("06", "B-01:x", "B-02:b"),
        DrawnWire("07", "B-02:s", "C-01:in", loom="L3"),
        DrawnWire("08", "C-01:q", "C-02:in", loom="L3"),
        DrawnWire("09", "C-01:k", "B-02:c", loom="L3"),
        DrawnWire("10", "B-01:y", "C-02:en", is_critical=True, loom="L2"),
        DrawnWire("11", "C-02:r", "B-01:b"),
    ),
    designs={
        "KS-101": (),
        "KS-102": (DrawnStage("former", ("in",), ("o",), is_barrier=True),),
        "KS-201": (DrawnStage("diode gate", ("a",), ("x",)), DrawnStage("follower", ("b",), ("y",))),
        "KS-202": (),
        "KS-207": (
            DrawnStage("flip-flop", ("in", "clk"), ("q",), is_barrier=True),
            DrawnStage("carry", ("in",), ("k",)),
        ),
        "KS-301": (),
    },
    slots_of_design={
        "A-01": "KS-101",
        "A-02": "KS-102",
        "B-01": "KS-201",
        "B-02": "KS-202",
        "C-01": "KS-207",
        "C-02": "KS-301",
    },
    chassis=(
        DrawnChassis("CG-1", "KS-101", "C", "A-01"),
        DrawnChassis("PF-1", "KS-102", "B", "A-02"),
        DrawnChassis("GT-1", "KS-201", "B", "B-01"),
        DrawnChassis("SA-1", "KS-202", "B", "B-02"),
        DrawnChassis("SR-1", "KS-207", "D", "C-01"),
        DrawnChassis("PD-1", "KS-301", "B", "C-02"),
        DrawnChassis("CG-2", "KS-101", "B"),
        DrawnChassis("SR-2", "KS-207"),
    ),
    rails={
        "HT-1": ("HT", ("A-01", "A-02", "B-01")),
        "HR-1": ("heaters", ("B-01", "B-02", "C-01", "C-02")),
        "BI-1": ("bias", ("C-02",)),
    },
    earths={"E-1": ("A", "B")},
    groups={"CLK": (("A-01", "A-02"), ()), "ADD": (("B-01", "B-02"), ("04",)), "PRT": (("C-01", "C-02"), ())},
    issues={"KS-101": ("B", "C"), "KS-207": ("C", "D", "E")},
    bench_tests=(
        DrawnRecord("SA-1", "OSC-1", MAY_2),
        DrawnRecord("SR-1", "OSC-1", MAY_6),
        DrawnRecord("SR-2", "OSC-2", MAY_6),
    ),
    signal_checks=(DrawnRecord("02", "OSC-1", MAY_6), DrawnRecord("07", "OSC-2", MAY_6)),
)
