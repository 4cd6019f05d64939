"""Following a signal along the wiring: what of it is shown, what is folded, and how it is drawn and listed."""
