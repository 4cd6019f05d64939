"""What was changed on the tide computer in its last weeks, and how the functional parts were tried."""

from dataclasses import dataclass, field
from datetime import UTC, datetime

from restoration.engineering.doubt import Kind


@dataclass(frozen=True)
class ChangeStory:
    """A change that somebody recorded; places by the codes painted on them."""

    at: datetime
    kind: Kind
    why: str
    by: str
    second: str = ""
    slot: str = ""
    stage: str = ""
    source: str = ""
    rail: str = ""
    instrument: str = ""
    racks: tuple[str, ...] = ()
    facts: dict[str, str] = field(default_factory=dict, hash=False)
    since: datetime | None = None


def _at(month: int, day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


CHANGES = (
    ChangeStory(
        _at(10, 18, 15, 20),
        Kind.LIKE_VALVE,
        "Anode current down to two thirds on the tester.",
        "Tomasz",
        slot="A-04",
        stage="shaper",
        facts={"part": "V2", "was": "6.2 mA", "now": "9.8 mA"},
    ),
    ChangeStory(
        _at(11, 4, 14, 40),
        Kind.CONDITIONED,
        "The pulse rang past its limit at the far loads.",
        "Bronagh",
        "Sven",
        source="B-06",
        facts={"part": "damper in series at the source", "was": "none", "now": "330 Ω, 1 W"},
    ),
    ChangeStory(
        _at(11, 8, 13, 10),
        Kind.OTHER_PART,
        "The carry came late when warm; the drawings keeper agreed to the value on the second print.",
        "Oona",
        slot="G-03",
        facts={"part": "R14", "was": "47 kΩ", "now": "33 kΩ"},
    ),
    ChangeStory(
        _at(11, 15, 11, 45),
        Kind.RAIL,
        "Ripple of 1.4 V at the far end of the rail; the old electrolytic had dried out.",
        "Ilse",
        "Marek",
        rail="HT-3",
        facts={"part": "C3, decoupling at rack G", "was": "32 µF electrolytic", "now": "47 µF film"},
    ),
    ChangeStory(
        _at(11, 18, 16, 5),
        Kind.INSTRUMENT,
        "It reads 6 % low against the college's calibrator.",
        "Yusuf",
        instrument="OS-2",
        since=_at(11, 11, 9),
    ),
    ChangeStory(
        _at(11, 22, 12, 30),
        Kind.KNOCK,
        "A trolley ran into the foot of the rack.",
        "Ama B.",
        racks=("F",),
    ),
)

SWAPPED_IN_ONE_ACT = {"B-05": "Pulse two volts low after an hour; V3 tired."}
"""Slots whose last change of chassis is told as one swap, and why it was made."""
