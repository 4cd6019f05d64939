"""Everything that is known already about a link, with where it comes from, and what had to be assumed."""

from restoration.conditioning.known.gathering import Gathered, gather
from restoration.conditioning.known.knowing import KnownCase, KnownFact, Missing, case_of

__all__ = ["Gathered", "KnownCase", "KnownFact", "Missing", "case_of", "gather"]
