"""How large a wire list may be before it is refused unread."""

from __future__ import annotations

from typing import NamedTuple


class Bounds(NamedTuple):
    """Largest file, row count, cell count and unpacked size of a workbook."""

    bytes: int
    rows: int
    cells: int
    unpacked_bytes: int


BOUNDS = Bounds(bytes=50_000_000, rows=2_000_000, cells=30_000_000, unpacked_bytes=600_000_000)
"""The bounds that apply unless a caller names others."""
