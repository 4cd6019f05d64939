"""What can be fitted on a link with the parts there are: ranked, reversible arrangements and what each does."""

from restoration.engineering.in_place.proposals.proposing import propose, weigh_up
from restoration.engineering.in_place.proposals.records import (
    AsItIs,
    EffectOnOther,
    PartOffer,
    PartUse,
    Proposal,
    Proposals,
)

__all__ = ["AsItIs", "EffectOnOther", "PartOffer", "PartUse", "Proposal", "Proposals", "propose", "weigh_up"]
