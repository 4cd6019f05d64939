"""Signing for a gate: what must stand before it, the form, the pages, and the rows that show it."""
