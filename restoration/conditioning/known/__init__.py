"""Everything that is known already about a link, with where it comes from, and what had to be assumed."""

from restoration.conditioning.known.gathering import Gathered, gather
from restoration.conditioning.known.knowing import TOO_FAR, KnownCase, case_of, fitted_then, known_of
from restoration.conditioning.known.told import KnownFact, Missing

__all__ = ["TOO_FAR", "Gathered", "KnownCase", "KnownFact", "Missing", "case_of", "fitted_then", "gather", "known_of"]
