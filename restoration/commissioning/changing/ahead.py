"""What a change will put in doubt, before anybody does it: the same rules, nothing stored."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from django.db import transaction
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst

from restoration.commissioning.changing.asked import AskedForm
from restoration.commissioning.changing.counts import NOUNS, counted, items_in
from restoration.commissioning.changing.touched import Touched, completed
from restoration.commissioning.doubting import find_doubts
from restoration.commissioning.gates import ACTS, GATES_OF
from restoration.commissioning.reading import standings_of
from restoration.engineering.doubt import DoubtFound, Item, Kind
from restoration.engineering.standing import Standing
from restoration.machine.models import Design, DesignIssue

PAGES = {
    "chassis": "machine:chassis-detail",
    "interconnect": "machine:interconnect-detail",
    "rack": "machine:rack-detail",
    "group": "commissioning:group-detail",
}
TO_COME = "to come"


@dataclass(frozen=True)
class Way:
    """One way by which doubt comes to an item: the rule, the path, and the evidence that stands now."""

    rule: int
    path: str
    gates: tuple[str, ...]
    standing: tuple[Standing, ...]
    record: str = ""
    why_not: str = ""


@dataclass(frozen=True)
class Row:
    """One item that a change reaches, and every way by which it does."""

    item: Item
    ways: tuple[Way, ...]

    @property
    def noun(self) -> str:
        """What kind of thing it is."""
        return NOUNS[self.item.kind][0]

    @property
    def address(self) -> str:
        """Its own page."""
        return reverse(PAGES[self.item.kind], args=[self.item.code])

    @property
    def evidence(self) -> tuple[Standing, ...]:
        """What stands now of all that is doubted here, each gate once."""
        return tuple(dict.fromkeys(standing for way in self.ways for standing in way.standing))

    @property
    def gates(self) -> tuple[str, ...]:
        """Every gate that is doubted here, once."""
        return tuple(dict.fromkeys(gate for way in self.ways for gate in way.gates))

    @property
    def stands(self) -> bool:
        """Whether any of its evidence that is doubted stands now."""
        return any(way.standing for way in self.ways)


@dataclass(frozen=True)
class Ahead:
    """All that a change will put in doubt, what is passed over, and the work it makes."""

    found: tuple[DoubtFound, ...]
    rows: tuple[Row, ...]
    passed_over: tuple[Row, ...]
    done_by_itself: frozenset[str] = frozenset()

    @property
    def standing(self) -> tuple[Row, ...]:
        """The items of which evidence stands now."""
        return tuple(row for row in self.rows if row.stands)

    @property
    def idle(self) -> tuple[Row, ...]:
        """The items of which nothing that is doubted stands now."""
        return tuple(row for row in self.rows if not row.stands)

    @property
    def sentence(self) -> str:
        """Count it in one sentence."""
        words = counted(items_in(self.found))
        if not words:
            return "This will put nothing in doubt."
        standing, all_of_them = len(self.standing), len(self.rows)
        if all_of_them == 1:
            now = "it has evidence that stands now" if standing else "none of its evidence stands now"
        elif standing in (0, all_of_them):
            now = f"{'all' if standing else 'none'} of them {'have' if standing else 'has'} evidence that stands now"
        else:
            now = f"{standing} of them {'has' if standing == 1 else 'have'} evidence that stands now"
        return f"This will put {words} in doubt; {now}."

    @property
    def work(self) -> list[str]:
        """The checks that will be asked for again, of what stands now, in the order of the gates.

        Left out is what the change does by itself: a swap fits the chassis that goes in.
        """
        gates: Counter[tuple[str, str]] = Counter()
        for row in self.rows:
            gates.update((row.item.kind, standing.gate) for standing in row.evidence)
        return [
            f"{capfirst(ACTS[gate])}: {counted_as(kind, gates[kind, gate])}."
            for kind in NOUNS
            for gate in GATES_OF[kind]
            if gates[kind, gate] and gate not in self.done_by_itself
        ]


def counted_as(kind: str, number: int) -> str:
    """Count one kind of thing."""
    return f"{number} {NOUNS[kind][number != 1]}"


def look_ahead(kind: Kind, touched: Touched, *, design: Design | None = None, letter: str = "") -> Ahead:
    """Work out what a change will put in doubt; a drawing that is not issued yet is taken as if it were."""
    touched = completed(kind, touched, timezone.now())
    if design is None or touched.issue is not None:
        return _ahead(kind, find_doubts(touched.subject(kind)))
    with _as_if_issued(design, letter) as issue:
        return _ahead(kind, find_doubts(replace(touched, issue=issue).subject(kind)))


@contextmanager
def _as_if_issued(design: Design, letter: str) -> Iterator[DesignIssue]:
    """Give an issue that is not there, in a transaction that is undone."""
    with transaction.atomic():
        fields = {"letter": letter or TO_COME, "issued_on": timezone.localdate(), "is_current": False}
        yield DesignIssue.objects.create(design=design, **fields)
        transaction.set_rollback(True)


def look_ahead_of(asked: AskedForm) -> Ahead | None:
    """Look ahead of what an address asks; None where it does not say enough yet."""
    kind = asked.short.kind
    if not asked.is_answered or (kind is Kind.INSTRUMENT and asked.touched.since is None):
        return None
    return look_ahead(kind, asked.touched, design=asked.design, letter=asked.cleaned_data.get("letter") or "")


def _ahead(kind: Kind, found: tuple[DoubtFound, ...]) -> Ahead:
    standings = {of: standings_of(of, ids) for of, ids in items_in(found).items()}
    return Ahead(
        found,
        _rows((doubt for doubt in found if doubt.is_asked), standings),
        _rows((doubt for doubt in found if not doubt.is_asked), {}),
        frozenset({"fitted"}) if kind is Kind.SWAPPED else frozenset(),
    )


def _rows(found: Iterable[DoubtFound], standings: dict[str, dict[int, tuple[Standing, ...]]]) -> tuple[Row, ...]:
    ways: dict[Item, list[Way]] = defaultdict(list)
    for doubt in found:
        ways[doubt.item].append(_way(doubt, standings.get(doubt.item.kind, {}).get(doubt.item.pk, ())))
    kinds = list(NOUNS)
    items = sorted(ways, key=lambda item: kinds.index(item.kind))
    return tuple(Row(item, tuple(ways[item])) for item in items)


def _way(doubt: DoubtFound, standings: tuple[Standing, ...]) -> Way:
    standing = tuple(each for each in standings if each.gate in doubt.gates and each.is_good)
    gates = tuple(gate for gate in GATES_OF[doubt.item.kind] if gate in doubt.gates)
    return Way(doubt.rule, doubt.path, gates, standing, doubt.record, doubt.why_not)
