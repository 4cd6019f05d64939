"""Tells what happened to each interconnect: joined, rung out, looked at with an oscilloscope."""

from collections.abc import Iterator
from datetime import date, timedelta

from restoration.kestrel.chassis_table import FITTED_SLOTS, TAKEN_OUT_AND_BACK, WITHDRAWN
from restoration.kestrel.check_story import PART_TROUBLES, LinkStates, Visit, signal_check, trouble_of
from restoration.kestrel.joined import is_joined, slots_of
from restoration.kestrel.plan_records import InterconnectPlan, SignalPlan
from restoration.kestrel.site_days import LAST_DAY, at, chance, next_site_day, pair, site_day_from
from restoration.kestrel.story_records import JoiningStory, LinkStory, RingOutStory, SignalCheckStory

HALF_FITTED_RUNG = 0.75
NOT_YET_LOOKED_AT = 0.05
TOO_LATE = date(2026, 11, 19)

# Captures that came to nothing, and were taken again ten minutes later.
BAD_CAPTURES = {
    "172": ("probe unset", "Oscilloscope was left at ×1; done again."),
    "372": ("clipped", "Top of the trace off the screen; done again."),
    "248": ("coarse", "Time base a hundred times too slow; done again."),
}


def wire_story(link: InterconnectPlan, first_fitted: dict[str, date]) -> LinkStory:
    """Joined and rung out, as far as it has come."""
    if not is_joined(link):
        return LinkStory(link.code)
    luck = chance(link.code, "wire")
    fitted = [first_fitted[slot] for slot in slots_of(link) if slot in FITTED_SLOTS]
    joined = site_day_from(max(fitted) + timedelta(days=int(luck.integers(3, 24))))
    first, second = pair(joined, link.code, "join")
    joinings = (JoiningStory("joined", at(joined, 15, int(luck.integers(0, 55))), first, second),)
    whole = len(fitted) == len(slots_of(link))
    if not whole and float(luck.random()) > HALF_FITTED_RUNG:
        return LinkStory(link.code, joinings)
    rung = min(site_day_from(joined + timedelta(days=int(luck.integers(0, 9)))), LAST_DAY)
    return LinkStory(link.code, *_rung_out(link, joinings, rung))


def _rung_out(
    link: InterconnectPlan, joinings: tuple[JoiningStory, ...], day: date
) -> tuple[tuple[JoiningStory, ...], tuple[RingOutStory, ...]]:
    """Rung out; one wire in fifty fails, is made again and passes."""
    if float(chance(link.code, "ring").random()) >= 0.02:
        return joinings, (ring_out(link, day, 16),)
    first, second = pair(day, link.code, "ring")
    failed = RingOutStory(
        at(day, 16), first, second, None, 22e6, 50.0, True, "failed", "Open: dry joint at the load end."
    )
    again = JoiningStory("re-made", at(day, 16, 30), second, first, "Joint at the load end made again.")
    return (*joinings, again), (failed, ring_out(link, day, 17))


def ring_out(link: InterconnectPlan, day: date, hour: int, remarks: str = "") -> RingOutStory:
    """A ring-out that passes: a few tenths of an ohm, megohms to chassis."""
    luck = chance(link.code, day, "ohms")
    first, second = pair(day, link.code, "ring")
    return RingOutStory(
        at=at(day, hour, int(luck.integers(0, 29))),
        by=first,
        second=second,
        resistance_ohm=round(0.15 + 0.06 * link.length_m + float(luck.uniform(0, 0.15)), 2),
        to_chassis_ohm=round(float(luck.uniform(20e6, 400e6)), -6),
        test_v=50.0,
        both_labels_read=True,
        result="passed",
        remarks=remarks,
    )


def first_look(link: InterconnectPlan, wire: LinkStory, *, surely: bool = False) -> date | None:
    """The day of the first signal check, or None where it has not come yet; surely where the story needs it."""
    if not wire.ring_outs or any(slot not in FITTED_SLOTS for slot in slots_of(link)):
        return None
    luck = chance(link.code, "look")
    day = site_day_from(wire.ring_outs[-1].at.date() + timedelta(days=int(luck.integers(1, 30))))
    if not surely and (float(luck.random()) < NOT_YET_LOOKED_AT or day >= TOO_LATE):
        return None
    return _when_all_are_in(link, max(day, next_site_day(wire.ring_outs[-1].at.date())))


