"""Which chassis stands where, and what the builders wrote on the way."""

FITTED_SLOTS = tuple(
    """
A-01 A-02 A-03 A-04 A-05 A-06 A-07 A-08 A-09 A-11 A-12
B-01 B-02 B-03 B-04 B-05 B-06 B-07 B-08 B-09 B-10 B-11 B-12 B-14
C-01 C-02 C-03 C-04 C-05 C-06
D-01 D-02 D-03 D-04 D-07 D-08 D-12 D-13
E-01 E-02 E-03 E-04 E-07
F-01 F-02 F-05 F-06 F-07 F-12
G-01 G-02 G-03 G-08 G-12
H-01 H-02 H-04 H-05 H-08 H-09
""".split()  # noqa: SIM905
)

# Slot: how far its chassis has come, and with whom it is.
ON_THE_WAY = {
    "A-10": ("bench tested", "Noor"),
    "B-13": ("bench tested", "Ravi"),
    "D-05": ("bench tested", "Pilar"),
    "F-03": ("bench tested", "Callum"),
    "H-06": ("bench tested", "Kofi"),
    "C-08": ("cold checked", "Yusuf"),
    "G-04": ("cold checked", "Noor"),
    "F-04": ("received", "Edie"),
    "E-08": ("handed over", "Walter"),
    "C-07": ("built", "Pilar"),
    "H-07": ("built", "Kofi"),
    "D-06": ("built", "Sven"),
    "C-09": ("in hand", "Ravi"),
    "C-10": ("in hand", "Noor"),
    "D-09": ("in hand", "Callum"),
    "D-14": ("in hand", "Tomasz"),
    "E-05": ("in hand", "Walter"),
    "E-11": ("in hand", "Yusuf"),
    "F-08": ("in hand", "Noor"),
    "G-05": ("in hand", "Ravi"),
    "G-06": ("in hand", "Pilar"),
    "H-03": ("in hand", "Kofi"),
    "D-11": ("stuck", "Marek"),
    "E-12": ("stuck", "Sven"),
    "F-11": ("stuck", "Edie"),
    "G-10": ("stuck", "Callum"),
    "C-11": ("allotted", "Marek"),
    "D-10": ("allotted", "Callum"),
    "E-06": ("allotted", "Walter"),
    "F-09": ("allotted", "Yusuf"),
    "G-09": ("allotted", "Ravi"),
    "H-10": ("allotted", "Kofi"),
    "H-11": ("allotted", "Sven"),
}

# The day of the last event where it matters; a stuck chassis was last heard of when it got stuck.
LAST_SEEN = {
    "C-07": "2026-11-22",
    "D-11": "2026-06-14",
    "E-12": "2026-09-20",
    "F-11": "2026-10-11",
    "G-10": "2026-08-16",
}

STUCK = {
    "D-11": ("2026-06-14", "Awaiting parts: the pulse transformer T2. Edie's second winding failed at 400 V."),
    "E-12": ("2026-09-20", "Awaiting drawing: KS-222 shows R9 twice, 47 k and 4.7 k. Asked Gwen."),
    "F-11": ("2026-10-11", "Awaiting parts: six matched delay coils; four are wound, my wrist needs a rest."),
    "G-10": ("2026-08-16", "Awaiting person: someone to hold the long tag strip while I turn it. Two hours would do."),
}

# Serials that are known by heart; all others count up from 1.
KNOWN_SERIALS = {
    "C-01": "CL-02",
    "C-02": "CL-05",
    "C-03": "CG-01",
    "C-04": "CG-03",
    "C-05": "CG-04",
    "C-06": "SR-11",
    "C-07": "SR-14",
    "B-05": "PF-04",
    "A-03": "MK-02",
}

# Chassis that were in a slot before the one that is there now: serial, builder, fitted, withdrawn, why.
WITHDRAWN = {
    "A-03": ("MK-01", "Tomasz", "2025-07-06", "2026-02-11", "Hum on the second mark track; input transformer loose."),
    "B-05": (
        "PF-01",
        "Marek",
        "2025-11-23",
        "2026-11-22",
        "Pulse two volts low after an hour; V3 tired.",
    ),
    "C-04": ("CG-02", "Ravi", "2026-03-15", "2026-06-07", "V6 gassy and its socket burnt; chassis back to Ravi."),
}

# Fitted again into the slot it came from: slot, withdrawn, why, fitted again.
TAKEN_OUT_AND_BACK = {
    "B-08": ("2026-04-12", "Feedback capacitor C4 leaking 40 µA; to the bench.", "2026-04-26"),
    "D-01": ("2026-09-06", "Heater pair chafed on the chassis corner; re-sleeved.", "2026-09-13"),
}

# Proved and put by: serial, design, builder.
SPARES = (("CL-12", "KS-202", "Noor"), ("DR-09", "KS-221", "Kofi"), ("PA-09", "KS-205", "Ravi"))

BUILDERS_IN_TURN = (
    "Tomasz",
    "Marek",
    "Pilar",
    "Ravi",
    "Noor",
    "Yusuf",
    "Callum",
    "Sven",
    "Kofi",
    "Walter",
    "Edie",
)

NOTES = (
    "Tag strips riveted, heater pairs run and twisted close to the corner.",
    "R7 measured 12 % high; swapped from my own drawer and marked on the print.",
    "All valve holders in. Pin 1 towards the front, as on the photograph of the survivor.",
    "Used the sleeving Desmond sent; the old one crumbled when bent.",
    "Coupling capacitors checked at 300 V, all under 2 µA.",
    "Terminal row drilled from the other side first by mistake; plugged and drilled again.",
    "Screen dropper moved one tag to the left to clear the transformer. Agreed with Gwen.",
    "Two evenings lost to a joint that looked fine and was not.",
    "Every joint tugged, every one looked at with the glass.",
    "Fuse holder was for the short fuse; the long one is in now.",
    "My neighbour read the colours to me; I cannot tell brown from red any more.",
    "Wiring finished but for the screened pair.",
)

CAPTIONS = (
    "Underside, heater wiring before it is hidden",
    "Tag strip with every value readable",
    "Front, terminals marked",
    "Valve side, holders in line",
    "The joint I was not happy with, made again",
    "Finished, on the kitchen table",
)

COLD_REMARKS = (
    "Joints clean throughout.",
    "One dry joint at the tag strip, made good while we watched.",
    "Fuse 250 mA as drawn.",
    "Sleeving renewed on two leads.",
    "Agrees with the drawing, R12 is the larger one.",
)

DAMAGE = (
    "",
    "",
    "",
    "",
    "A corner bent in the post, straightened.",
    "",
    "",
    "One valve holder cracked; replaced here.",
)

BENCH_FAILURES = {
    "A-06": "V2 anode low: R5 found 30 % high. Replaced, to be tested again.",
    "A-10": "Output 4 small: coupling capacitor open. Replaced, to be tested again.",
    "B-09": "No pulse at output 2: valve in the wrong holder. Moved, to be tested again.",
    "C-06": "Carry pulse wide: C11 was ten times its value. Replaced, to be tested again.",
    "D-04": "V1 screen low: dropper wrong by one band. Replaced, to be tested again.",
    "F-05": "Output 1 small: tired valve. Another fitted, to be tested again.",
    "H-02": "V3 cathode high: joint. Made again, to be tested again.",
}
