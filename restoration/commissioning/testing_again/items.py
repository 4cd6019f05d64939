"""What is known of the items on a walk: their codes, where they are, what keeps them from being tested now."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from typing import Any

from restoration.commissioning.gates import GATES_OF, gate_of
from restoration.commissioning.models import Group, Standing
from restoration.engineering.recheck import DoubtfulGate, Phase, Place
from restoration.engineering.standing import State
from restoration.machine.models import Chassis, Fitting, Interconnect, Rack

NOT_JOINED = frozenset({"", State.NOT_DONE.value, State.WITHDRAWN.value, State.FAILED.value})
MISSING_FIRST = frozenset({"", State.NOT_DONE.value, State.FAILED.value})
ON_THE_BENCH = frozenset({"allotted", "built", "received", "cold-checked", "bench-tested"})
AT_THE_RACK = frozenset({"fitted", "heaters on", "HT on"})


@dataclass(frozen=True)
class Item:
    """One chassis, interconnect, rack or group, by its row."""

    kind: str
    pk: int


def phase_of(kind: str, gate: str) -> Phase:
    """Say when in the day the check of a gate is made."""
    if kind == "group":
        return Phase.GROUP
    known = gate_of(kind, gate)
    if known is None or not known.is_live:
        return Phase.DEAD
    return Phase.LIVE if kind == "interconnect" else Phase.POWER


@dataclass
class Items:
    """The items of one question, read in a fixed number of queries."""

    links: dict[int, dict[str, Any]] = field(default_factory=dict)
    chassis: dict[int, dict[str, Any]] = field(default_factory=dict)
    racks: dict[int, Rack] = field(default_factory=dict)
    groups: dict[int, Group] = field(default_factory=dict)
    states: dict[tuple[str, int, str], str] = field(default_factory=dict)
    fitted: set[int] = field(default_factory=set)
    pks: dict[tuple[str, str], int] = field(default_factory=dict)

    def state_of(self, kind: str, code: str, gate: str) -> str:
        """How a gate stands by the stored copy; not done where nothing is stored."""
        return self.states.get((kind, self.pks.get((kind, code), 0), gate), State.NOT_DONE.value)

    def doubtful(self, item: Item, gate: str, reasons: tuple[str, ...], *, apart: str = "") -> DoubtfulGate:
        """Describe one doubtful gate for the planner."""
        codes = GATES_OF[item.kind]
        return DoubtfulGate(
            item.kind,
            self.code_of(item),
            gate,
            phase_of(item.kind, gate),
            codes.index(gate) if gate in codes else len(codes),
            self.place_of(item),
            reasons,
            bool(item.kind == "interconnect" and self.links[item.pk]["is_critical"]),
            apart or self._held(item, gate),
        )

    def code_of(self, item: Item) -> str:
        """The code painted on it."""
        if item.kind == "interconnect":
            return str(self.links[item.pk]["code"])
        if item.kind == "chassis":
            return str(self.chassis[item.pk]["serial"])
        return (self.racks if item.kind == "rack" else self.groups)[item.pk].code

    def place_of(self, item: Item) -> Place:
        """Where one goes to test it: a link at its load end, a chassis at its slot, a group nowhere in particular."""
        if item.kind == "interconnect":
            return _place(self.links[item.pk], "load__slot")
        if item.kind == "chassis":
            return _place(self.chassis[item.pk], "slot")
        if item.kind == "rack":
            return Place(self.racks[item.pk].position, self.racks[item.pk].code)
        return Place()

    def _held(self, item: Item, gate: str) -> str:
        """Say why a gate cannot be tested now, or need not be."""
        if item.kind == "interconnect":
            return self._link_held(item.pk, gate)
        if item.kind == "chassis" and not self.chassis[item.pk].get("slot__code"):
            serial = self.chassis[item.pk]["serial"]
            if gate in AT_THE_RACK:
                return f"Chassis {serial} is in no slot; this is tested when it is fitted again."
            return f"Chassis {serial} is in no slot, so nothing at the racks waits for it; test it before it is fitted."
        return ""

    def _link_held(self, pk: int, gate: str) -> str:
        link = self.links[pk]
        joined = self.states.get(("interconnect", pk, "joined"), "")
        if gate != "joined" and joined in NOT_JOINED:
            return f"Link {link['code']} is not joined now; this is tested when it is joined again."
        if gate != "signal-checked":
            return ""
        for end in ("source", "load"):
            if link[f"{end}__slot"] not in self.fitted:
                return f"No chassis is fitted in slot {link[f'{end}__slot__code']}, so no signal can be proved there."
        if self.states.get(("interconnect", pk, "rung out"), "") in MISSING_FIRST:
            return f"Link {link['code']} is not rung out; that comes first."
        return ""


def _place(row: dict[str, Any], to: str) -> Place:
    return Place(
        row.get(f"{to}__rack__position") or 0,
        row.get(f"{to}__rack__code") or "",
        row.get(f"{to}__position") or 0,
        row.get(f"{to}__code") or "",
    )


def _fields(to: str) -> tuple[str, ...]:
    return (f"{to}__code", f"{to}__position", f"{to}__rack__code", f"{to}__rack__position")


def items_of(wanted: Iterable[Item]) -> Items:
    """Read what is known of these items."""
    pks: dict[str, set[int]] = {kind: set() for kind in GATES_OF}
    for item in wanted:
        pks[item.kind].add(item.pk)
    items = Items()
    _read_links(items, pks["interconnect"])
    _read_chassis(items, pks["chassis"])
    items.racks = Rack.objects.in_bulk(list(pks["rack"]))
    items.groups = Group.objects.in_bulk(list(pks["group"]))
    items.pks |= {("rack", rack.code): pk for pk, rack in items.racks.items()}
    items.pks |= {("group", group.code): pk for pk, group in items.groups.items()}
    for kind, ids in pks.items():
        rows = Standing.objects.filter(**{f"{kind}__in": ids}).values_list(f"{kind}_id", "gate", "state")
        items.states |= {(kind, pk, gate): state for pk, gate, state in rows}
    return items


def _read_links(items: Items, pks: Collection[int]) -> None:
    fields = ("code", "is_critical", "source__slot", "load__slot", "source__code", "load__code", "signal")
    names = ("signal__name", *_fields("load__slot"), "source__slot__code")
    rows = Interconnect.objects.filter(pk__in=pks).values("pk", *fields, *names).order_by()
    items.links = {row["pk"]: row for row in rows}
    items.pks |= {("interconnect", row["code"]): pk for pk, row in items.links.items()}
    ends = {row[f"{end}__slot"] for row in items.links.values() for end in ("source", "load")}
    items.fitted = set(Fitting.objects.standing().filter(slot__in=ends).values_list("slot_id", flat=True))


def _read_chassis(items: Items, pks: Collection[int]) -> None:
    items.chassis = {row["pk"]: dict(row) for row in Chassis.objects.filter(pk__in=pks).values("pk", "serial")}
    items.pks |= {("chassis", row["serial"]): pk for pk, row in items.chassis.items()}
    fitted = Fitting.objects.standing().filter(chassis__in=pks).values("chassis_id", *_fields("slot")).order_by()
    for row in fitted:
        items.chassis[row["chassis_id"]] |= row
