"""What the machine's records hold already, as the plan of an import needs it."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass, field
from typing import NamedTuple

End = tuple[str, str]
"""A terminal: slot and terminal code."""


class LinkFacts(NamedTuple):
    """Everything a wire list can say of one interconnect; ``from`` is the source end."""

    code: str
    signal: str
    from_slot: str
    from_terminal: str
    to_slot: str
    to_terminal: str
    wire: str = ""
    colour: str = ""
    length_m: float | None = None
    loom: str = ""
    critical: bool = False
    remarks: str = ""

    @property
    def source(self) -> End:
        """The terminal at the source end."""
        return self.from_slot, self.from_terminal

    @property
    def load(self) -> End:
        """The terminal at the load end."""
        return self.to_slot, self.to_terminal


@dataclass(frozen=True, slots=True)
class KnownWiring:
    """Racks, slots with their rack (blank where none is recorded), terminals, signals and links by code."""

    racks: Set[str] = frozenset()
    slots: Mapping[str, str] = field(default_factory=dict)
    terminals: Set[End] = frozenset()
    signals: Set[str] = frozenset()
    links: Mapping[str, LinkFacts] = field(default_factory=dict)
