"""The plan of an import, for a program (``as_json``) and for people (``sentences``)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from typing import NamedTuple

from restoration.engineering.wire_list.changes import LISTED, changed_cells, emptied_sentence
from restoration.engineering.wire_list.known import End, LinkFacts
from restoration.engineering.wire_list.links import LinkChange
from restoration.engineering.wire_list.pairing import Disagreement
from restoration.engineering.wire_list.places import SlotRack
from restoration.engineering.wire_list.queries import SignalSources, TerminalSignals
from restoration.engineering.wire_list.refusals import Refusal, WireListRefused


class NamedLink(NamedTuple):
    """A wire of the list under its link code, with the line that names it."""

    line: int
    link: str
    from_slot: str
    from_terminal: str
    to_slot: str
    to_terminal: str


class LinkDisagreement(NamedTuple):
    """A wire whose two rows differ, and in what."""

    link: NamedLink
    found: Disagreement

    def as_dict(self) -> dict[str, object]:
        """Both words and both lines under plain names."""
        column = self.found.column
        return {
            **self.link._asdict(),
            "other_line": self.found.other_line,
            column: self.found.value,
            f"other_{column}": self.found.other_value,
        }


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What a wire list would add and change, what it makes one ask, and what is refused.

    With anything refused nothing is to be saved, and ``to_add``, ``to_change`` and every
    ``new_…`` are empty. ``refused`` holds the first 500 refusals; ``refused_count`` counts all.
    ``slot_racks`` are known slots without a rack to which the list gives one.
    """

    row_count: int = 0
    racks: int = 0
    slots: int = 0
    terminals: int = 0
    interconnects: int = 0
    to_add: Sequence[LinkFacts] = ()
    to_change: Sequence[LinkChange] = ()
    unchanged: int = 0
    new_racks: Sequence[str] = ()
    new_slots: Sequence[SlotRack] = ()
    slot_racks: Sequence[SlotRack] = ()
    new_terminals: Sequence[End] = ()
    new_signals: Sequence[str] = ()
    two_signals: Sequence[TerminalSignals] = ()
    self_links: Sequence[NamedLink] = ()
    several_sources: Sequence[SignalSources] = ()
    one_ended: Sequence[NamedLink] = ()
    length_disagrees: Sequence[LinkDisagreement] = ()
    disagrees: Sequence[LinkDisagreement] = ()
    refused: tuple[Refusal, ...] = ()
    refused_count: int = 0
    warnings: tuple[str, ...] = ()

    @property
    def can_be_saved(self) -> bool:
        """Say whether nothing was refused."""
        return not self.refused

    @property
    def changes_nothing(self) -> bool:
        """Say whether saving it would leave the records as they are."""
        return not (
            self.to_add
            or self.to_change
            or self.new_racks
            or self.new_slots
            or self.slot_racks
            or self.new_terminals
            or self.new_signals
        )

    def as_json(self) -> dict[str, object]:
        """The plan under stable names, of plain values only.

        ``racks``, ``slots``, ``terminals`` and ``interconnects`` count what the list names.

        >>> ImportPlan(row_count=2, unchanged=2).as_json()["unchanged"]
        2
        """
        return {
            "rows": self.row_count,
            "added": len(self.to_add),
            "changed": len(self.to_change),
            "unchanged": self.unchanged,
            "changes": [cell._asdict() for cell in islice(changed_cells(self.to_change), LISTED)],
            "racks": self.racks,
            "slots": self.slots,
            "terminals": self.terminals,
            "interconnects": self.interconnects,
            "one_ended": [link._asdict() for link in self.one_ended],
            "length_disagrees": [found.as_dict() for found in self.length_disagrees],
            "disagrees": [found.as_dict() for found in self.disagrees],
            "two_signals": [
                {**found._asdict(), "signals": list(found.signals), "links": list(found.links)}
                for found in self.two_signals
            ],
            "self_links": [link._asdict() for link in self.self_links],
            "several_sources": [
                {
                    "signal": found.signal,
                    "sources": [{"slot": slot, "terminal": terminal} for slot, terminal in found.sources],
                }
                for found in self.several_sources
            ],
            "refused": [refusal.as_dict() for refusal in self.refused],
            "refused_count": self.refused_count,
            "warnings": list(self.warnings),
        }

    def sentences(self) -> list[str]:
        """The plan as a person would tell it, the answer first.

        >>> ImportPlan(row_count=1, interconnects=1, unchanged=1).sentences()
        ['The list names 1 interconnect on 1 row: 0 to add, 0 to change, 1 as it stands.']
        """
        if self.refused:
            return self._refusal_sentences()
        told = [
            f"The list names {counted(self.interconnects, 'interconnect')} on {counted(self.row_count, 'row')}: "
            f"{len(self.to_add):,} to add, {len(self.to_change):,} to change, {self.unchanged:,} as "
            f"{'it stands' if self.unchanged == 1 else 'they stand'}."
        ]
        told += emptied_sentence(self.to_change)
        told += self._new_sentence() + self._rack_sentence() + self._query_sentences()
        return told + list(self.warnings)

    def _refusal_sentences(self) -> list[str]:
        told = [
            f"Nothing is saved: {counted(self.refused_count, 'cell or row is', 'cells or rows are')} refused.",
            *(refusal.sentence() for refusal in self.refused),
        ]
        more = self.refused_count - len(self.refused)
        return told + ([f"{more:,} more are refused and not shown."] if more else [])

    def _new_sentence(self) -> list[str]:
        named = (
            (self.new_racks, "rack"),
            (self.new_slots, "slot"),
            (self.new_terminals, "terminal"),
            (self.new_signals, "signal"),
        )
        parts = [counted(len(new), noun) for new, noun in named if new]
        return [f"New with it: {', '.join(parts)}."] if parts else []

    def _rack_sentence(self) -> list[str]:
        if not self.slot_racks:
            return []
        return [f"{counted(len(self.slot_racks), 'known slot')} had no rack and will have the one the list gives."]

    def _query_sentences(self) -> list[str]:
        told = (
            (self.two_signals, "terminal carries two signals", "terminals carry two signals", ": a query is raised."),
            (self.self_links, "wire runs from a terminal to itself", "wires run from a terminal to itself",
             ": a query is raised."),
            (self.several_sources, "signal has several sources", "signals have several sources", ", which is allowed."),
            (self.one_ended, "wire is named at one end only", "wires are named at one end only", "."),
            (self.length_disagrees, "wire has two lengths that disagree", "wires have two lengths that disagree",
             "; the first named is taken."),
            (self.disagrees, "other word differs between the two ends", "other words differ between the two ends",
             "; the first named is taken."),
        )  # fmt: skip
        return [counted(len(found), one, many) + end for found, one, many, end in told if found]


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun.

    >>> counted(1, "row"), counted(1200, "row")
    ('1 row', '1,200 rows')
    """
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def refused_plan(refused: WireListRefused) -> ImportPlan:
    """The plan of a file that could not be read at all.

    >>> from restoration.engineering.wire_list.refusals import refuse_file
    >>> refused_plan(refuse_file("The file is empty.")).can_be_saved
    False
    """
    return ImportPlan(refused=refused.refused, refused_count=len(refused.refused))
