"""Bringing in a whole wire list: read, judged and planned without the database, then stored in one piece."""

from restoration.machine.services.wire_list.bringing_in import ImportOutcome, import_wire_list
from restoration.machine.services.wire_list.known import known_wiring, wires_for_export

__all__ = ["ImportOutcome", "import_wire_list", "known_wiring", "wires_for_export"]
