"""What a line of the worked table says, and how a doubt that was found is written as one."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from restoration.engineering.doubt import DoubtFound, Kind


@dataclass(frozen=True)
class Worked:
    """One change, by the names of what it is about, and the lines expected of it."""

    name: str
    kind: Kind
    about: dict[str, object]
    expected: str = ""

    @property
    def lines(self) -> list[str]:
        """What is expected, line by line."""
        return sorted(line.strip() for line in self.expected.strip().splitlines() if line.strip())


@dataclass(frozen=True)
class Line:
    """Writes a doubt as the table does."""

    found: DoubtFound
    order: tuple[str, ...] = field(
        default=(
            "received",
            "cold-checked",
            "bench-tested",
            "fitted",
            "heaters on",
            "HT on",
            "joined",
            "rung out",
            "signal-checked",
            "bonded",
            "heaters proved",
            "HT proved",
            "functional check",
            "margin check",
            "soak",
        )
    )

    def __str__(self) -> str:
        found = self.found
        noun = "link" if found.item.kind == "interconnect" else found.item.kind
        named = f"{found.rule} {noun} {found.item.code}"
        if not found.is_asked:
            return f"- {named}: {found.path}"
        record = f" [{found.record}]" if found.record else ""
        return f"{named}: {', '.join(sorted(found.gates, key=self.order.index))}{record}: {found.path}"


def as_lines(found: Iterable[DoubtFound]) -> list[str]:
    """What was found, as the table writes it."""
    return sorted(str(Line(one)) for one in found)
