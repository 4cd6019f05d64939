"""Fills an empty database with the Kestrel Sands tide computer, through the same services as people use."""

from restoration.kestrel.loading.fill import fill, holds_someones_work, is_filled

__all__ = ["fill", "holds_someones_work", "is_filled"]
