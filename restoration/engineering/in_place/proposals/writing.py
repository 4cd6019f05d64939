"""Proposals made of what the search found: predictions before and after, the parts and their burden, the words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from restoration.engineering.in_place.arrangement import Arrangement, Fitted
from restoration.engineering.in_place.case import LinkCase, OtherWire
from restoration.engineering.in_place.figures import Predicted, predict
from restoration.engineering.in_place.proposals.judging import KEPT_TOLERANCE, MISSED, OUTSIDE, Judge
from restoration.engineering.in_place.proposals.pool import Found
from restoration.engineering.in_place.proposals.records import (
    FITTED,
    AsItIs,
    EffectOnOther,
    PartOffer,
    PartUse,
    Proposal,
)
from restoration.engineering.in_place.proposals.space import NOTHING_NEW, ROLE_ORDER
from restoration.engineering.in_place.proposals.steady import burdens
from restoration.engineering.in_place.proposals.wording import (
    check_words,
    drive_words,
    effect_words,
    missed_words,
    origin_words,
    others_words,
    undoing,
    why_words,
    worst_words,
)
from restoration.engineering.limits import Limit, Quantity

POINTS_ELSEWHERE = 300
"""Instants at which the volts on the other wires are worked out."""


@dataclass(frozen=True)
class Writer:
    """Makes proposals of what the search found."""

    judge: Judge
    limits: Mapping[Quantity, Limit]
    before: Predicted

    @property
    def case(self) -> LinkCase:
        """The link."""
        return self.judge.case

    def as_it_is(self) -> AsItIs:
        """The link left as it is."""
        missed = missed_words(self.before, self.limits, self.case.drive_most_a)
        words = "As it is, the link meets its limits." if self.limits else "There is no limit to judge the link by."
        if missed:
            words = f"As it is: {' '.join(missed)}"
        return AsItIs(self.case.arrangement, self.before, not missed, missed, words)

    def proposal(self, found: Found) -> Proposal:
        """One candidate written out."""
        arrangement = found.candidate.fitted.arrangement(0)
        after = predict(replace(self.case, arrangement=arrangement))
        parts, removed = self._parts(found), self._removed(found, arrangement)
        others = tuple(self._effect(other, arrangement) for other in self.case.others)
        low_v, high_v = (float(corner[0]) for corner in self.judge.worst_v(found.candidate))
        missed = missed_words(after, self.limits, self.case.drive_most_a)
        share = None if self.case.drive_most_a is None else after.peak_drive_a / self.case.drive_most_a
        limit = self.limits.get(Quantity.AMPLITUDE)
        return Proposal(
            arrangement=arrangement,
            kind=found.kind,
            parts=parts,
            removed=removed,
            before=self.before,
            after=after,
            others=others,
            drive_share=share,
            met=not missed,
            met_at_worst=not missed and _inside(low_v, high_v, limit),
            missed=missed,
            amplitude_low_v=low_v,
            amplitude_high_v=high_v,
            score=found.score,
            why=(
                *why_words(self.before, after, self.limits, missed, found.score[OUTSIDE] + found.score[MISSED] == 0),
                worst_words(low_v, high_v, limit),
                origin_words(parts),
                others_words(others),
                drive_words(share, after.peak_drive_a),
            ),
            check_afterwards=tuple(check_words(self.case, parts)),
            undone_how=undoing(parts, removed),
        )

    def _parts(self, found: Found) -> tuple[PartUse, ...]:
        borne = burdens(self.judge.variants(found.candidate.fitted))
        return tuple(
            PartUse(part.role, offer, float(borne[part.role].watts[0]), float(borne[part.role].volts[0]))
            for part, offer in self._offers(found)
        )

    def _offers(self, found: Found) -> Iterator[tuple[Fitted, PartOffer]]:
        """Every part on the wire afterwards with the offer it comes from."""
        for part in found.candidate.fitted.arrangement(0).parts():
            number = int(found.candidate.offers[0, ROLE_ORDER.index(part.role)])
            if number == NOTHING_NEW:
                yield (
                    part,
                    PartOffer(part.kind, part.value, KEPT_TOLERANCE, where=FITTED, key=f"on the wire: {part.role}"),
                )
            else:
                yield part, self.judge.shelf.offers[number]

    def _removed(self, found: Found, after: Arrangement) -> tuple[Fitted, ...]:
        """What comes off: the parts of now whose place is empty afterwards or taken by a new part."""
        stays = [part.role for part, offer in self._offers(found) if offer.where == FITTED]
        return tuple(part for part in self.case.arrangement.parts() if part.role not in stays)

    @cached_property
    def _elsewhere_before(self) -> dict[str, Predicted]:
        return {other.code: predict(self.case.seen_from(other), points=POINTS_ELSEWHERE) for other in self.case.others}

    def _effect(self, other: OtherWire, arrangement: Arrangement) -> EffectOnOther:
        there = replace(self.case, arrangement=arrangement).seen_from(other)
        before, after = self._elsewhere_before[other.code], predict(there, points=POINTS_ELSEWHERE)
        held = missed_words(before, self.limits, None)
        missed = missed_words(after, self.limits, None)
        known = {words.split(" would be ")[0] for words in held}
        newly = tuple(words for words in missed if words.split(" would be ")[0] not in known)
        return EffectOnOther(
            other.code, before, after, missed, newly, effect_words(other.code, before, after, newly, missed)
        )


def _inside(low_v: float, high_v: float, limit: Limit | None) -> bool:
    if limit is None:
        return True
    return (limit.least is None or low_v >= limit.least) and (limit.most is None or high_v <= limit.most)
