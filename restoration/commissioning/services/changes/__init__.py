"""Changes recorded, corrected and taken back, each with what it puts in doubt, in one transaction."""

from restoration.commissioning.services.changes.drawings import issue_drawing
from restoration.commissioning.services.changes.heading import refuse_correction
from restoration.commissioning.services.changes.recording import record_change
from restoration.commissioning.services.changes.swapping import ChangedMeanwhile, swap_chassis
from restoration.commissioning.services.changes.taking_back import take_back

__all__ = ["ChangedMeanwhile", "issue_drawing", "record_change", "refuse_correction", "swap_chassis", "take_back"]
