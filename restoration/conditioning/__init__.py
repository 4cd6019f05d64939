"""Signals in place: what will happen on a wire, what can be fitted, and whether it did what was said."""
