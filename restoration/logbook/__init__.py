"""The append-only log book."""
