"""A link of which the papers do not tell all: how it truly is, and what an oscilloscope sees of it."""

from dataclasses import replace

import numpy as np

from restoration.engineering.in_place import Arrangement, LinkCase, OtherWire, WireConstants
from restoration.engineering.link_model import LinkLoad, PulseSource, link_volts
from restoration.engineering.oscilloscope import Oscilloscope, digitise
from restoration.kestrel.scope_files import write_scope_csv

INTERVAL_S, SAMPLES, START_S = 1e-9, 4000, -0.6e-6
BENCH_V, BENCH_OHM = 17.2, 470.0
LENGTH_M, OTHER_LENGTH_M = 8.0, 2.1

# What is written down: a drive of 120 ohms, a hook-up wire over the frame of about 290 ohms, a grid of 22 pF.
# What is there: more drive, and a wire that lies nearer to the frame than anybody measured.
TRUE_DRIVE_OHM = 134.0
TRUE_WIRE = WireConstants.of_line(impedance_ohm=271.0, delay_s_per_m=3.8e-9)
TRUE_LOAD = LinkLoad(100e3, 27e-12)
PROBE = LinkLoad(10e6, 12e-12)
OPEN_V = BENCH_V * (1 + TRUE_DRIVE_OHM / BENCH_OHM)
PULSE = PulseSource(0.0, OPEN_V, 2.4e-6, rise_s=50e-9, fall_s=75e-9, resistance_ohm=TRUE_DRIVE_OHM)
BENCH = {"amplitude": BENCH_V, "pulse_duration": 2.4e-6, "rise_time": 40e-9, "fall_time": 60e-9}
BARE = Arrangement()
OFF_BY = (1.03, 0.97)  # parts in hand are not quite what is printed on them


def truth(arrangement: Arrangement = BARE) -> LinkCase:
    """The link with these parts on it, their values as the parts in hand really are."""
    printed = arrangement.as_dict().items()
    in_hand = {role: value * OFF_BY[place % 2] for place, (role, value) in enumerate(printed)}
    other = OtherWire("18", OTHER_LENGTH_M, TRUE_WIRE, TRUE_LOAD)
    fitted = Arrangement.of_dict(in_hand)
    return LinkCase(PULSE, LENGTH_M, TRUE_WIRE, TRUE_LOAD, (other,), fitted, probe=PROBE, code="17")


def capture(end: str, arrangement: Arrangement = BARE, *, other: bool = False, seed: int = 1) -> bytes:
    """What the pair saves at one end of the link, or of the other link of its source, with these parts on it."""
    case = truth(arrangement)
    if other:
        case = replace(case.seen_from(case.others[0]), probe=PROBE)
    times_s = START_S + INTERVAL_S * np.arange(SAMPLES, dtype=np.float64)
    volts = link_volts(case.model(), times_s)
    scope = Oscilloscope(INTERVAL_S, SAMPLES, least_v=-15, most_v=40, start_s=START_S, noise_rms_v=0.05)
    seen = digitise(scope, volts.load_v if end == "load" else volts.source_v, np.random.default_rng(seed))
    return write_scope_csv("two rows", START_S, INTERVAL_S, {"CH1": seen})
