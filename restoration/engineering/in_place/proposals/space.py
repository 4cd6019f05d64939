"""All arrangements that can be made of the parts on offer, and which of them are allowed at all."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace

import numpy as np

from restoration.engineering.in_place.arrangement import BARE, CAPACITOR, ROLES, Arrangement
from restoration.engineering.in_place.proposals.records import STORES, PartOffer
from restoration.engineering.in_place.proposals.waves import Fittings
from restoration.engineering.link_model import LinkLoad, Samples

NOTHING, DAMPER, SHUNT, COUPLED, DIVIDER, FLAT_DIVIDER, DAMPED_SHUNT = KINDS = (
    "nothing fitted",
    "series damper",
    "shunt",
    "coupled termination",
    "divider",
    "divider kept flat",
    "series damper with shunt",
)
NEW_ROLES: dict[str, tuple[str, ...]] = {
    NOTHING: (),
    DAMPER: ("series_ohm",),
    SHUNT: ("shunt_ohm",),
    COUPLED: ("shunt_ohm", "shunt_coupling_f"),
    DIVIDER: ("attenuator_ohm", "shunt_ohm"),
    FLAT_DIVIDER: ("attenuator_ohm", "attenuator_f", "shunt_ohm"),
    DAMPED_SHUNT: ("series_ohm", "shunt_ohm"),
}
FLAT_WITHIN = 1.25
"""How far a capacitor across a divider may be from the flat value, as a factor either way."""
ROLE_ORDER = tuple(ROLES)
NOTHING_NEW = -1
Mask = Callable[[Fittings], np.ndarray]


@dataclass(frozen=True)
class Candidates:
    """Arrangements as columns with what kind each is, on which base, and which offer is at each place (k, 6)."""

    fitted: Fittings
    kind: np.ndarray
    base: np.ndarray
    offers: np.ndarray

    @property
    def count(self) -> int:
        """How many there are."""
        return self.kind.size

    def take(self, index: np.ndarray) -> Candidates:
        """Those of the index or mask."""
        return Candidates(self.fitted.take(index), self.kind[index], self.base[index], self.offers[index])

    def has(self, place: int) -> bool:
        """Whether any has a new part at the place of this number."""
        return bool(self.count) and bool(np.any(self.offers[:, place] != NOTHING_NEW))

    @property
    def parts(self) -> Samples:
        """How many parts are on the wire, those that stay included."""
        columns = (getattr(self.fitted, field.name) != field.default for field in fields(Arrangement))
        return sum((column.astype(float) for column in columns), np.zeros(self.count))


def joined(groups: Iterable[Candidates]) -> Candidates:
    """Several lots of candidates as one."""
    lots = list(groups)
    fitted = Fittings(*(np.concatenate([getattr(lot.fitted, role) for lot in lots]) for role in ROLE_ORDER))
    kind, base, offers = (np.concatenate([getattr(lot, name) for lot in lots]) for name in ("kind", "base", "offers"))
    return Candidates(fitted, kind, base, offers)


@dataclass(frozen=True)
class Shelf:
    """The offers worth looking at, in a fixed order, as columns."""

    offers: tuple[PartOffer, ...]

    @classmethod
    def of(cls, offers: Iterable[PartOffer]) -> Shelf:
        """The shelf of these offers: what there is none of, and what another offer beats in everything, left out."""
        ordered = sorted((offer for offer in offers if offer.quantity != 0), key=_order)
        groups: dict[tuple[str, float], list[PartOffer]] = {}
        for offer in ordered:
            kept = groups.setdefault((offer.kind, offer.value), [])
            if not any(_beats(better, offer) for better in kept):
                kept.append(offer)
        return cls(tuple(offer for offer in ordered if offer in groups[offer.kind, offer.value]))

    def places(self, kind: str) -> np.ndarray:
        """Numbers of the offers of a kind."""
        return np.array([at for at, offer in enumerate(self.offers) if offer.kind == kind], dtype=np.intp)

    def column(self, read: Callable[[PartOffer], float], absent: float) -> Samples:
        """One figure of every offer, and last the figure of no offer, so that the number -1 finds it."""
        return np.array([*(read(offer) for offer in self.offers), absent], dtype=np.float64)

    @property
    def values(self) -> Samples:
        """Values in ohms and farads."""
        return self.column(lambda offer: offer.value, np.nan)


def _order(offer: PartOffer) -> tuple[object, ...]:
    ratings = (-(offer.rating_w or np.inf), -(offer.rating_v or np.inf))
    return (offer.kind, offer.value, offer.where != STORES, offer.tolerance, *ratings, offer.where, offer.key)


def _beats(better: PartOffer, other: PartOffer) -> bool:
    """Whether the first, which comes earlier in order, can stand for the other everywhere."""
    enough = better.quantity is None or better.quantity >= len(ROLE_ORDER)
    near = (better.where == STORES) >= (other.where == STORES)
    return (
        enough
        and near
        and better.tolerance <= other.tolerance
        and (better.rating_w or np.inf) >= (other.rating_w or np.inf)
        and (better.rating_v or np.inf) >= (other.rating_v or np.inf)
    )


def bases(now: Arrangement) -> tuple[Arrangement, ...]:
    """What new parts are added to: the bare wire, and what is on it now where that is something."""
    return (BARE,) if now == BARE else (BARE, now)


def _all(fitted: Fittings) -> np.ndarray:
    return np.ones(fitted.count, dtype=bool)


def everything(
    shelf: Shelf, now: Arrangement, load: LinkLoad, keep: Mask = _all, kinds: Collection[str] = KINDS
) -> Iterator[Candidates]:
    """All arrangements of the shelf, one lot for each kind on each base, as far as `keep` keeps them.

    `keep` is asked with dividers before they get their capacitor; it may only look at what that does not change.
    The arrangement that is there now is not among them, nor the bare wire where it is bare.
    Formula: none. Source: none. Valid for any offers. Units: ohms, farads. Errors: none.

    >>> shelf = Shelf.of([PartOffer("resistor", 220.0, 0.05), PartOffer("resistor", 470.0, 0.05)])
    >>> [(KINDS[lot.kind[0]], lot.count) for lot in everything(shelf, BARE, LinkLoad(1e6)) if lot.count]
    [('series damper', 2), ('shunt', 2), ('divider', 4), ('series damper with shunt', 4)]
    """
    for base, on in enumerate(bases(now)):
        divider = None
        for kind in KINDS[1 if on == now else 0 :]:
            if kind == FLAT_DIVIDER and kind in kinds:
                yield _kept_flat(shelf, divider or _lot(shelf, DIVIDER, base, on, keep), load)
            elif kind in kinds:
                lot = _lot(shelf, kind, base, on, keep)
                divider = lot if kind == DIVIDER else divider
                yield lot


def _lot(shelf: Shelf, kind: str, base: int, on: Arrangement, keep: Mask) -> Candidates:
    """All of one kind on one base that are kept; offers are only put beside those."""
    roles, stays = NEW_ROLES[kind], _cleared(on, NEW_ROLES[kind])
    grid = np.meshgrid(*(shelf.places(ROLES[role][0]) for role in roles), indexing="ij") if roles else []
    chosen = {role: axis.ravel() for role, axis in zip(roles, grid, strict=True)}
    count = grid[0].size if grid else 1
    fitted = _fitted(shelf, stays, chosen, count)
    kept = np.flatnonzero(keep(fitted))
    offers = np.full((kept.size, len(ROLE_ORDER)), NOTHING_NEW, dtype=np.intp)
    for role, places in chosen.items():
        offers[:, ROLE_ORDER.index(role)] = places[kept]
    number = KINDS.index(kind)
    return Candidates(fitted.take(kept), np.full(kept.size, number), np.full(kept.size, base), offers)


def _fitted(shelf: Shelf, stays: Arrangement, chosen: Mapping[str, np.ndarray], count: int) -> Fittings:
    values = shelf.values
    return Fittings(
        *(
            values[chosen[role]] if role in chosen else np.broadcast_to(float(getattr(stays, role)), (count,))
            for role in ROLE_ORDER
        )
    )


def _cleared(on: Arrangement, roles: tuple[str, ...]) -> Arrangement:
    """What stays of a base when new parts come to these places: what belongs to a replaced part goes with it."""
    if "attenuator_ohm" in roles:
        on = replace(on, attenuator_ohm=0.0, attenuator_f=0.0)
    if "shunt_ohm" in roles:
        on = replace(on, shunt_ohm=np.inf, shunt_coupling_f=np.inf)
    return replace(on, series_ohm=0.0) if "series_ohm" in roles else on


def flat_f(fitted: Fittings, load: LinkLoad) -> Samples:
    """The capacitance across each attenuator that keeps it flat.

    Formula: R1*C1 = (R2 beside the load)*C of the load. Source: circuit theory. Valid for an attenuator that is there.
    Units: farads. Shapes: (k,). Errors: none.

    >>> fitted = Fittings.of((Arrangement(attenuator_ohm=2000.0, shunt_ohm=1000.0),))
    >>> (flat_f(fitted, LinkLoad(capacitance_f=40e-12)) * 1e12).round(6).tolist()
    [20.0]
    """
    foot_ohm = 1.0 / (load.conductance_s + fitted.direct_shunt_s)
    flat: Samples = foot_ohm * load.capacitance_f / fitted.attenuator_ohm
    return flat


def _kept_flat(shelf: Shelf, plain: Candidates, load: LinkLoad) -> Candidates:
    """Each divider with every capacitor that is near enough to the flat value."""
    places = shelf.places(CAPACITOR)
    held = shelf.values[places]
    wanted = flat_f(plain.fitted, load)
    first = np.searchsorted(held, wanted / FLAT_WITHIN, side="left")
    each = np.searchsorted(held, wanted * FLAT_WITHIN, side="right") - first
    rows = np.repeat(np.arange(plain.count), each)
    place = places[first[rows] + np.arange(rows.size) - np.repeat(np.cumsum(each) - each, each)]
    many = plain.take(rows)
    offers = many.offers.copy()
    offers[:, ROLE_ORDER.index("attenuator_f")] = place
    fitted = replace(many.fitted, attenuator_f=shelf.values[place])
    return Candidates(fitted, np.full(rows.size, KINDS.index(FLAT_DIVIDER)), many.base, offers)
