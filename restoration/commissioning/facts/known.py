"""What every history needs beside its own rows: the hour, people's names, and the rules of every time."""

from bisect import bisect_right
from dataclasses import dataclass, field
from datetime import datetime
from typing import Self

from django.utils import timezone

from restoration.commissioning.facts.history import Days
from restoration.commissioning.models.rules import RuleVersion, versions_in_order
from restoration.commissioning.rules import DEFAULTS, worded
from restoration.engineering.doubt import Kind, Reach, Rule
from restoration.engineering.standing import Change
from restoration.people.models import Person


def by_rule(sentence: str, number: int) -> str:
    """End a sentence by the rule that made a doubt of it."""
    return f"{sentence[:-1] if sentence[-1:] == '.' else sentence} (rule {number})."


@dataclass(frozen=True)
class Clause:
    """What the rules said, time after time, of one kind of change at one reach.

    `since` are the moments at which the rule was worded anew; `rules` has one entry more, the first from the beginning.
    """

    since: tuple[datetime, ...]
    rules: tuple[Rule | None, ...]

    def rule(self, at: datetime) -> Rule | None:
        """The rule in force at a moment; None where none asks for anything."""
        rule = self.rules[bisect_right(self.since, at)] if self.since else self.rules[0]
        return rule if rule and rule.gates else None

    def change(self, at: datetime, sentence: str, *, only: frozenset[str] | None = None) -> Change | None:
        """The doubt that an event of this moment makes, in these words; None where the rules ask for nothing.

        `only` narrows the rule to the gates that the event can speak of.
        """
        rule = self.rule(at)
        if rule is None:
            return None
        gates = rule.gates if only is None else rule.gates & only
        return Change(gates, at, by_rule(sentence, rule.number)) if gates else None

    def of_today(self) -> "Clause":
        """The rule in force now, for what follows from how things are now and not from an event with a moment."""
        return Clause((), self.rules[-1:])


@dataclass
class Known:
    """Read once for any number of histories: two queries."""

    now: datetime
    names: dict[int, str]
    versions: list[RuleVersion]
    days: Days
    clauses: dict[tuple[Kind, Reach], Clause] = field(default_factory=dict)

    @classmethod
    def at(cls, now: datetime | None = None) -> Self:
        """Read the names of people and the versions of rules."""
        names = dict(Person.objects.values_list("pk", "display_name").order_by())
        return cls(now or timezone.now(), names, list(versions_in_order()), Days(timezone.get_current_timezone()))

    def clause(self, kind: Kind, reach: Reach) -> Clause:
        """What the rules say, and said, of a kind of change at a reach."""
        if (kind, reach) not in self.clauses:
            first = DEFAULTS.rule(kind, reach)
            written = [version for version in self.versions if first and version.number == first.number]
            written.sort(key=lambda version: version.written_at)
            worded_then = [worded(first, version) if first else None for version in written]
            since = tuple(version.written_at for version in written)
            self.clauses[kind, reach] = Clause(since, (first, *worded_then))
        return self.clauses[kind, reach]
