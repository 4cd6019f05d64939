"""What a rule asks for of all that it reaches, and why it passes over the rest."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from restoration.engineering.doubt.around import Spot
from restoration.engineering.doubt.kinds import Share
from restoration.engineering.doubt.records import Item
from restoration.engineering.doubt.rule import Rule

ONLY_CRITICAL = frozenset({Share.CRITICAL, Share.CRITICAL_SAMPLE})
OF_WHICH = {Share.CRITICAL_SAMPLE: " of the critical ones", Share.CRITICAL_AND_SAMPLE: " of the rest"}
LONGEST_CODE = 80


@dataclass(frozen=True)
class Reached:
    """A thing that a change reaches: the steps to it, what is said behind it, and where one meets it on a walk.

    `leaves_alone` names gates that this reach does not touch, `only` the one gate of the `record` it is about.
    """

    item: Item
    steps: tuple[str, ...]
    end: str = ""
    spot: Spot | None = None
    is_critical: bool = False
    leaves_alone: frozenset[str] = frozenset()
    only: str = ""
    record: str = ""

    @property
    def path(self) -> str:
        """The path as people read it.

        >>> Reached(Item("interconnect", 7, "214"), ("slot C-07", "link 214"), "load at D-11").path
        'slot C-07 → link 214 → load at D-11'
        """
        return " → ".join((*self.steps, self.end) if self.end else self.steps)

    def gates(self, rule: Rule) -> frozenset[str]:
        """The gates a rule asks for here."""
        gates = rule.gates - self.leaves_alone
        return gates & {self.only} if self.only else gates


def shortest(reached: Iterable[Reached]) -> list[Reached]:
    """Keep each thing (and record of it) once, by its shortest path, in walking order.

    Fewest steps first, then whatever one walks to first. Source: none. Never raises.

    >>> link = Item("interconnect", 7, "214")
    >>> ways = [Reached(link, ("rail HT-2", "slot C-07", "link 214")), Reached(link, ("slot C-07", "link 214"))]
    >>> [one.path for one in shortest(ways)]
    ['slot C-07 → link 214']
    """
    best: dict[tuple[Item, str], Reached] = {}
    for one in reached:
        known = best.get((one.item, one.record))
        if known is None or _length(one) < _length(known):
            best[one.item, one.record] = one
    return sorted(best.values(), key=_on_the_walk)


def _length(one: Reached) -> tuple[object, ...]:
    return (len(one.steps), *_on_the_walk(one), one.path)


def _on_the_walk(one: Reached) -> tuple[object, ...]:
    where = one.spot.on_the_walk if one.spot else (0, "", 0, "")
    return (*where, one.item.kind, one.item.code, one.item.pk, one.record)


def asked_for(rule: Rule, reached: Sequence[Reached]) -> list[tuple[Reached, str]]:
    """Say of each thing reached (once each, in walking order) why it is not asked for; an empty word where it is.

    One in n is counted rack by rack along the walk, starting with the first: the same each time, and at least
    one in every rack. A rule for critical ones reaches no others, so those do not come back at all.

    >>> from restoration.engineering.doubt.kinds import Kind, Reach
    >>> rule = Rule(9, Kind.EARTH, Reach.RACK_LINKS, frozenset({"signal-checked"}), Share.SAMPLE, 2, "Noise.")
    >>> links = [Reached(Item("interconnect", n, str(n)), (f"link {n}",)) for n in (1, 2, 3)]
    >>> [why for _, why in asked_for(rule, links)]
    ['', 'rule 9 asks for one in 2, and link 2 is not among them', '']
    """
    if rule.share in ONLY_CRITICAL:
        reached = [one for one in reached if one.is_critical]
    if not rule.is_sample:
        return [(one, "") for one in reached]
    counted: dict[str, int] = {}
    return [(one, "" if _is_drawn(rule, one, counted) else _why_not(rule, one)) for one in reached]


def _is_drawn(rule: Rule, one: Reached, counted: dict[str, int]) -> bool:
    if rule.share is Share.CRITICAL_AND_SAMPLE and one.is_critical:
        return True
    rack = one.spot.rack if one.spot else ""
    place = counted.get(rack, 0)
    counted[rack] = place + 1
    return place % rule.one_in == 0


def _why_not(rule: Rule, one: Reached) -> str:
    noun = "link" if one.item.kind == "interconnect" else one.item.kind
    code = one.item.code if len(one.item.code) <= LONGEST_CODE else f"{one.item.code[:LONGEST_CODE]}…"
    which = OF_WHICH.get(rule.share, "")
    return f"rule {rule.number} asks for one in {rule.one_in}{which}, and {noun} {code} is not among them"
