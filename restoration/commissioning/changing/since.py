"""What became of the doubts of a change: those that stand still, and those answered since, by which record."""

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from restoration.commissioning.changing.ahead import PAGES
from restoration.commissioning.changing.counts import NOUNS
from restoration.commissioning.facts.doubts import names_change
from restoration.commissioning.gates import GATES_OF
from restoration.commissioning.models import Change, Doubt
from restoration.commissioning.reading import standings_of
from restoration.engineering.standing import Standing, State


@dataclass(frozen=True)
class GateSince:
    """One gate of one doubt: its standing now, whether this change doubts it still, and what is said of it."""

    gate: str
    state: State
    is_open: bool
    says: str


@dataclass(frozen=True)
class DoubtSince:
    """One doubt, and how each of its gates stands now."""

    kind: str
    code: str
    path: str
    rule: int
    record: str
    gates: tuple[GateSince, ...]

    @property
    def noun(self) -> str:
        """What kind of thing it is of."""
        return NOUNS[self.kind][0]

    @property
    def page(self) -> str:
        """The name of its own page."""
        return PAGES[self.kind]

    @property
    def is_open(self) -> bool:
        """Whether any of it is in doubt still because of this change."""
        return any(gate.is_open for gate in self.gates)


def doubts_since(change: Change) -> list[DoubtSince]:
    """Read every doubt that a change asks, with how its gates stand now, those still open first."""
    doubts = list(_with_items(change).filter(is_asked=True))
    ids: dict[str, set[int]] = defaultdict(set)
    for doubt in doubts:
        kind, item = item_of(doubt)
        ids[kind].add(item.pk)
    standings = {kind: standings_of(kind, of_kind) for kind, of_kind in ids.items()}
    return sorted((_since(change, doubt, standings) for doubt in doubts), key=lambda row: not row.is_open)


def passed_over(change: Change) -> list[tuple[str, str]]:
    """What the rules passed over: the item in words, and why."""
    rows = _with_items(change).filter(is_asked=False)
    return [(f"{NOUNS[kind][0]} {code_of(item)}", doubt.why_not) for doubt in rows for kind, item in [item_of(doubt)]]


def _with_items(change: Change) -> Any:
    return change.doubts.select_related("chassis", "interconnect", "rack", "group").order_by("pk")


def item_of(doubt: Doubt) -> tuple[str, Any]:
    """The one thing a doubt is of, and its kind."""
    return next((kind, item) for kind in NOUNS if (item := getattr(doubt, kind)) is not None)


def code_of(item: Any) -> str:
    """The code painted on a thing."""
    return str(item.serial if hasattr(item, "serial") else item.code)


def _since(change: Change, doubt: Doubt, standings: dict[str, dict[int, tuple[Standing, ...]]]) -> DoubtSince:
    kind, item = item_of(doubt)
    now = {standing.gate: standing for standing in standings[kind][item.pk]}
    gates = tuple(_gate(change, doubt, now[gate]) for gate in GATES_OF[kind] if gate in doubt.gates and gate in now)
    return DoubtSince(kind, code_of(item), doubt.path, doubt.rule_number, doubt.record, gates)


def _gate(change: Change, doubt: Doubt, standing: Standing) -> GateSince:
    is_open = standing.state is State.IN_DOUBT and any(names_change(each, change.pk) for each in standing.reasons)
    return GateSince(standing.gate, standing.state, is_open, _says(change, doubt, standing, is_open=is_open))


def _says(change: Change, doubt: Doubt, standing: Standing, *, is_open: bool) -> str:
    if is_open:
        return "in doubt still"
    if standing.state is State.IN_DOUBT:
        return "answered since, and in doubt again by another change"
    first = standing.reasons[0] if standing.reasons else ""
    if not standing.is_good:
        return f"{standing.state.value}. {first}".strip()
    if doubt.record and (standing.since is None or standing.since <= change.done_at):
        return f"stands by another record. {first}".strip()
    return f"answered. {first}".strip()
