"""Pages of signals in place."""
