"""What is to be expected on a link as it is and with other parts: waves, figures with intervals, and a verdict."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from restoration.conditioning.known import KnownCase, fitted_then
from restoration.engineering.in_place import Arrangement, Interval, LinkCase, Predicted, predict, predict_interval
from restoration.engineering.in_place.matching import TELLING, Match, Seen, match, uncertainty_of
from restoration.machine.models import SignalLimit
from restoration.machine.models.limits import Quantity
from restoration.proving.models import SignalReading
from restoration.proving.models.signal_checks import End
from restoration.proving.quantities import order_of

WITHIN, OUTSIDE, PERHAPS = "within", "outside", "perhaps outside"
MARKS = {WITHIN: "passed", OUTSIDE: "failed", PERHAPS: "in hand", "": ""}
DECIDING = (
    Quantity.AMPLITUDE,
    Quantity.PULSE_DURATION,
    Quantity.OVERSHOOT,
    Quantity.RISE_TIME,
    Quantity.FALL_TIME,
)
RINGS = 0.10  # overshoot from which a pulse is said to ring, where no limit says so: common practice, no source


@dataclass(frozen=True)
class Foreseen:
    """A case, its waves, and each figure with the interval that should hold it nine times in ten."""

    case: LinkCase
    predicted: Predicted
    figures: Mapping[tuple[str, str], Interval]
    is_matched: bool = False

    def at_load(self, quantity: str) -> Interval | None:
        """A figure at the load."""
        return self.figures.get((End.LOAD, quantity))

    def verdict(self, limit: SignalLimit) -> str:
        """How a figure at the load stands to its limit, by its interval; empty where it is not reckoned."""
        told = self.at_load(limit.quantity)
        return "" if told is None else verdict_on(told, limit)

    def missed(self, limits: Mapping[str, SignalLimit]) -> list[SignalLimit]:
        """The limits that the expected figures themselves do not meet."""
        return [limit for limit in limits.values() if self._is_missed(limit)]

    def _is_missed(self, limit: SignalLimit) -> bool:
        told = self.at_load(limit.quantity)
        return told is not None and not _holds(limit, told.value)


def _holds(limit: SignalLimit, value: float) -> bool:
    return (limit.least is None or value >= limit.least) and (limit.most is None or value <= limit.most)


def verdict_on(told: Interval, limit: SignalLimit) -> str:
    """Within if the whole interval is, outside if all of it is, and otherwise perhaps outside."""
    inside = [_holds(limit, value) for value in (told.low, told.value, told.high)]
    if all(inside):
        return WITHIN
    beyond_most = limit.most is not None and told.low > limit.most
    below_least = limit.least is not None and told.high < limit.least
    return OUTSIDE if beyond_most or below_least else PERHAPS


def foresee(
    known: KnownCase, case: LinkCase, arrangement: Arrangement | None = None, *, is_matched: bool = False
) -> Foreseen:
    """Reckon what a case will show, with these parts on the link in place of its own where they are given.

    A case matched to what was seen on the link has its wire and drive as they are, so that of the constants of the
    site only the spread is left to it.
    """
    if arrangement is not None:
        case = replace(case, arrangement=arrangement)
    constants = known.constants
    if is_matched:
        constants = replace(constants, means=(0.0,) * len(constants.means))
    told = predict_interval(case, constants, known.wire_key, known.drive_key)
    predicted = predict(constants.applied(case, known.wire_key, known.drive_key))
    return Foreseen(case, predicted, {(end, str(quantity)): each for (end, quantity), each in told.items()}, is_matched)


def matched_to_seen(known: KnownCase) -> Match | None:
    """The case with its source as the newest check found it; None where no check tells an amplitude at the load."""
    read = known.measured.get((End.LOAD, Quantity.AMPLITUDE))
    if known.case is None or read is None or not read.value:
        return None
    seen = tuple(_seen(end, quantity, row) for (end, quantity), row in known.measured.items() if quantity in TELLING)
    return _matched(replace(known.applied(known.case), arrangement=fitted_then(known)), seen)


@lru_cache(maxsize=32)
def _matched(case: LinkCase, seen: tuple[Seen, ...]) -> Match:
    """Who looks at a link looks at it several times; matching takes longer than all the rest of its page."""
    return match(case, seen)


def _seen(end: str, quantity: str, row: SignalReading) -> Seen:
    value = abs(row.value or 0.0) if quantity == Quantity.AMPLITUDE else float(row.value or 0.0)
    return Seen(end, quantity, value, uncertainty_of(quantity, value, row.uncertainty))


def is_unlike(known: KnownCase) -> bool:
    """Whether the newest check read something at the load that lies outside of what was to be expected then."""
    if known.case is None or known.rows.check is None:
        return False
    then = foresee(known, known.case, fitted_then(known))
    return any(
        not told.holds(abs(known.measured[place].value or 0.0))
        for place, told in then.figures.items()
        if place in known.measured and place[0] == End.LOAD and place[1] in DECIDING
    )


def shown_quantities(foreseen: Foreseen, known: KnownCase) -> list[str]:
    """The quantities that a table shows, in the order in which they are read off a trace."""
    reckoned = {quantity for _, quantity in foreseen.figures}
    return order_of({*reckoned, *known.limits})
