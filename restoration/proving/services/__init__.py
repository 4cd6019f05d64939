"""Acts of proving, by noun; what other apps call is named here."""

from restoration.proving.services.wire_checks import join_wire, lift_wire, ring_out

__all__ = ["join_wire", "lift_wire", "ring_out"]
