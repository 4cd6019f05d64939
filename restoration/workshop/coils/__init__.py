"""Recipes of coils: what is filled in, what it comes to, and the card that the maker winds by."""
