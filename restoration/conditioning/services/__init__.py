"""Writing what was predicted for a link, and what was fitted because of it."""

from restoration.conditioning.services.constants import take_into_use
from restoration.conditioning.services.notes import PartUsed, record_note
from restoration.conditioning.services.predictions import keep_prediction

__all__ = ["PartUsed", "keep_prediction", "record_note", "take_into_use"]
