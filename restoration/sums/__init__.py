"""Loose sums: each idea of the engineering core on a page of its own, for a phone at the rack."""
