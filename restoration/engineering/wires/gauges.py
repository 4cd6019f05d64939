"""Wire gauges: the American gauge by its formula, the British Standard Wire Gauge by its table, and names in words."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from restoration.engineering.figures import Unit, read_figure
from restoration.engineering.refusals import refuse_unless

INCH_M = 0.0254
"""One inch (exact since 1959)."""

SWG_IN: Mapping[str, float] = {
    "7/0": 0.500, "6/0": 0.464, "5/0": 0.432, "4/0": 0.400, "3/0": 0.372, "2/0": 0.348, "1/0": 0.324,
    "1": 0.300, "2": 0.276, "3": 0.252, "4": 0.232, "5": 0.212, "6": 0.192, "7": 0.176, "8": 0.160, "9": 0.144,
    "10": 0.128, "11": 0.116, "12": 0.104, "13": 0.092, "14": 0.080, "15": 0.072, "16": 0.064, "17": 0.056,
    "18": 0.048, "19": 0.040, "20": 0.036, "21": 0.032, "22": 0.028, "23": 0.024, "24": 0.022, "25": 0.020,
    "26": 0.018, "27": 0.0164, "28": 0.0148, "29": 0.0136, "30": 0.0124, "31": 0.0116, "32": 0.0108, "33": 0.0100,
    "34": 0.0092, "35": 0.0084, "36": 0.0076, "37": 0.0068, "38": 0.0060, "39": 0.0052, "40": 0.0048, "41": 0.0044,
    "42": 0.0040, "43": 0.0036, "44": 0.0032, "45": 0.0028, "46": 0.0024, "47": 0.0020, "48": 0.0016, "49": 0.0012,
    "50": 0.0010,
}  # fmt: skip
"""Diameters in inches by BS 3737 (withdrawn). A table, no formula. The values at 7/0, 1, 10, 14, 16, 18, 20, 22, 24,
26 to 28, 30, 32, 34, 36, 38, 40, 42, 44, 46, 48 and 50 were compared with two published tables; the others are from
memory. Trap: one published table prints 1/0 as 8.236 mm; 0.324 in is 8.2296 mm."""

AWG_LEAST, AWG_MOST = -3, 60
"""The gauges that the formula is taken for: 4/0, which counts as -3, to 60."""

BARE = Unit("m", "a diameter of wire", "26 SWG, AWG 30, or 0.2 mm", 0.02, bare="m")

_AUGHTS = re.compile(r"([1-7])/0|(0{1,7})")
_NAMED = re.compile(r"(?:(SWG|AWG)\s*([0-9/]+)|([0-9/]+)\s*(SWG|AWG))", re.IGNORECASE)


@dataclass(frozen=True)
class Wire:
    """A wire by its name and the diameter of its bare copper.

    >>> Wire("26 SWG", 0.0004572).bare_m
    0.0004572
    """

    name: str
    bare_m: float


def awg_m(gauge: int) -> float:
    """Bare diameter in metres of an American gauge; 1/0, 2/0, 3/0 and 4/0 count as 0, -1, -2 and -3.

    Formula: d = 0.005 in × 92 ** ((36 - n) / 39). Source: ASTM B258. Valid from 4/0 to 60. Units: metres. Errors:
    ValueError for another gauge.

    >>> round(awg_m(30) * 1e3, 4), round(awg_m(36) * 1e3, 4), round(awg_m(-3) * 1e3, 3)
    (0.2546, 0.127, 11.684)
    """
    allowed = "the gauges go from 4/0 (counted as -3) to 60"
    refuse_unless(AWG_LEAST <= gauge <= AWG_MOST, f"There is no AWG {gauge} here; {allowed}.")
    return float(0.005 * 92.0 ** ((36 - gauge) / 39)) * INCH_M


def awg_of(bare_m: float) -> float:
    """The American gauge, whole or between two, of a bare diameter.

    Formula: n = 36 - 39 log(d / 0.005 in) / log 92, the inverse of `awg_m`. Source: ASTM B258. Valid for a diameter
    above zero. Units: metres in, no unit out. Errors: ValueError for a diameter not above zero or not finite.

    >>> round(awg_of(0.000127), 6)
    36.0
    """
    refuse_unless(0.0 < bare_m < math.inf, f"A wire has a diameter above zero; {bare_m} m was given.")
    return 36.0 - 39.0 * math.log(bare_m / (0.005 * INCH_M)) / math.log(92.0)


def swg_m(gauge: str | int) -> float:
    """Bare diameter in metres of a British gauge; thick ones are written 1/0 (or 0) to 7/0.

    Formula: none, a table. Source: BS 3737 (withdrawn), see `SWG_IN`. Valid from 7/0 to 50. Units: metres. Errors:
    ValueError for another gauge.

    >>> round(swg_m(26) * 1e3, 4), round(swg_m("1/0") * 1e3, 4)
    (0.4572, 8.2296)
    """
    name = _aughts(str(gauge).strip())
    refuse_unless(name in SWG_IN, f"There is no SWG {gauge} in the table; it goes from 7/0 to 50.")
    return SWG_IN[name] * INCH_M


def wire_named(text: str) -> Wire:
    """The wire that a name means: 26 SWG, AWG 30, or a diameter such as 0.2 mm.

    Formula and source: as `awg_m` and `swg_m`; a number without a unit is millimetres. Valid for one name. Units:
    metres. Errors: ValueError for a gauge that does not exist and for what is no wire.

    >>> wire_named("0,2 mm"), round(wire_named("26 swg").bare_m * 1e3, 4)
    (Wire(name='0.2 mm', bare_m=0.0002), 0.4572)
    >>> wire_named("26swg").name, wire_named("AWG 1/0").name, wire_named("awg30").name
    ('26 SWG', 'AWG 1/0', 'AWG 30')
    >>> wire_named("thin")
    Traceback (most recent call last):
    ValueError: “thin” was given, and this is a diameter of wire: 26 SWG, AWG 30, or 0.2 mm; without a unit ...
    """
    plain = text.strip()
    if not (named := _NAMED.fullmatch(plain)):
        bare_m = read_figure(plain, BARE)
        refuse_unless(bare_m > 0.0, f"A wire has a diameter above zero; {plain} was given.")
        return Wire(f"{bare_m * 1e3:.6g} mm", bare_m)
    gauge = _aughts(named[2] or named[3])
    if (named[1] or named[4]).upper() == "SWG":
        return Wire(f"{gauge} SWG", swg_m(gauge))
    return Wire(f"AWG {gauge}", awg_m(_awg_number(gauge)))


def _aughts(gauge: str) -> str:
    """Write 0, 00 and 000 as 1/0, 2/0 and 3/0."""
    found = _AUGHTS.fullmatch(gauge)
    return gauge if not found or found[1] else f"{len(gauge)}/0"


def _awg_number(gauge: str) -> int:
    aughts = _AUGHTS.fullmatch(gauge)
    fine = bool(aughts) or gauge.isdecimal()
    refuse_unless(fine, f"There is no AWG {gauge} here; the gauges go from 4/0 (counted as -3) to 60.")
    return 1 - int(aughts[1]) if aughts else int(gauge)
