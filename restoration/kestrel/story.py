"""All that has happened to the tide computer up to the evening of 24 November 2026."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache

from restoration.kestrel.chassis_story import chassis_stories
from restoration.kestrel.check_story import signal_check
from restoration.kestrel.fault_story import FaultTelling
from restoration.kestrel.faults import FaultRow, fault_rows, link_at
from restoration.kestrel.link_story import first_look, visits_again, visits_without_fault, wire_story, with_rechecks
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.plan_records import InterconnectPlan, MachinePlan
from restoration.kestrel.story_records import (
    ChassisStory,
    FaultStory,
    FittingStory,
    InstrumentStory,
    LinkStory,
    SignalCheckStory,
    Story,
)

INSTRUMENTS = (
    InstrumentStory("OS-1", "oscilloscope", "Two channels, on the trolley", 100e6, 0.02, date(2027, 3, 1)),
    InstrumentStory("OS-2", "oscilloscope", "Four channels, lent by the college", 70e6, 0.03, date(2027, 1, 15)),
    InstrumentStory("M-1", "meter", "Yellow, on the bench", None, 0.005, date(2027, 2, 1)),
    InstrumentStory("M-2", "meter", "Moving coil, 20 kΩ per volt", None, 0.02, date(2026, 12, 1)),
    InstrumentStory("IT-1", "insulation tester", "50, 100 and 250 V", None, 0.05, date(2027, 5, 1)),
)


@cache
def story() -> Story:
    """The whole story; always the same one."""
    plan = machine_plan()
    chassis = chassis_stories(plan)
    links, faults = _links_and_faults(plan, _first_fitted(chassis))
    return _numbered(Story(INSTRUMENTS, chassis, tuple(links), tuple(faults)))


def _first_fitted(chassis: tuple[ChassisStory, ...]) -> dict[str, date]:
    """Slot by slot, the day a chassis was first fitted there."""
    found: dict[str, date] = {}
    for unit in chassis:
        for event in unit.events:
            if isinstance(event, FittingStory):
                day = event.at.date()
                found[event.slot] = min(day, found.get(event.slot, day))
    return found


def _links_and_faults(plan: MachinePlan, fitted: dict[str, date]) -> tuple[list[LinkStory], list[FaultStory]]:
    rows = {link_at(row.place, plan).code: row for row in fault_rows()}
    links, faults = [], []
    for link in plan.interconnects:
        wire = wire_story(link, fitted)
        checks, fault = _checks_and_fault(plan, link, wire, rows.get(link.code))
        faults += [fault] if fault else []
        wire, checks = with_rechecks(link, wire, checks)
        links.append(replace(wire, checks=tuple(sorted(checks, key=lambda check: check.at))))
    return links, faults


def _checks_and_fault(
    plan: MachinePlan, link: InterconnectPlan, wire: LinkStory, row: FaultRow | None
) -> tuple[list[SignalCheckStory], FaultStory | None]:
    signal, day = plan.signal_by_name[link.signal], first_look(link, wire, surely=row is not None)
    if row is not None:
        if day is None:
            raise LookupError(f"A fault is told of interconnect {link.code}, which nobody has looked at yet.")
        telling = FaultTelling(row, link, signal, day)
        fault = telling.told(0)
        return telling.checks, fault
    if day is None:
        return [], None
    visits = [*visits_without_fault(link, signal, day), *visits_again(link, signal, day)]
    return [signal_check(link, int(link.code) * 100 + turn, visit) for turn, visit in enumerate(visits)], None


def _numbered(told: Story) -> Story:
    """Checks and faults counted in the order of their dates, as a log book would."""
    by_date = sorted(told.checks(), key=lambda check: (check.at, check.interconnect))
    number_of = {check.number: number for number, check in enumerate(by_date, start=1)}
    links = tuple(
        replace(link, checks=tuple(replace(check, number=number_of[check.number]) for check in link.checks))
        for link in told.links
    )
    return replace(told, links=links, faults=tuple(_numbered_faults(told.faults, number_of)))


def _numbered_faults(faults: tuple[FaultStory, ...], number_of: dict[int, int]) -> Iterator[FaultStory]:
    renumbered: dict[int | None, int | None] = {None: None} | dict(number_of.items())
    ordered = sorted(faults, key=lambda fault: fault.episodes[0].seen_at)
    for number, fault in enumerate(ordered, start=1):
        episodes = tuple(replace(e, proof_check=renumbered[e.proof_check]) for e in fault.episodes)
        yield replace(fault, number=number, from_check=renumbered[fault.from_check], episodes=episodes)
