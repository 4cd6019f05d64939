"""What the page of a link in place shows: what to expect, what was measured, what can be fitted, in words and rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from restoration.conditioning.choosing import Chosen
from restoration.conditioning.foreseeing import (
    MARKS,
    PERHAPS,
    RINGS,
    Foreseen,
    foresee,
    is_unlike,
    matched_to_seen,
    shown_quantities,
    verdict_on,
)
from restoration.conditioning.known import TOO_FAR, KnownCase
from restoration.conditioning.proposing import COUNT, limits_of, proposals_for
from restoration.engineering.in_place import Interval, LinkCase
from restoration.engineering.in_place.matching import Match
from restoration.engineering.in_place.proposals import Proposal, Proposals
from restoration.machine.models import SignalLimit
from restoration.machine.models.limits import Quantity
from restoration.proving.models.signal_checks import End
from restoration.proving.quantities import USUAL, limit_reads, reads, words
from restoration.proving.wording import unbroken

BENCH, PLACE = "bench", "place"
OF_OTHER_WIRES = "The wire to "
MOST_NAMED = 2  # limits that the first sentence names, besides that of the amplitude
LUMPS_SHOWN = 2  # warnings about other wires that are shown before the rest folds


@dataclass(frozen=True)
class Told:
    """A predicted figure as it stands in a table: value, interval, and how it stands to its limit."""

    value: str = "–"
    interval: str = ""
    verdict: str = ""

    @property
    def mark(self) -> str:
        """The shape of the verdict."""
        return MARKS[self.verdict]


@dataclass(frozen=True)
class FigureRow:
    """One quantity at one end: limit, expected now and with the part, measured last."""

    name: str
    limit: str
    now: Told
    chosen: Told
    found: str
    left: str
    is_first: bool


@dataclass(frozen=True)
class FigureTable:
    """The figures of one end: those that are shown at once, and those that fold."""

    end: str
    rows: list[FigureRow]

    @property
    def parts(self) -> list[tuple[bool, list[FigureRow]]]:
        """Whether a part folds, and its rows; an empty part is left out."""
        first = [row for row in self.rows if row.is_first]
        rest = [row for row in self.rows if not row.is_first]
        return [(folds, rows) for folds, rows in ((False, first), (True, rest)) if rows]

    @property
    def has_found(self) -> bool:
        """Whether the newest check found anything here."""
        return any(row.found for row in self.rows)

    @property
    def has_left(self) -> bool:
        """Whether it left anything here."""
        return any(row.left for row in self.rows)


@dataclass(frozen=True)
class LinkInPlace:
    """A link with all that its page says. `basis` says what the level of the source rests on."""

    known: KnownCase
    basis: str
    now: Foreseen
    is_unlike: bool
    choice: Chosen | None = None
    matched: Match | None = None

    @cached_property
    def chosen(self) -> Foreseen | None:
        """What is to be expected with the chosen parts."""
        if self.choice is None:
            return None
        return foresee(self.known, self.now.case, self.choice.arrangement, is_matched=self.now.is_matched)

    @cached_property
    def proposals(self) -> Proposals | None:
        """What can be fitted; nothing where no limit says what is wanted."""
        return self.proposed(COUNT) if limits_of(self.known) else None

    def proposed(self, count: int) -> Proposals:
        """So many of what can be fitted, the best first; raises ValueError for a number that is none."""
        case = self.now.case if self.now.is_matched else self.known.applied(self.now.case)
        return proposals_for(self.known, case, count=count)

    @cached_property
    def missed(self) -> list[SignalLimit]:
        """The limits that are not to be met as the link is."""
        return self.now.missed(self.known.limits)

    @property
    def factors(self) -> list[tuple[str, str]]:
        """What the check says is other than drawing and bench have it: by how much, where it is a twentieth or more."""
        found = self.matched.factors if self.matched else {}
        return [(name, f"×{factor:.2g}") for name, factor in found.items() if abs(factor - 1.0) >= 0.05]

    @property
    def unexplained(self) -> str:
        """What the check read that no source within reason explains."""
        found = self.matched.unexplained if self.matched else ()
        return ", ".join(f"the {words(seen.quantity)} at the {seen.end}" for seen in found)

    @property
    def warnings(self) -> list[str]:
        """What to mind, as the link is and with the part, each once."""
        return list(
            dict.fromkeys([*self.now.predicted.warnings, *(self.chosen.predicted.warnings if self.chosen else ())])
        )

    @property
    def first_warnings(self) -> list[str]:
        """The warnings that are shown open: all but most of those about the other wires of the source."""
        lumps = [sentence for sentence in self.warnings if sentence.startswith(OF_OTHER_WIRES)]
        return [sentence for sentence in self.warnings if sentence not in lumps[LUMPS_SHOWN:]]

    @property
    def more_warnings(self) -> list[str]:
        """The rest of them."""
        return [sentence for sentence in self.warnings if sentence not in self.first_warnings]

    @property
    def best(self) -> Proposal | None:
        """The first proposal that meets all limits."""
        found = self.proposals.proposals if self.proposals else ()
        return next((proposal for proposal in found if proposal.met), None)

    @property
    def lead(self) -> str:
        """The sentence that answers the page."""
        return " ".join(filter(None, (self._expected(), self._what_helps(), self._with_chosen())))

    def _expected(self) -> str:
        limits, missed = self.known.limits, self.missed
        amplitude = reads_of(self.now.at_load(Quantity.AMPLITUDE), Quantity.AMPLITUDE)
        expected = f"{amplitude}{_ringing(self.now)} to be expected at the load"
        if not limits:
            return f"{expected}; no limit is stated for its signal."
        if not missed:
            perhaps = any(self.now.verdict(limit) == PERHAPS for limit in limits.values())
            return f"{expected}, within every limit{', though perhaps only just' if perhaps else ''}."
        height = next((limit for limit in missed if limit.quantity == Quantity.AMPLITUDE), None)
        wanted = f"; the limit is {limit_reads(height)}" if height else ""
        others = [limit for limit in missed if limit is not height]
        outside = ", ".join(_told_of(self.now, limit) for limit in others[:MOST_NAMED])
        more = f" and {len(others) - MOST_NAMED} more" if len(others) > MOST_NAMED else ""
        also = f" Outside{' too' if height else ''}: {outside}{more}." if others else ""
        return f"{expected}{wanted}.{also}"

    def _what_helps(self) -> str:
        if not self.missed:
            return ""
        if self.best is not None:
            return f"Nearest thing that would mend it: {added_words(self.best)}."
        return "Nothing that can be fitted here meets every limit." if self.proposals else ""

    def _with_chosen(self) -> str:
        if self.chosen is None or self.choice is None:
            return ""
        missed = self.chosen.missed(self.known.limits)
        amplitude = reads_of(self.chosen.at_load(Quantity.AMPLITUDE), Quantity.AMPLITUDE)
        perhaps = [limit for limit in self.known.limits.values() if self.chosen.verdict(limit) == PERHAPS]
        only_just = f", though perhaps only just: {_listed(perhaps)}" if perhaps else ""
        stands = f", still outside: {_listed(missed)}" if missed else f", within every limit{only_just}"
        stands = stands if self.known.limits else ""
        return f"With {self.choice.arrangement.words}: {amplitude} at the load{stands}."

    def table(self, end: str) -> FigureTable:
        """The figures of one end."""
        return FigureTable(
            end,
            [
                self._row(end, quantity)
                for quantity in shown_quantities(self.now, self.known)
                if (end, quantity) in self.now.figures or (end == End.LOAD and quantity in self.known.limits)
            ],
        )

    def _row(self, end: str, quantity: str) -> FigureRow:
        limit = self.known.limits.get(quantity) if end == End.LOAD else None
        check = self.known.rows.check
        read = {
            row.stage: unbroken(reads(quantity, row.value, at_most=row.at_most))
            for row in (check.readings.all() if check else ())
            if (row.end, row.quantity) == (end, quantity)
        }
        chosen = self.chosen.figures.get((end, quantity)) if self.chosen else None
        return FigureRow(
            name=Quantity(quantity).label,
            limit=unbroken(limit_reads(limit)) if limit else "",
            now=told_of(self.now.figures.get((end, quantity)), quantity, limit),
            chosen=told_of(chosen, quantity, limit),
            found=read.get("found", ""),
            left=read.get("left", ""),
            is_first=limit is not None or (end == End.LOAD and quantity in USUAL) or quantity == Quantity.AMPLITUDE,
        )


def in_place(known: KnownCase, *, basis: str = "", choice: Chosen | None = None) -> LinkInPlace:
    """Reckon a link of which enough is known, with the chosen parts too; raises ValueError where that cannot be.

    The source is that of drawing and bench, unless the newest check read what they do not let expect.
    """
    if known.case is None:
        raise ValueError(" ".join(map(str, known.missing)))
    try:
        page = _reckoned(known, known.case, basis, choice)
        _ = page.chosen  # reckoned here, so that what cannot be is refused here
    except ArithmeticError as beyond:
        raise ValueError(TOO_FAR) from beyond
    return page


def _reckoned(known: KnownCase, case: LinkCase, basis: str, choice: Chosen | None) -> LinkInPlace:
    unlike = is_unlike(known)
    if basis == BENCH or not (unlike or basis == PLACE):
        return LinkInPlace(known, BENCH, foresee(known, case), unlike, choice)
    matched = matched_to_seen(known)
    if matched is None:
        return LinkInPlace(known, BENCH, foresee(known, case), unlike, choice)
    now = foresee(known, matched.case, known.arrangement, is_matched=True)
    return LinkInPlace(known, PLACE, now, unlike, choice, matched)


def told_of(told: Interval | None, quantity: str, limit: SignalLimit | None) -> Told:
    """A predicted figure as it stands in a table."""
    if told is None:
        return Told()
    low, high = reads(quantity, told.low), reads(quantity, told.high)
    same_unit = low.rpartition(" ")[2] == high.rpartition(" ")[2]
    between = f"{low.rpartition(' ')[0] if same_unit else low} to {unbroken(high)}"
    return Told(unbroken(reads(quantity, told.value)), between, verdict_on(told, limit) if limit is not None else "")


def reads_of(told: Interval | None, quantity: str) -> str:
    """A predicted figure as it is read out."""
    return reads(quantity, told.value if told else None)


def _ringing(foreseen: Foreseen) -> str:
    told = foreseen.at_load(Quantity.OVERSHOOT)
    return " and ringing are" if told is not None and told.value > RINGS else " is"


def _told_of(foreseen: Foreseen, limit: SignalLimit) -> str:
    told = reads_of(foreseen.at_load(limit.quantity), limit.quantity)
    return f"{words(limit.quantity)} {told}, limit {limit_reads(limit)}"


def _listed(limits: Sequence[SignalLimit]) -> str:
    return ", ".join(f"{words(limit.quantity)} {limit_reads(limit)}" for limit in limits)


def added_words(proposal: Proposal) -> str:
    """What a proposal puts on and takes off, in words."""
    added = [use.fitted.words for use in proposal.parts if use.offer.where != "fitted"]
    off = [f"take off {part.words}" for part in proposal.removed]
    return ", ".join([*added, *off])


def choice_of(proposal: Proposal) -> Chosen:
    """A proposal as an address names it."""
    keys = {use.role: use.offer.key for use in proposal.parts if use.offer.where != "fitted"}
    return Chosen(proposal.arrangement, keys)


def shown_proposals(page: LinkInPlace) -> list[dict[str, Any]]:
    """The ranked proposals as the page lists them."""
    if page.proposals is None:
        return []
    chosen = page.choice.arrangement if page.choice else None
    return [
        {
            "proposal": proposal,
            "words": added_words(proposal),
            "address": choice_of(proposal).words,
            "is_chosen": proposal.arrangement == chosen,
            "amplitude": reads(Quantity.AMPLITUDE, proposal.after.load.amplitude_v),
            "corners": _corners(proposal),
            "overshoot": reads(Quantity.OVERSHOOT, proposal.after.load.overshoot),
            "drive": None if proposal.drive_share is None else f"{100 * proposal.drive_share:.0f}\u00a0%",
            "rise": reads(Quantity.RISE_TIME, proposal.after.load.rise_time_s),
        }
        for proposal in page.proposals.proposals
    ]


def _corners(proposal: Proposal) -> str:
    low, high = (reads(Quantity.AMPLITUDE, value) for value in (proposal.amplitude_low_v, proposal.amplitude_high_v))
    return f"{low.rpartition(' ')[0]} to {unbroken(high)}"
