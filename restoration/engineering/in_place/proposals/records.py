"""What goes into proposing, the parts on offer, and what comes out: proposals and the link as it is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.in_place.arrangement import CAPACITOR, RESISTOR, Arrangement, Fitted
from restoration.engineering.in_place.figures import Predicted
from restoration.engineering.plots import format_si
from restoration.engineering.refusals import refuse_not_above_zero, refuse_not_finite, refuse_unless

STORES, FITTED = "stores", "fitted"
KINDS = (RESISTOR, CAPACITOR)


@dataclass(frozen=True)
class PartOffer:
    """A part that may be fitted: resistor or capacitor, its value in ohms or farads, and where it comes from.

    `tolerance` is a part of the value; `rating_w` and `rating_v` are None where nobody knows them; `quantity` is None
    where any number can be had (a preferred value that is bought). `where` is "stores", "fitted" (already on the
    wire) or the name of a series; `key` tells this offer from all others. Raises ValueError for what cannot be.

    >>> PartOffer("resistor", 330.0, 0.05, rating_w=0.5, quantity=4, where="stores", key="R-12").words
    '330\\xa0Ω ±5\\xa0% from stores'
    """

    kind: str
    value: float
    tolerance: float
    rating_w: float | None = None
    rating_v: float | None = None
    quantity: int | None = None
    where: str = STORES
    key: str = ""

    def __post_init__(self) -> None:
        refuse_unless(self.kind in KINDS, f"A part on offer is a resistor or a capacitor; “{self.kind}” was given.")
        refuse_not_above_zero(value=self.value)
        refuse_not_finite(value=self.value)
        refuse_unless(
            0.0 <= self.tolerance < 1.0,
            f"A tolerance is a part of the value, from 0 to less than 1; {self.tolerance} was given.",
        )
        for name in ("rating_w", "rating_v"):
            rating = getattr(self, name)
            refuse_unless(
                rating is None or 0.0 < rating < math.inf,
                f"{name} must be more than zero and finite, or left out; {rating} was given.",
            )
        refuse_unless(
            self.quantity is None or self.quantity >= 0,
            f"There cannot be {self.quantity} of a part; the quantity is zero or more, or left out.",
        )

    @property
    def words(self) -> str:
        """Value, tolerance and origin for people."""
        value = format_si(self.value, "Ω" if self.kind == RESISTOR else "F")
        return f"{value} ±{100 * self.tolerance:.3g}\u00a0% {self.origin}"

    @property
    def origin(self) -> str:
        """Where it comes from, in words."""
        if self.where == STORES:
            return "from stores"
        return "already on the wire" if self.where == FITTED else f"to be bought ({self.where})"


@dataclass(frozen=True)
class PartUse:
    """One part of a proposal: its place, the offer it comes from, what it gets warm with and what stands across it.

    `watts` is the mean over a period; `volts` is an upper bound of the peak.
    """

    role: str
    offer: PartOffer
    watts: float
    volts: float

    @property
    def fitted(self) -> Fitted:
        """The part at its place."""
        return Fitted(self.role, self.offer.kind, self.offer.value)


@dataclass(frozen=True)
class EffectOnOther:
    """What a proposal does to another wire of the same source: figures before and after, and limits in words.

    `missed` says which limits its load misses afterwards, `newly` which of those it met before.
    """

    code: str
    before: Predicted
    after: Predicted
    missed: tuple[str, ...]
    newly: tuple[str, ...]
    words: str


@dataclass(frozen=True)
class AsItIs:
    """The link left as it is, which every proposal is compared with."""

    arrangement: Arrangement
    predicted: Predicted
    met: bool
    missed: tuple[str, ...]
    words: str


@dataclass(frozen=True)
class Proposal:
    """One reversible arrangement made of parts on offer: the complete arrangement from then on.

    `parts` are all parts that are on the wire afterwards; those that stay have an offer whose `where` is "fitted".
    `removed` are those that come off. `met` is about the limits at nominal part values, `met_at_worst` about the
    amplitude over all part tolerances. `score` is what the list is ordered by (see `propose`).
    """

    arrangement: Arrangement
    kind: str
    parts: tuple[PartUse, ...]
    removed: tuple[Fitted, ...]
    before: Predicted
    after: Predicted
    others: tuple[EffectOnOther, ...]
    drive_share: float | None
    met: bool
    met_at_worst: bool
    missed: tuple[str, ...]
    amplitude_low_v: float
    amplitude_high_v: float
    score: tuple[float, ...]
    why: tuple[str, ...]
    check_afterwards: tuple[str, ...]
    undone_how: str


@dataclass(frozen=True)
class Proposals:
    """The link as it is, what can be done about it, best first, and what is to be said about the whole.

    `simulated` is how many arrangements were reckoned in time, out of `looked_at`.
    """

    as_it_is: AsItIs
    proposals: tuple[Proposal, ...]
    words: tuple[str, ...]
    looked_at: int
    simulated: int
