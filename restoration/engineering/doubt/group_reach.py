"""Which groups a change touches: by their member slots, and by the wires that belong to them."""

from collections.abc import Iterator

from restoration.engineering.doubt.around import Belonging
from restoration.engineering.doubt.kinds import Reach, Share
from restoration.engineering.doubt.reaching import Reaching
from restoration.engineering.doubt.rule import Rule, RuleBook
from restoration.engineering.doubt.sampling import Reached, shortest

AT_HAND = (
    Reach.LINK,
    Reach.STAGE_OUT,
    Reach.STAGE_IN_OUT,
    Reach.SLOT_LINKS,
    Reach.RAIL_LINKS,
    Reach.RACK_LINKS,
)
"""Reaches whose wires are touched themselves; wires beside them, or behind them, are only looked at."""


def groups(change: Reaching, rule: Rule, book: RuleBook) -> Iterator[Reached]:
    """The groups a change touches; where the rule says so, only those in which a critical wire is touched."""
    if rule.share is Share.CRITICAL:
        touched = [one for one in _touched(change, book, AT_HAND, critical=True) if one.is_critical]
        yield from _of_area(change, touched) if change.area else _of_wires(change, touched)
    elif change.area:
        yield from _of_area(change, None)
    else:
        yield from _of_wires(change, _touched(change, book, (*AT_HAND, Reach.SOURCE)))


def _touched(change: Reaching, book: RuleBook, reaches: tuple[Reach, ...], *, critical: bool = False) -> list[Reached]:
    """The wires that the rules of this kind of change reach directly, as often as there are ways to them."""
    of_kind = [rule.reach for rule in book.for_kind(change.subject.kind) if rule.reach in reaches]
    return [one for reach in of_kind for one in change.by(reach, critical=critical)]


def _of_wires(change: Reaching, touched: list[Reached]) -> Iterator[Reached]:
    wires = {one.item.pk: one for one in shortest(touched)}
    for group, link in change.around.groups_of(tuple(wires)) if wires else ():
        wire = wires[link]
        yield Reached(group, (*wire.steps, f"group {group.code}"), spot=wire.spot, is_critical=wire.is_critical)


def _of_area(change: Reaching, only: list[Reached] | None) -> Iterator[Reached]:
    """The groups of the area; with `only`, those touched at one of these wires or at a slot where one of them ends."""
    if change.area is None or only == []:
        return
    slots = {wire.spot.pk for wire in only or () if wire.spot}
    wires = {wire.item.pk for wire in only or ()}
    for part in change.around.groups(change.area):
        if only is None or _is_at(part, slots, wires):
            yield Reached(part.group, (*_steps(change, part), f"group {part.group.code}"), is_critical=only is not None)


def _is_at(part: Belonging, slots: set[int], wires: set[int]) -> bool:
    if part.wire:
        return part.wire.pk in wires
    return part.spot is not None and part.spot.pk in slots


def _steps(change: Reaching, part: Belonging) -> tuple[str, ...]:
    steps = change.steps_to(part.spot) if part.spot else ()
    return (*steps, f"link {part.wire.code}") if part.wire else steps
