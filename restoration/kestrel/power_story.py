"""When each rack's supplies were signed for, and when heaters and HT were brought up on each chassis."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from restoration.kestrel.plan_records import MachinePlan
from restoration.kestrel.site_days import at, chance, next_site_day, pair
from restoration.kestrel.story_records import ChassisStory, FittingStory

IN_CHARGE = "Ilse"
WEEKS_BEFORE_FITTING = 5
NO_CHASSIS_YET = ("bonded", "mains side certified")
RACK_GATES = (
    ("bonded", "Frame to earth bar {bond} mΩ, bond seen at both ends."),
    ("mains side certified", "The electrician's sheet is in the red file."),
    ("distribution rung out", "Every line through to its slots and clear of the frame, all chassis out."),
    ("heaters proved", "Dummy load: 6.4 V at the near slot, {far} V at the far one."),
    ("HT proved", "{ht} V on the dummy load, ripple {ripple} mV; down to 50 V in {down} s, labelled."),
    ("open for fitting", "Released: the gates before it stand."),
)


@dataclass(frozen=True)
class SignedStory:
    """A gate that was signed for."""

    at: datetime
    kind: str
    code: str
    gate: str
    by: str
    second: str
    seen: str
    paper: str = ""


def power_story(plan: MachinePlan, chassis: tuple[ChassisStory, ...]) -> Iterator[SignedStory]:
    """Every gate of racks and chassis that was signed for."""
    fittings = [(event, unit.serial) for unit in chassis for event in unit.events if isinstance(event, FittingStory)]
    for rack in plan.racks:
        first = min((event.at.date() for event, _ in fittings if event.slot[0] == rack.letter), default=None)
        yield from _rack(rack.letter, first)
    for event, serial in fittings:
        yield from _brought_up(event, serial)


def _rack(letter: str, first_fitted: date | None) -> Iterator[SignedStory]:
    draw = chance("supplies", letter)
    figures = {
        "bond": int(draw.integers(3, 18)),
        "far": f"{6.4 - draw.uniform(0.1, 0.3):.2f}",
        "ht": int(draw.integers(246, 255)),
        "ripple": int(draw.integers(60, 240)),
        "down": int(draw.integers(14, 31)),
    }
    day = next_site_day((first_fitted or date(2026, 10, 1)) - timedelta(weeks=WEEKS_BEFORE_FITTING))
    for number, (gate, seen) in enumerate(RACK_GATES):
        if first_fitted is None and gate not in NO_CHASSIS_YET:
            return
        second = _not_in_charge(day, letter, gate)
        paper = f"EC/{2025 if day.year == 2025 else 2026}/{100 + ord(letter)}" if gate == "mains side certified" else ""
        by, other = ("Ama B.", IN_CHARGE) if gate == "open for fitting" else (IN_CHARGE, second)
        yield SignedStory(at(day, 11, 10 + number), "rack", letter, gate, by, other, seen.format(**figures), paper)
        day = next_site_day(day)


def _brought_up(fitting: FittingStory, serial: str) -> Iterator[SignedStory]:
    draw, day = chance("power", serial, fitting.at), fitting.at.date()
    second = _not_in_charge(day, serial, "power")
    heaters = f"{6.35 - draw.uniform(0, 0.2):.2f} V at the far pins after ten minutes, nothing warm but the valves."
    ht = f"{draw.uniform(247, 254):.0f} V, {draw.uniform(18, 70):.0f} mA; DC points within their limits."
    for minutes, gate, seen in ((40, "heaters on", heaters), (65, "HT on", ht)):
        moment = fitting.at + timedelta(minutes=minutes)
        yield SignedStory(moment, "chassis", serial, gate, IN_CHARGE, second, seen)


def _not_in_charge(day: date, *words: str) -> str:
    first, second = pair(day, *words, without=IN_CHARGE)
    return first or second
