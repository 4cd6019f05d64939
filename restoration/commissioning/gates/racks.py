"""The gates of a rack: its bond, its mains side, its supplies, and its release for fitting."""

from restoration.commissioning.gates.gate import Gate
from restoration.people.roles import Permission

BONDED = Gate(
    "bonded",
    "The resistance from the frame to the earth bar is measured, and the bond is seen at both ends.",
    Permission.SIGN_POWER,
    False,
    "An earth, a bond or a screen changes; the rack is knocked or moved.",
    "measure its bond",
    is_signed=True,
)
MAINS_SIDE = Gate(
    "mains side certified",
    "A competent electrician has signed the mains side on paper. Only the number of that paper is recorded here; "
    "this record itself says nothing of the work.",
    Permission.SIGN_POWER,
    False,
    "A transformer, a protective device or the wiring of the mains side changes; an earth changes; flood or damp.",
    "write down the electrician's paper for its mains side",
    is_signed=True,
)
DISTRIBUTION = Gate(
    "distribution rung out",
    "With every chassis out and the power off: each supply line is through to its slots and clear of the frame.",
    Permission.SIGN_POWER,
    False,
    "A supply line, a fuse or decoupling in the rack changes.",
    "ring out its distribution",
    is_signed=True,
)
HEATERS_PROVED = Gate(
    "heaters proved",
    "The heater supply on a dummy load: voltage at the far slot, balance, and what the fuses carry.",
    Permission.SIGN_POWER,
    True,
    "A transformer, a fuse rating or a heater rail changes; the load grew by more than a tenth; a long rest.",
    "prove its heater supply",
    is_signed=True,
    is_live=True,
)
HT_PROVED = Gate(
    "HT proved",
    "The HT supply unloaded, then on a dummy load: voltage, ripple, regulation, and the discharge time measured and "
    "labelled. Two persons.",
    Permission.SIGN_POWER,
    True,
    "A rectifier, a capacitor, a fuse rating or an HT or bias rail changes; the load grew by more than a tenth; a long "
    "rest; a protective device operated and nobody knows why.",
    "prove its HT supply",
    is_signed=True,
    is_live=True,
)
OPEN_FOR_FITTING = Gate(
    "open for fitting",
    "The gates before it stand, and the site lead releases the rack for chassis to be fitted.",
    Permission.FIT_CHASSIS,
    False,
    "A gate before it is opened again.",
    "release it for fitting",
    is_signed=True,
)
SOAKED = Gate(
    "soaked",
    "Hours at full load with somebody there, the hottest spot found, and the leakage before and after.",
    Permission.SIGN_POWER,
    True,
    "A supply part or a rail changes; an earth changes; a long rest.",
    "soak it",
    is_signed=True,
    is_live=True,
)

RACK = (BONDED, MAINS_SIDE, DISTRIBUTION, HEATERS_PROVED, HT_PROVED, OPEN_FOR_FITTING, SOAKED)
