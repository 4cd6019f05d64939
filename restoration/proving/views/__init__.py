"""Pages of this app, by noun."""