def _when_all_are_in(link: InterconnectPlan, day: date) -> date:
    """That day, or the first open one after a chassis taken out for rework is back in its slot."""
    for slot in slots_of(link):
        out, _, back = TAKEN_OUT_AND_BACK.get(slot, ("9999-01-01", "", "9999-01-01"))
        if date.fromisoformat(out) <= day <= date.fromisoformat(back):
            return next_site_day(date.fromisoformat(back))
    return day


def visits_without_fault(link: InterconnectPlan, signal: SignalPlan, day: date) -> Iterator[Visit]:
    """The visits to a link that never had a fault in the log."""
    trouble = trouble_of(link)
    states = LinkStates.of(link, signal, trouble)
    luck = chance(link.code, "visits")
    if link.code in BAD_CAPTURES:
        bad, remarks = BAD_CAPTURES[link.code]
        yield Visit(day, 11, states.good, None, "unclear", remarks, captured=True, capture_trouble=bad)
        yield Visit(day, 12, states.good, None, "within", "The second capture of this visit.", captured=True)
    elif not trouble:
        yield Visit(day, 11, states.good, None, "within", captured=luck.random() < 0.015, both_ends=luck.random() < 0.3)
    elif trouble in PART_TROUBLES:
        yield Visit(day, 11, states.troubled, states.conditioned, "within", captured=luck.random() < 0.45)
    else:
        yield Visit(day, 11, states.troubled, None, "outside", captured=luck.random() < 0.3)
        later = next_site_day(next_site_day(day))
        if luck.random() < 0.6 and later < TOO_LATE:
            yield Visit(later, 14, states.good, None, "within", "After the valve of that stage was changed.")


def visits_again(link: InterconnectPlan, signal: SignalPlan, first: date) -> Iterator[Visit]:
    """A second pair looks at some critical links some weeks after the first."""
    luck = chance(link.code, "second pair")
    day = _when_all_are_in(link, site_day_from(first + timedelta(days=int(luck.integers(20, 80)))))
    if link.critical and not trouble_of(link) and float(luck.random()) < 0.12 and day < TOO_LATE:
        state = LinkStates.of(link, signal, "").good
        yield Visit(day, 14, state, None, "within", "Second pair, as asked for critical links.", both_ends=True)


def with_rechecks(
    link: InterconnectPlan, wire: LinkStory, checks: list[SignalCheckStory]
) -> tuple[LinkStory, list[SignalCheckStory]]:
    """Ring out and look again after a chassis at either end was changed; one in five still waits."""
    rings, all_checks = list(wire.ring_outs), list(checks)
    for slot, changed in _changes(link):
        before = [check for check in all_checks if check.at.date() < changed]
        after = [check for check in all_checks if check.at.date() >= changed]
        day = next_site_day(next_site_day(changed))
        if not before or after or day >= TOO_LATE or float(chance(link.code, slot, "again").random()) < 0.2:
            continue
        last = before[-1]
        if last.expected != "within":
            continue
        rings.append(ring_out(link, day, 10, f"After the change in {slot}."))
        visit = Visit(day, 14, last.left or last.found, None, "within", f"After the change in {slot}.")
        all_checks.append(signal_check(link, int(link.code) * 100 + len(all_checks), visit))
    return LinkStory(wire.code, wire.joinings, tuple(rings)), all_checks


def _changes(link: InterconnectPlan) -> Iterator[tuple[str, date]]:
    for slot in slots_of(link):
        if slot in WITHDRAWN:
            yield slot, date.fromisoformat(WITHDRAWN[slot][3])
        if slot in TAKEN_OUT_AND_BACK:
            yield slot, date.fromisoformat(TAKEN_OUT_AND_BACK[slot][2])
