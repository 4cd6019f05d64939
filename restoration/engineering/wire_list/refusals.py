"""Why a wire list, or a row of it, is not taken: line, column, value and a whole sentence."""

from __future__ import annotations

from collections.abc import Iterable
from heapq import nsmallest
from typing import NamedTuple

KEPT = 500
"""How many refused cells are kept with their text; the rest are only counted."""

SHOWN = 100
"""How many characters of a refused value are shown."""


class Refusal(NamedTuple):
    """One refused cell. The line is None where the whole file is meant, the column may be blank."""

    line: int | None
    column: str
    value: str
    reason: str

    def sentence(self) -> str:
        """Say the refusal with its place in front.

        >>> Refusal(4, "from_slot", "", "A wire needs the slot it starts from.").sentence()
        'Line 4, column from_slot: A wire needs the slot it starts from.'
        """
        places = [f"line {self.line}"] if self.line is not None else []
        places += [f"column {self.column}"] if self.column else []
        place = ", ".join(places)
        return f"{place[0].upper()}{place[1:]}: {self.reason}" if place else self.reason

    def as_dict(self) -> dict[str, object]:
        """The refusal under its four names, for JSON.

        >>> Refusal(4, "loom", "x", "No.").as_dict()
        {'line': 4, 'column': 'loom', 'value': 'x', 'reason': 'No.'}
        """
        return {"line": self.line, "column": self.column, "value": self.value, "reason": self.reason}


class WireListRefused(ValueError):  # noqa: N818 - what happened to the list, in the words used of it
    """A wire list that is not taken, with every refusal that was kept."""

    def __init__(self, refused: Iterable[Refusal]) -> None:
        self.refused: tuple[Refusal, ...] = tuple(refused)
        super().__init__(" ".join(refusal.sentence() for refusal in self.refused[:3]))


class RefusalList:
    """Gathers refusals in any order; gives back the first by line and counts them all."""

    def __init__(self, refused: Iterable[Refusal] = (), count: int = 0) -> None:
        self._kept: list[Refusal] = list(refused)
        self.count = max(count, len(self._kept))

    def add(self, refused: Iterable[Refusal]) -> None:
        """Take in more refusals, keeping the first by line.

        >>> gathered = RefusalList()
        >>> gathered.add([Refusal(3, "loom", "", "No."), Refusal(2, "wire", "", "No.")])
        >>> [refusal.line for refusal in gathered.kept], gathered.count
        ([2, 3], 2)
        """
        for refusal in refused:
            self.count += 1
            self._kept.append(refusal)
            if len(self._kept) >= 4 * KEPT:
                self._kept = list(self.kept)

    @property
    def kept(self) -> tuple[Refusal, ...]:
        """The first refusals by line, at most ``KEPT`` of them."""
        return tuple(nsmallest(KEPT, self._kept, key=lambda refusal: refusal.line or 0))


def shown(value: str) -> str:
    """Shorten a value for a message.

    >>> shown("B-05"), len(shown("x" * 3000))
    ('B-05', 101)
    """
    return value if len(value) <= SHOWN else value[:SHOWN] + "…"


def refuse_file(reason: str, *, line: int | None = None, column: str = "", value: str = "") -> WireListRefused:
    """Make the refusal of a whole file.

    >>> str(refuse_file("The file is empty."))
    'The file is empty.'
    """
    return WireListRefused([Refusal(line, column, shown(value), reason)])
