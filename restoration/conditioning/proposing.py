"""What can be fitted on a link: parts of the stores and of the preferred values, ranked by the engineering core."""

import math
from dataclasses import replace
from functools import cache, lru_cache

from restoration.conditioning.known import KnownCase
from restoration.engineering.in_place import LinkCase, predict
from restoration.engineering.in_place.proposals import PartOffer, Proposals, weigh_up
from restoration.engineering.limits import Limit, Quantity
from restoration.engineering.plots import format_si
from restoration.engineering.preferred_values import tolerance_of, values_between
from restoration.machine.models import SignalLimit
from restoration.workshop.models import PartKind, StoresLine

SERIES_BY_LOADS = ((4, "E24"), (10, "E12"), (math.inf, "E6"))  # up to so many other loads on the source
COUNT = 8
KEPT = 3  # lists that the process keeps: a list of a source with many loads takes some megabytes
OHMS = (10.0, 220e3)  # preferred values that are worth buying for a wire of such machines: common practice, no source
FARADS = (10e-12, 100e-9)
SLOWED_BY, PART_FOR_AN_EDGE = 1.5, 0.1  # times the edge as it is, or of the pulse: common practice, no source
STORES_KEY = "stores-"


def stores_key(line: StoresLine) -> str:
    """How an address names a line of the stores."""
    return f"{STORES_KEY}{line.pk}"


def series_for(case: LinkCase) -> str:
    """The preferred values that are looked at: fewer on a source with many loads, each of which is reckoned too."""
    return next(series for most, series in SERIES_BY_LOADS if len(case.others) <= most)


def offers(series: str) -> tuple[PartOffer, ...]:
    """All parts that may be fitted: what is in the stores now, and preferred values that can be had; one read."""
    return (*(offer_of(line) for line in StoresLine.objects.to_hand()), *preferred_offers(series))


def offer_of(line: StoresLine) -> PartOffer:
    """A line of the stores as a part on offer."""
    return PartOffer(
        kind=line.kind,
        value=line.value,
        tolerance=line.tolerance,
        rating_w=line.rating_w,
        rating_v=line.rating_v,
        quantity=line.quantity,
        key=stores_key(line),
    )


@cache
def preferred_offers(series: str) -> tuple[PartOffer, ...]:
    """Resistors and capacitors of the preferred values."""
    stretches = ((PartKind.RESISTOR, OHMS), (PartKind.CAPACITOR, FARADS))
    return tuple(
        PartOffer(
            kind=str(kind), value=value, tolerance=tolerance_of(series), where=series, key=f"{series}-{kind}-{value:g}"
        )
        for kind, (least, most) in stretches
        for value in values_between(series, least, most)
    )


def limits_of(known: KnownCase) -> dict[Quantity, Limit]:
    """The limits of the signal as the core takes them: of a pulse; a nominal outside of its limits is none."""
    reckoned = {quantity.value: quantity for quantity in Quantity}
    return {reckoned[name]: _limit(row) for name, row in known.limits.items() if name in reckoned}


def _limit(row: SignalLimit) -> Limit:
    bare = Limit(least=row.least, most=row.most)
    is_inside = row.nominal is not None and _or(row.least, -math.inf) <= row.nominal <= _or(row.most, math.inf)
    return replace(bare, nominal=row.nominal) if is_inside else bare


def _or(value: float | None, other: float) -> float:
    return other if value is None else value


def proposals_for(known: KnownCase, case: LinkCase, *, count: int = COUNT) -> Proposals:
    """Rank what can be fitted on a link; raises ValueError with a sentence where nothing can be proposed."""
    asked = limits_of(known)
    unsaid = {} if not asked else {edge: limit for edge, limit in _edges_unsaid(case).items() if edge not in asked}
    found = _weighed(case, (*asked.items(), *unsaid.items()), offers(series_for(case)), count)
    return replace(found, words=(*found.words, *(_unsaid_in_words(edge, limit) for edge, limit in unsaid.items())))


def _edges_unsaid(case: LinkCase) -> dict[Quantity, Limit]:
    """What is asked of an edge that no limit speaks of: not slowed much, or what is proposed would round the pulse."""
    load = predict(case).load
    longest_s = PART_FOR_AN_EDGE * case.source.duration_s
    return {
        Quantity.RISE_TIME: Limit(most=max(SLOWED_BY * load.rise_time_s, longest_s)),
        Quantity.FALL_TIME: Limit(most=max(SLOWED_BY * load.fall_time_s, longest_s)),
    }


def _unsaid_in_words(edge: Quantity, limit: Limit) -> str:
    most = format_si(limit.most, "s")
    return f"No limit is stated for the {edge.words}, so that what slows it past {most} is not proposed."


@lru_cache(maxsize=KEPT)
def _weighed(
    case: LinkCase, limits: tuple[tuple[Quantity, Limit], ...], parts: tuple[PartOffer, ...], count: int
) -> Proposals:
    """Who chooses among proposals asks for the same list again and again; the last few are kept."""
    return weigh_up(case, dict(limits), parts, count=count)
