"""One interconnect as physics: source, wire, what is fitted at its ends, load, and the volts at both ends in time."""

from restoration.engineering.lines.emf import source_emf_v
from restoration.engineering.lines.ends import Shares, settled_shares
from restoration.engineering.lines.records import (
    STRAIGHT_EDGE,
    EndVolts,
    LinkLoad,
    LinkModel,
    LosslessLine,
    PulseSource,
    Samples,
    SupplyRipple,
)
from restoration.engineering.lines.volts import link_volts

__all__ = [
    "STRAIGHT_EDGE",
    "EndVolts",
    "LinkLoad",
    "LinkModel",
    "LosslessLine",
    "PulseSource",
    "Samples",
    "Shares",
    "SupplyRipple",
    "link_volts",
    "settled_shares",
    "source_emf_v",
]
