"""Oscilloscope captures: read from any known text shape, and kept compactly."""

from restoration.engineering.captures.reading import read_capture
from restoration.engineering.captures.record import Capture, CaptureRefused, Samples, Trace, vertical_step
from restoration.engineering.captures.store import Packed, pack, unpack

__all__ = ["Capture", "CaptureRefused", "Packed", "Samples", "Trace", "pack", "read_capture", "unpack", "vertical_step"]
