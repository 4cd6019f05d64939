"""A load joined later asks for another look at all loads of its source; most have had it by now."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.site_days import LAST_DAY, at, chance, next_site_day
from restoration.kestrel.story_records import LinkStory, SignalCheckStory

STILL_WAITING = 0.25


def with_looks_after_joining(links: tuple[LinkStory, ...]) -> Iterator[LinkStory]:
    """Add, to each link proved before another load came to its source, the look that it then was given."""
    source_of = {plan.code: plan.source for plan in machine_plan().interconnects}
    joined: dict[str, list[datetime]] = defaultdict(list)
    for link in links:
        joined[source_of[link.code]] += [joining.at for joining in link.joinings]
    for link in links:
        again = _look_again(link, max(joined[source_of[link.code]], default=None))
        yield replace(link, checks=(*link.checks, again)) if again else link


def _look_again(link: LinkStory, last_joined: datetime | None) -> SignalCheckStory | None:
    if not link.checks or last_joined is None or link.checks[-1].at >= last_joined:
        return None
    last, day = link.checks[-1], next_site_day(next_site_day(last_joined.date()))
    waits = float(chance(link.code, "after joining").random()) < STILL_WAITING
    if last.expected != "within" or waits or day > LAST_DAY:
        return None
    return replace(
        last,
        number=int(link.code) * 100 + 90,
        at=at(day, 13, int(chance(link.code, "minute").integers(0, 59))),
        found=last.left or last.found,
        left=None,
        parts_changed="",
        captured=False,
        capture_trouble="",
        remarks="After another load was joined to the same source.",
    )
