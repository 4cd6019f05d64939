"""Turns rows into what `engineering.unlock` ranks: which one missing thing would let most signals be checked."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Case, Count, Exists, Max, Min, OuterRef, Q, QuerySet, Sum, Value, When
from django.utils.text import capfirst

from restoration.commissioning.gates import RACK_GATES
from restoration.commissioning.models import Standing as StoredStanding
from restoration.commissioning.readiness import CHASSIS_GATES, POWER_PERSON, acts_in_words, facts_of_slots
from restoration.commissioning.reading import recorded_standings
from restoration.engineering.readiness import acts_left, done_again, worst_of
from restoration.engineering.standing import GOOD, Standing, State
from restoration.engineering.unlock import CRITICAL_WEIGHT, Held, Thing, Unlock, unlocks
from restoration.machine.models import Fitting, Interconnect, Rack, Slot

SHOWN = 20
RACK_GATES_BEFORE = RACK_GATES[: RACK_GATES.index("open for fitting") + 1]
GOOD_STATES = tuple(state.value for state in GOOD)
ENDS = ("source__slot__code", "source__slot__rack__code", "load__slot__code", "load__slot__rack__code")
Ends = tuple[str, str | None, str, str | None]


@dataclass(frozen=True)
class FreedLink:
    """A link whose signal could be checked."""

    code: str
    source_slot: str
    load_slot: str
    is_critical: bool


@dataclass(frozen=True)
class Opener:
    """A missing thing: what must be done to it, in order, on whom it waits, and the links that it frees."""

    unlock: Unlock
    function: str
    chassis: str
    acts: tuple[str, ...]
    again: tuple[str, ...]
    waits_for: str
    state: State
    frees: tuple[FreedLink, ...]

    @property
    def kind(self) -> str:
        """A slot's chassis, a wire, or a rack's supplies."""
        return self.unlock.thing.kind

    @property
    def code(self) -> str:
        """As painted on the machine."""
        return self.unlock.thing.code


@dataclass(frozen=True)
class Openers:
    """The missing things of the machine or of a rack, the one that opens most first."""

    rows: tuple[Opener, ...]
    thing_count: int
    held_count: int


@dataclass(frozen=True)
class _Known:
    """Which slots and racks stand, and the wires not joined, by their source: how many, the first and the last."""

    slots: frozenset[str]
    racks: frozenset[str]
    loose: dict[int, tuple[int, str, str]]

    def needs(self, ends: Ends, loose: Iterable[str] = ()) -> frozenset[Thing]:
        """What the signal check of a link with these ends waits for."""
        slots = {Thing("slot", code) for code in ends[::2] if code not in self.slots}
        racks = {Thing("rack", code) for code in ends[1::2] if code is not None and code not in self.racks}
        return frozenset(slots | racks | {Thing("link", code) for code in loose})

    def loose_at(self, source: int) -> tuple[str, ...]:
        """The wires of a source that are not joined, three or more of them told by three names."""
        count, first, last = self.loose.get(source, (0, "", ""))
        return ((), (first,), (first, last), (first, last, ""))[min(count, 3)]


def what_opens_most(rack: Rack | None = None, *, shown: int = SHOWN) -> Openers:
    """Rank what is missing by the links it frees, for the machine or for the links of a rack, in a fixed number of
    queries; none of them reads a link that is proved, or is not ready on its own account.
    """
    waiting = waiting_links(rack)
    whole = list(
        waiting.filter(~_has_loose_brother())
        .order_by()
        .values_list(*ENDS)
        .annotate(links=Count("pk"), critical=Sum(_IS_CRITICAL))
    )
    beside = list(waiting.filter(_has_loose_brother()).order_by().values_list(*ENDS, "source", "is_critical"))
    known = _known(rack, [*(row[:4] for row in whole), *(row[:4] for row in beside)], {row[4] for row in beside})
    held = [
        *(Held(known.needs(row[:4]), row[4], row[4] + (CRITICAL_WEIGHT - 1) * row[5]) for row in whole),
        *(Held(known.needs(row[:4], known.loose_at(row[4])), 1, CRITICAL_WEIGHT if row[5] else 1) for row in beside),
    ]
    held = [bunch for bunch in held if bunch.needs]
    ranked = unlocks(held)
    return Openers(_openers(ranked[:shown], waiting, known), len(ranked), sum(bunch.links for bunch in held))


def waiting_links(rack: Rack | None = None) -> QuerySet[Interconnect]:
    """The links that are joined and rung out, and whose signal is still to be checked."""
    links = Interconnect.objects.all() if rack is None else Interconnect.objects.touching_rack(rack)
    return links.filter(_stands("joined"), _stands("rung out"), ~_stands("signal-checked"))


def _stands(gate: str) -> Exists:
    return Exists(StoredStanding.objects.filter(interconnect=OuterRef("pk"), gate=gate, state__in=GOOD_STATES))


def _has_loose_brother() -> Exists:
    others = Interconnect.objects.filter(source=OuterRef("source")).exclude(pk=OuterRef("pk"))
    return Exists(others.filter(~_stands("joined")))


_IS_CRITICAL = Case(When(is_critical=True, then=Value(1)), default=Value(0))


def _known(rack: Rack | None, ends: Collection[Ends], sources: Collection[int]) -> _Known:
    slots = None if rack is None else {code for row in ends for code in row[::2]}
    loose = Interconnect.objects.filter(source__in=sources).filter(~_stands("joined")).order_by().values("source")
    rows = loose.annotate(count=Count("pk"), first=Min("code"), last=Max("code"))
    return _Known(
        frozenset(_ready_slots(slots)),
        frozenset(_ready_racks()),
        {row["source"]: (row["count"], row["first"], row["last"]) for row in rows},
    )


def _ready_slots(codes: Collection[str] | None) -> Iterable[str]:
    """The slots whose chassis passed every gate up to HT on; all of the machine, or those of these codes."""
    rows = StoredStanding.objects.filter(
        gate__in=CHASSIS_GATES,
        state__in=GOOD_STATES,
        chassis__fittings__in=_standing_fittings(codes),
    )
    counted = rows.order_by().values_list("chassis__fittings__slot__code").annotate(count=Count("gate"))
    return [code for code, count in counted if count == len(CHASSIS_GATES)]


def _standing_fittings(codes: Collection[str] | None) -> QuerySet[Fitting]:
    fittings = Fitting.objects.standing()
    return fittings if codes is None else fittings.filter(slot__code__in=codes)


def _ready_racks() -> Iterable[str]:
    """The racks whose own gates stand, up to their release for fitting."""
    rows = StoredStanding.objects.filter(rack__isnull=False, gate__in=RACK_GATES_BEFORE, state__in=GOOD_STATES)
    counted = rows.order_by().values_list("rack__code").annotate(count=Count("gate"))
    return [code for code, count in counted if count == len(RACK_GATES_BEFORE)]


# what is shown of the things at the head of the list


def _openers(ranked: Sequence[Unlock], waiting: QuerySet[Interconnect], known: _Known) -> tuple[Opener, ...]:
    named = {kind: [row.thing.code for row in ranked if row.thing.kind == kind] for kind in ("slot", "rack", "link")}
    freed = _freed(named, waiting, known)
    details = {**_slots(named["slot"]), **_racks(named["rack"]), **_links(named["link"])}
    return tuple(
        Opener(row, *_told(details[row.thing]), tuple(freed[row.thing])) for row in ranked if row.thing in details
    )


def _freed(named: dict[str, list[str]], waiting: QuerySet[Interconnect], known: _Known) -> dict[Thing, list[FreedLink]]:
    """The links that need one of these things and nothing else, in one read."""
    at_slot = Q(source__slot__code__in=named["slot"]) | Q(load__slot__code__in=named["slot"])
    at_rack = Q(source__slot__rack__code__in=named["rack"]) | Q(load__slot__rack__code__in=named["rack"])
    sources = [source for source, (_, first, _) in known.loose.items() if first in named["link"]]
    rows = waiting.filter(at_slot | at_rack | Q(source__in=sources)).order_by("code")
    found: dict[Thing, list[FreedLink]] = defaultdict(list)
    for *ends, source, code, is_critical in rows.values_list(*ENDS, "source", "code", "is_critical"):
        needs = known.needs(tuple(ends), known.loose_at(source))
        if len(needs) == 1:
            found[next(iter(needs))].append(FreedLink(code, ends[0], ends[2], bool(is_critical)))
    return found


@dataclass(frozen=True)
class _Detail:
    function: str
    chassis: str
    standings: tuple[Standing, ...]
    waits_for: str
    first: tuple[str, ...] = ()


def _told(detail: _Detail) -> tuple[str, str, tuple[str, ...], tuple[str, ...], str, State]:
    left = acts_left(detail.standings)
    acts = (*detail.first, *(standing.gate for standing in left))
    return detail.function, detail.chassis, acts, done_again(left), detail.waits_for, worst_of(left)


def _slots(codes: Collection[str]) -> dict[Thing, _Detail]:
    """How the chassis of these slots stand."""
    slots = list(Slot.objects.filter(code__in=codes)) if codes else []
    return {
        Thing("slot", facts.slot): _Detail(facts.function, facts.chassis, facts.standings, facts.with_whom, facts.first)
        for facts in facts_of_slots(slots).values()
    }


def _racks(codes: Collection[str]) -> dict[Thing, _Detail]:
    racks = list(Rack.objects.filter(code__in=codes)) if codes else []
    standings = recorded_standings("rack", [rack.pk for rack in racks])
    before = len(RACK_GATES_BEFORE)
    return {
        Thing("rack", rack.code): _Detail(rack.function, "", standings[rack.pk][:before], POWER_PERSON)
        for rack in racks
    }


def _links(codes: Collection[str]) -> dict[Thing, _Detail]:
    rows = dict(Interconnect.objects.filter(code__in=codes).values_list("pk", "code")) if codes else {}
    standings = recorded_standings("interconnect", list(rows))
    return {
        Thing("link", code): _Detail("", "", standings[pk][:1], "a pair at the rack, with the power off")
        for pk, code in rows.items()
    }


# in words


NAMES = {"slot": "the chassis of slot {}", "rack": "rack {} itself", "link": "link {}"}


def named(thing: Thing) -> str:
    """Name a missing thing in a sentence."""
    return NAMES[thing.kind].format(thing.code)


def frees_in_words(row: Unlock) -> str:
    """Say what a thing frees: "frees 3 links, 1 of them critical"."""
    critical = (row.weight - row.links) // (CRITICAL_WEIGHT - 1)
    if not row.links:
        return "frees no link alone"
    links = "1 link" if row.links == 1 else f"{row.links} links"
    if not critical:
        return f"frees {links}"
    if row.links == 1:
        return f"frees {links}, a critical one"
    return f"frees {links}, {'all' if critical == row.links else critical} of them critical"


def sentence(openers: Openers, where: str = "the machine") -> str:
    """Answer "what one thing would open most?" in one breath."""
    if not openers.held_count:
        return f"On {where}, no link that is joined and rung out waits for another thing before its signal is checked."
    if not openers.rows or not openers.rows[0].unlock.links:
        waiting = "1 link waits" if openers.held_count == 1 else f"{openers.held_count} links wait"
        return f"No single thing would free a link on {where}; {waiting} for two or more."
    best = openers.rows[0]
    return f"{capfirst(named(best.unlock.thing))} would open most: it {frees_in_words(best.unlock)}."


def say(row: Opener) -> str:
    """Say of a missing thing what to do, on whom it waits, and what it frees."""
    return f"{named(row.unlock.thing)}: {acts_in_words(row)}; waits for {row.waits_for}; {frees_in_words(row.unlock)}."


def as_json(openers: Openers) -> dict[str, object]:
    """The same answer for a program."""
    return {
        "critical_weight": CRITICAL_WEIGHT,
        "held_links": openers.held_count,
        "things": openers.thing_count,
        "unlocks": [_row_json(row) for row in openers.rows],
    }


def _row_json(row: Opener) -> dict[str, object]:
    return {
        "kind": row.kind,
        "code": row.code,
        "acts": list(row.acts),
        "waits_for": row.waits_for,
        "links": row.unlock.links,
        "weight": row.unlock.weight,
        "frees": [link.code for link in row.frees],
        "together": [
            {"kind": other.thing.kind, "code": other.thing.code, "links": other.links, "weight": other.weight}
            for other in row.unlock.together
        ],
    }
