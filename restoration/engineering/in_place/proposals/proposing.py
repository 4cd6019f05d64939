"""What can be fitted on a link, made of parts on offer: ranked, reversible, each with what it does and costs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.figures import predict
from restoration.engineering.in_place.proposals.aims import SPARE, Aims, words_of
from restoration.engineering.in_place.proposals.judging import Judge
from restoration.engineering.in_place.proposals.records import AsItIs, PartOffer, Proposal, Proposals
from restoration.engineering.in_place.proposals.searching import search
from restoration.engineering.in_place.proposals.space import Shelf
from restoration.engineering.in_place.proposals.steady import shares, variants_of
from restoration.engineering.in_place.proposals.waves import Fittings
from restoration.engineering.in_place.proposals.writing import Writer
from restoration.engineering.in_place.warnings import LUMPING_TOLD, lumping_error
from restoration.engineering.limits import Limit, Quantity
from restoration.engineering.plots import format_part
from restoration.engineering.refusals import refuse_unless

DERATING = 0.5
"""Part of its rated watts that a part is given at most (common practice, no source)."""


def propose(
    case: LinkCase,
    limits: Mapping[Quantity, Limit],
    offers: Iterable[PartOffer],
    *,
    count: int = 8,
    derating: float = DERATING,
    spare: float = SPARE,
) -> tuple[Proposal, ...]:
    """The best arrangements of offered parts for a link, best first; `weigh_up` says the rest.

    Formula: the candidates in rising order of the score

        (outside, missed, worst, parts, off, share, bought, values, offers)

    compared from the left, at most three of one kind, of those within a factor 1.15 in all values only the best, none
    that is farther outside or misses more than the best, and where that meets everything none of more parts; where
    outside = ceil(100*d/An), d how far the amplitude A lies outside its limits drawn in by `spare`, An the nominal;
    missed = limits missed at this load besides the amplitude (drawn in by `spare`; the drive's most is one of them)
    plus limits that a load of another wire of the source would miss and meets now;
    worst = ceil(100*d/An), d how far the amplitude lies outside its limits in the worst case of all tolerances;
    parts = parts on the wire; off = round(50*|A - An|/An); share = round(20*I/Imax), I the steady current of the
    source, Imax its most (where that is not known, what an edge takes along the bare wire);
    bought = parts not from stores; values and offers put what is left in a fixed order.

    Candidates: every offered value as a series damper, as a shunt, as a shunt through every offered capacitor, as a
    divider at the load, as one with every offered capacitor within a factor 1.25 of R1*C1 = (R2 beside the load)*C,
    and as a series damper with a shunt; each on the bare wire, and beside what is fitted now; and the bare wire.
    Allowed: no line of the list used up; no part beyond `derating` of its rated watts, or its rated volts; no more
    steady current than the drive's most (or than now); sums of open-circuit time constants, that of a grid stopper left
    out, not above the slower edge allowed, nor five of them above the pulse's duration (or than now); a coupling
    capacitor that holds for there and back. Listed: what is better in (outside, missed, worst) than leaving the link as
    it is, than its own shunt or damper alone, and a divider kept flat than without its capacitor.
    The list equals what reckoning every candidate in time would give: levels and currents of all are exact, and
    nothing is left out but by a bound that its score cannot be under.
    Source: own; the figures as `predict` has them within 2 % (a hundredth of the amplitude for overshoot), but where an
    edge pauses at a reference level. Valid as `predict`.
    Units: SI. Errors: ValueError for a count under 1, a derating or spare that is no part, an offer that cannot be.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source = PulseSource(0.0, 20.0, 1e-6, 4.5e-8, 7e-8, resistance_ohm=40.0)
    >>> case = LinkCase(source, 4.6, WireConstants.of_line(280.0, 4e-9), LinkLoad(100e3, 34e-12))
    >>> offers = [PartOffer("resistor", ohm, 0.05, key=f"{ohm}") for ohm in (47.0, 100.0, 220.0, 470.0)]
    >>> best = propose(case, {Quantity.OVERSHOOT: Limit(most=0.1), Quantity.AMPLITUDE: Limit(18.0, 20.0, 22.0)}, offers)
    >>> best[0].arrangement.words, best[0].met
    ('220\\xa0Ω in series at the source', True)
    """
    return weigh_up(case, limits, offers, count=count, derating=derating, spare=spare).proposals


def weigh_up(
    case: LinkCase,
    limits: Mapping[Quantity, Limit],
    offers: Iterable[PartOffer],
    *,
    count: int = 8,
    derating: float = DERATING,
    spare: float = SPARE,
) -> Proposals:
    """The link as it is, what can be done about it, and what is to be said about the whole.

    Formula, source, validity, units and errors: as `propose`, which gives the proposals alone.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(100e3))
    >>> found = weigh_up(case, {Quantity.AMPLITUDE: Limit(least=25.0)}, [])
    >>> found.proposals, found.as_it_is.met
    ((), False)
    """
    _refuse(count, derating, spare)
    limits = {Quantity(quantity): limit for quantity, limit in limits.items()}
    before = predict(case)
    aims = Aims.of(limits, _steady_amplitude_v(case), case.drive_most_a, spare)
    judge = Judge(case, aims, Shelf.of(offers), derating)
    searched = search(judge, count)
    writer = Writer(judge, limits, before)
    proposals = tuple(writer.proposal(found) for found in searched.best)
    as_it_is = writer.as_it_is()
    words = (*words_of(aims, limits), *_about(case, judge.shelf, as_it_is, proposals, searched.looked_at))
    return Proposals(as_it_is, proposals, words, searched.looked_at, searched.simulated)


def _refuse(count: int, derating: float, spare: float) -> None:
    refuse_unless(count >= 1, f"At least one proposal has to be asked for; {count} were.")
    refuse_unless(
        0.0 < derating <= 1.0, f"A derating is a part of the rating, above 0 and up to 1; {derating} was given."
    )
    refuse_unless(0.0 <= spare < 0.5, f"Limits are drawn in by 0 to less than a half of them; {spare} was given.")


def _steady_amplitude_v(case: LinkCase) -> float:
    now = variants_of(case, Fittings.of((case.arrangement,)))
    return abs(case.source.step_v) * float(shares(now).load[0])


def _about(case: LinkCase, shelf: Shelf, now: AsItIs, proposals: tuple[Proposal, ...], looked_at: int) -> Iterator[str]:
    """What is to be said about the whole, in sentences."""
    if case.source.step_v < 0.0:
        yield "The pulse goes negative: its rise time is that of the trailing edge, its fall time that of the leading."
    if case.source.period_s is None:
        yield (
            "How often the pulse comes is not known; watts are reckoned as though the source stood at its active "
            "level all the time."
        )
    if case.drive_most_a is None:
        yield "What the source can give is not known; nothing is left out for asking too much of it."
    if case.others:
        yield (
            "Each other wire of the source is reckoned as a line of its own, with this wire and the rest beside it "
            "as a resistance beside a capacitance on the source terminal."
        )
        yield from _lumping(case)
    yield from _outcome(shelf, now, proposals, looked_at)


def _lumping(case: LinkCase) -> Iterator[str]:
    error = lumping_error(case)
    if error > LUMPING_TOLD:
        yield (
            f"They are long beside the edge: while it passes, what is reckoned may err by {format_part(error)} of the "
            "amplitude, and the time of an edge by more. A limit on edges or overshoot that is met here may be missed "
            "in place."
        )


def _outcome(shelf: Shelf, now: AsItIs, proposals: tuple[Proposal, ...], looked_at: int) -> Iterator[str]:
    if not shelf.offers:
        yield "No part is on offer, neither from stores nor of preferred values."
    if proposals and not any(one.met for one in proposals):
        yield (
            f"None of {looked_at:,} arrangements meets every limit. The best that can be done is {proposals[0].kind}: "
            f"{proposals[0].arrangement.words}. {' '.join(proposals[0].missed)}"
        )
    elif not proposals and now.met:
        yield "Nothing needs to be fitted; no arrangement would be better than leaving the link as it is."
    elif not proposals:
        yield (
            f"None of {looked_at:,} arrangements is better than leaving the link as it is. What is missed has to be "
            "cured elsewhere: at the source, by another wire, or by other parts on offer."
        )
