"""The site's wiring constants from its records: which of them, what comes of it, and what each leaves over."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from restoration.conditioning.recording import CANNOT_BE, Recorded, Taken, recorded
from restoration.engineering.in_place import SiteConstants, fit, predict
from restoration.machine.models.limits import Quantity

FEWEST = 5
MOST = 60
"""Records that one fit takes, the newest; more would take longer than a page should."""
TOO_FEW = (
    "{count} signal checks tell something of wires and drives, and at least {fewest} are needed to fit constants. "
    "A check tells something if all loads were joined, its amplitude at the load was measured, the length of its link "
    "is written down, drawings say what drives it and what it ends in, and a bench test of the chassis in the slot of "
    "its source tells the amplitude there."
)


@dataclass(frozen=True)
class SiteFit:
    """Constants fitted from records, the records they are from, and how many older ones were not taken."""

    constants: SiteConstants
    taken: tuple[Taken, ...]
    recorded: Recorded

    @property
    def not_taken(self) -> int:
        """How many older records told something and were not needed."""
        return max(0, len(self.recorded.taken) - MOST)

    @property
    def left_out(self) -> dict[str, int]:
        """How many checks are left out for each reason, those among the newest that cannot be reckoned with them."""
        reasons = self.recorded.reasons
        unlike = len(self.recorded.taken) - self.not_taken - len(self.taken)
        return {**reasons, CANNOT_BE: reasons.get(CANNOT_BE, 0) + unlike} if unlike else reasons

    def told(self) -> dict[str, Any]:
        """The whole answer as plain data: the constants, each record with what it leaves over, what was left out."""
        return {
            **self.constants.as_dict(),
            "records": [_told_of(each, self.constants) for each in self.taken],
            "older_records": self.not_taken,
            "left_out": self.left_out,
        }


def fit_site(*, until: datetime | None = None) -> SiteFit:
    """Fit the constants to the newest records up to a moment; raises ValueError with a sentence where too few tell."""
    return fit_of(recorded(until=until))


def fit_of(found: Recorded) -> SiteFit:
    """Fit the constants to the newest of these records; raises ValueError with a sentence where too few tell."""
    taken = newest(found.taken)
    if len(taken) < FEWEST:
        raise ValueError(too_few(len(taken)))
    return SiteFit(fit([each.record for each in taken]), taken, found)


def newest(taken: Sequence[Taken]) -> tuple[Taken, ...]:
    """The records that a fit takes: of the newest so many, those of whose link a pulse can be reckoned."""
    return tuple(filter(_can_be_reckoned, taken[-MOST:]))


def _can_be_reckoned(taken: Taken) -> bool:
    try:
        predict(taken.record.case)
    except (ValueError, ArithmeticError):
        return False
    return True


def too_few(count: int) -> str:
    """Say that there are too few records, and how many are needed."""
    said = TOO_FEW.format(count=count, fewest=FEWEST)
    return said.replace("1 signal checks tell", "1 signal check tells") if count == 1 else said


def _told_of(taken: Taken, constants: SiteConstants) -> dict[str, Any]:
    """One record with what was measured and what these constants say of it, in SI units."""
    record = taken.record
    figures = predict(constants.applied(record.case, record.wire, record.drive)).load
    return {
        "check": taken.check.pk,
        "link": taken.link.code,
        "at": taken.check.done_at.isoformat(),
        "stage": taken.beside.stage,
        "wire": record.wire,
        "drive": record.drive,
        "drive_ohm": record.case.source.resistance_ohm,
        "name": record.name,
        "figures": {
            str(Quantity(quantity)): {"measured": value, "uncertainty": doubt, "reckoned": figures.get(quantity)}
            for quantity, (value, doubt) in record.measured.items()
        },
    }
