"""A rule of doubt, and the book of all of them."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from restoration.engineering.doubt.kinds import FOLLOWING, GROUP, INTERCONNECT, LEADS_TO, Kind, Reach, Share

ONE_THING = frozenset({Reach.CHASSIS, Reach.LINK, Reach.RACKS, Reach.OLDER_UNITS, Reach.MADE_WITH})


@dataclass(frozen=True)
class Rule:
    """What one kind of change asks for again, of what it reaches, and why.

    `version` 0 is the default; each wording that a site writes has the next number. No gates means that
    nothing is asked for.
    """

    number: int
    kind: Kind
    reach: Reach
    gates: frozenset[str]
    share: Share
    one_in: int
    reason: str
    version: int = 0

    @property
    def leads_to(self) -> tuple[str, ...]:
        """The kinds of thing whose gates this rule can ask for."""
        return LEADS_TO[self.reach]

    @property
    def shares(self) -> tuple[Share, ...]:
        """How much this rule may ask for: what follows from another act, or is one thing, is always asked whole."""
        if self.kind in FOLLOWING or self.reach in ONE_THING:
            return (Share.ALL,)
        if self.leads_to == (GROUP,):
            return (Share.ALL, Share.CRITICAL)
        return tuple(Share) if self.leads_to == (INTERCONNECT,) else (Share.ALL, Share.SAMPLE)

    @property
    def is_sample(self) -> bool:
        """Whether it asks for one in so many."""
        return self.share in (Share.SAMPLE, Share.CRITICAL_SAMPLE, Share.CRITICAL_AND_SAMPLE)


class RuleBook:
    """Every rule in force at one moment; each kind of change has at most one rule for each reach.

    >>> rule = Rule(1, Kind.FAULT, Reach.LINK, frozenset({"signal-checked"}), Share.ALL, 1, "It was seen to fail.")
    >>> book = RuleBook([rule])
    >>> sorted(book.gates(Kind.FAULT, Reach.LINK))
    ['signal-checked']
    >>> book.rule(Kind.FAULT, Reach.GROUPS) is None
    True
    >>> RuleBook([rule, rule])
    Traceback (most recent call last):
    ...
    ValueError: Two rules have the number 1; every rule has its own.
    """

    def __init__(self, rules: Iterable[Rule]) -> None:
        self.rules = tuple(sorted(rules, key=lambda rule: rule.number))
        for one, other in zip(self.rules, self.rules[1:], strict=False):
            if one.number == other.number:
                raise ValueError(f"Two rules have the number {one.number}; every rule has its own.")
        if len(self._by_reach) < len(self.rules):
            raise ValueError("Two rules speak of the same reach of the same kind of change; one rule says it.")

    @cached_property
    def _by_reach(self) -> dict[tuple[Kind, Reach], Rule]:
        return {(rule.kind, rule.reach): rule for rule in self.rules}

    @cached_property
    def by_number(self) -> dict[int, Rule]:
        """Every rule by its number."""
        return {rule.number: rule for rule in self.rules}

    def for_kind(self, kind: Kind) -> tuple[Rule, ...]:
        """The rules of one kind of change, by number."""
        return tuple(rule for rule in self.rules if rule.kind is kind)

    def rule(self, kind: Kind, reach: Reach) -> Rule | None:
        """The rule that says what a kind of change asks for at one reach; None where no rule does."""
        return self._by_reach.get((kind, reach))

    def gates(self, kind: Kind, reach: Reach) -> frozenset[str]:
        """The gates that a kind of change puts in doubt at one reach; none where no rule speaks of it."""
        rule = self.rule(kind, reach)
        return rule.gates if rule else frozenset()
