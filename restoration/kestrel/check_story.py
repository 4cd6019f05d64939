"""The signal checks of one interconnect: when, by whom, what was found and what was left."""

import math
from dataclasses import dataclass
from datetime import date

from restoration.kestrel.link_physics import conditioned_state, figures_of, good_state, troubled_state
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.plan_records import InterconnectPlan, SignalPlan
from restoration.kestrel.site_days import at, chance, pair
from restoration.kestrel.story_records import LinkState, SignalCheckStory

PART_TROUBLES = ("rings", "tall")
SHORTEST_RINGING_M = 1.3
ROOM = 1.15


@dataclass(frozen=True)
class Visit:
    """What a pair came for: the state they find, the state they leave, and what they note."""

    day: date
    hour: int
    found: LinkState
    left: LinkState | None
    expected: str
    remarks: str = ""
    captured: bool = False
    capture_trouble: str = ""
    both_ends: bool = False


@dataclass(frozen=True)
class LinkStates:
    """The states one interconnect can be in."""

    good: LinkState
    troubled: LinkState
    conditioned: LinkState

    @classmethod
    def of(cls, link: InterconnectPlan, signal: SignalPlan, trouble: str) -> "LinkStates":
        """Good, with the trouble, and with the parts that cure it; all the same without a trouble."""
        good = good_state(link, signal, chance(link.code, "physics"))
        if not trouble:
            return cls(good, good, good)
        troubled = troubled_state(good, signal, trouble)
        if trouble not in PART_TROUBLES:
            return cls(good, troubled, good)
        return cls(good, troubled, conditioned_state(troubled, signal, trouble))


def signal_check(link: InterconnectPlan, number: int, visit: Visit) -> SignalCheckStory:
    """The record of one visit."""
    luck = chance(link.code, number)
    first, second = pair(visit.day, link.code, number)
    return SignalCheckStory(
        number=number,
        interconnect=link.code,
        at=at(visit.day, visit.hour, int(luck.integers(0, 50))),
        by=first,
        second=second,
        ends=("source", "load") if visit.both_ends else ("load",),
        found=visit.found,
        left=visit.left,
        parts_changed=parts_in_words(link, visit.left) if visit.left else "",
        instrument="OS-1" if luck.random() < 0.7 else "OS-2",
        probe_factor=10.0,
        reference="drum origin mark, A-04/5",
        loads_joined=True,
        ht_v=round(250 + float(luck.normal(0, 1.5)), 1),
        bias_v=round(-60 + float(luck.normal(0, 0.4)), 1),
        heater_v=round(6.2 + float(luck.normal(0, 0.05)), 2),
        temperature_c=_room_c(visit.day, float(luck.normal(0, 1.2))),
        also_running=_also_running(visit.day),
        expected=visit.expected,
        remarks=visit.remarks,
        captured=visit.captured,
        capture_shape=("two rows", "keyed", "increment")[int(luck.integers(3))],
        capture_trouble=visit.capture_trouble,
    )


def _room_c(day: date, luck: float) -> float:
    """A loft by the sea: cool in February, warm in August."""
    return round(18 - 5 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 30) / 365) + luck, 1)


def _also_running(day: date) -> str:
    if day < date(2025, 12, 1):
        return "rack A"
    return "racks A and B" if day < date(2026, 6, 1) else "racks A, B and D"


def parts_in_words(link: InterconnectPlan, state: LinkState) -> str:
    """The modification as the log book has it."""
    words = f"{state.series_ohm:g} Ω in series at {link.source}"
    if math.isfinite(state.shunt_ohm):
        words += f", {state.shunt_ohm / 1000:g} kΩ across {link.loads[-1]}"
    return words + "."


def _would_ring(link: InterconnectPlan) -> bool:
    """Whether a source too stiff and too quick makes this line ring past its limit, with room to spare."""
    signal = machine_plan().signal_by_name[link.signal]
    states = LinkStates.of(link, signal, "rings")
    return figures_of(states.troubled).overshoot > ROOM * (signal.overshoot.most or 0.0)


def trouble_of(link: InterconnectPlan) -> str:
    """What a first look finds wrong with a link that has no fault in the log; mostly nothing."""
    luck = float(chance(link.code, "trouble").random())
    bare = link.wire.startswith("single") and link.length_m >= SHORTEST_RINGING_M
    if luck < 0.11:
        return "rings" if bare and _would_ring(link) else ""
    if luck < 0.15:
        return "tall" if link.wire.startswith("single") else ""
    if luck < 0.20:
        return ("low", "short", "slow")[int(luck * 1000) % 3]
    return ""
