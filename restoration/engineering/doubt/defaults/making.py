"""How a default rule is written down, and the gates that many of them ask for."""

from collections.abc import Iterable

from restoration.engineering.doubt.kinds import Kind, Reach, Share
from restoration.engineering.doubt.rule import Rule

SIGNAL = ("signal-checked",)
WIRE = ("rung out", "signal-checked")
WHOLE_WIRE = ("joined", "rung out", "signal-checked")
POWER_UP = ("heaters on", "HT on")
ONE_IN = 5


def rule(
    number: int,
    kind: Kind,
    reach: Reach,
    gates: Iterable[str],
    reason: str,
    share: Share = Share.ALL,
    one_in: int = ONE_IN,
) -> Rule:
    """Write one default rule, of version 0.

    >>> rule(9, Kind.FAULT, Reach.LINK, SIGNAL, "It was seen to go wrong.").version
    0
    """
    return Rule(number, kind, reach, frozenset(gates), share, one_in, reason)
