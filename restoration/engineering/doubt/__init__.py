"""The doubt map: what was changed, and the evidence that no longer stands because of it."""

from restoration.engineering.doubt.kinds import RECORDED, Kind, Reach, Share

__all__ = ["RECORDED", "Kind", "Reach", "Share"]
