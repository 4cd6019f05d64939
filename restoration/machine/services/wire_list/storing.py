"""A planned wire list into the tables: whole sets at a time, never a row at a time."""

from collections.abc import Sequence
from typing import Any

from django.db import connection
from django.db.models import Max, Model

from restoration.engineering.wire_list.known import KnownWiring, LinkFacts
from restoration.engineering.wire_list.links import LinkChange
from restoration.engineering.wire_list.outcome import ImportPlan
from restoration.machine.models import Interconnect, Rack, Signal, Slot, Terminal, WiringChange
from restoration.machine.services.wiring import touches_wire
from restoration.people.models import Person

COLUMNS = (
    "code",
    "source_id",
    "load_id",
    "signal_id",
    "wire",
    "colour",
    "length_m",
    "loom",
    "is_critical",
    "remarks",
    "version",
)
# A wire list names each end by two columns; a change of either is a change of that end.
FIELD_OF = {
    "from_slot": "source",
    "from_terminal": "source",
    "to_slot": "load",
    "to_terminal": "load",
    "critical": "is_critical",
}
Ids = dict[str, int]
TerminalIds = dict[tuple[str, str], int]


def store_places(plan: ImportPlan) -> None:
    """Put the racks, slots, terminals and signals on record that the list names and nobody knew."""
    if plan.new_racks:
        last = Rack.objects.aggregate(last=Max("position"))["last"] or 0
        racks = [(code, "", place) for place, code in enumerate(plan.new_racks, start=last + 1)]
        _insert(Rack, ("code", "function", "position"), racks)
    if plan.new_slots or plan.slot_racks:
        rack_ids: Ids = dict(Rack.objects.values_list("code", "pk"))
        slots = [(slot, rack_ids[rack] if rack else None, 0, "") for slot, rack in plan.new_slots]
        _insert(Slot, ("code", "rack_id", "position", "function"), slots)
        _many(
            f"UPDATE {_table(Slot)} SET rack_id = %s WHERE code = %s",  # noqa: S608  (only names of ours)
            [(rack_ids[rack], slot) for slot, rack in plan.slot_racks],
        )
    if plan.new_terminals:
        slot_ids: Ids = dict(Slot.objects.values_list("code", "pk"))
        _insert(Terminal, ("slot_id", "code"), [(slot_ids[slot], code) for slot, code in plan.new_terminals])
    _insert(Signal, ("name", "remarks"), [(name, "") for name in plan.new_signals])


def store_links(plan: ImportPlan, known: KnownWiring, *, by: Person | None) -> set[int]:
    """Add and change the interconnects; return those known before that feel it."""
    if not plan.to_add and not plan.to_change:
        return set()
    terminals, signals = _terminal_ids(), _signal_ids()
    _insert(Interconnect, COLUMNS, [_row(link, terminals, signals) for link in plan.to_add])
    _change(plan.to_change, terminals, signals)
    if not known.links:
        return set()
    ids: Ids = dict(Interconnect.objects.order_by().values_list("code", "pk"))
    _keep_what_was(plan.to_change, ids, by=by)
    return {ids[code] for code in _felt_by(plan, known)}


def _terminal_ids() -> TerminalIds:
    rows = Terminal.objects.order_by().values_list("slot__code", "code", "pk")
    return {(slot, code): pk for slot, code, pk in rows}


def _signal_ids() -> dict[str, int | None]:
    return {"": None, **dict(Signal.objects.order_by().values_list("name", "pk"))}


def _row(link: LinkFacts, terminals: TerminalIds, signals: dict[str, int | None]) -> tuple[Any, ...]:
    code, signal, from_slot, from_terminal, to_slot, to_terminal, *rest = link
    return (code, terminals[from_slot, from_terminal], terminals[to_slot, to_terminal], signals[signal], *rest, 1)


def _change(changes: Sequence[LinkChange], terminals: TerminalIds, signals: dict[str, int | None]) -> None:
    """Write each changed interconnect anew; whether it is critical only where the list speaks of it."""
    stated = ", ".join(f"{name} = %s" for name in COLUMNS[1:8])
    _many(
        f"UPDATE {_table(Interconnect)} SET {stated}, "  # noqa: S608  (only names of ours)
        "is_critical = CASE WHEN %s THEN %s ELSE is_critical END, remarks = %s, version = version + 1 WHERE code = %s",
        [_changed_row(change, terminals, signals) for change in changes],
    )


def _changed_row(change: LinkChange, terminals: TerminalIds, signals: dict[str, int | None]) -> tuple[Any, ...]:
    code, *stated, is_critical, remarks, _ = _row(change.new, terminals, signals)
    return (*stated, "critical" in change.fields, is_critical, remarks, code)


def _keep_what_was(changes: Sequence[LinkChange], ids: Ids, *, by: Person | None) -> None:
    """Write down what each changed interconnect was, so that older evidence can be doubted."""
    rows = (
        WiringChange(
            interconnect_id=ids[change.new.code],
            changed_by=by,
            fields=(fields := _before_and_after(change)),
            touches_wire=touches_wire(fields),
        )
        for change in changes
    )
    WiringChange.objects.bulk_create(rows, batch_size=1000)


def _before_and_after(change: LinkChange) -> dict[str, list[Any]]:
    names = dict.fromkeys(FIELD_OF.get(name, name) for name in change.fields)
    return {name: [_said(change.old, name), _said(change.new, name)] for name in names}


def _said(link: LinkFacts, name: str) -> Any:
    if name == "is_critical":
        return link.critical
    value = getattr(link, name)
    return ":".join(value) if name in ("source", "load") else value


def _felt_by(plan: ImportPlan, known: KnownWiring) -> set[str]:
    """The changed ones, and those on a source that gains, loses or keeps a load through this list."""
    changed = {change.new.code for change in plan.to_change}
    sources = {link.source for link in plan.to_add}
    sources |= {source for change in plan.to_change for source in (change.old.source, change.new.source)}
    return changed | {code for code, link in known.links.items() if link.source in sources}


def _insert(model: type[Model], columns: Sequence[str], rows: Sequence[tuple[Any, ...]]) -> None:
    names = ", ".join(connection.ops.quote_name(name) for name in columns)
    places = ", ".join(["%s"] * len(columns))
    _many(f"INSERT INTO {_table(model)} ({names}) VALUES ({places})", rows)  # noqa: S608  (only names of ours)


def _many(statement: str, rows: Sequence[tuple[Any, ...]]) -> None:
    if rows:
        with connection.cursor() as cursor:
            cursor.executemany(statement, rows)


def _table(model: type[Model]) -> str:
    return connection.ops.quote_name(model._meta.db_table)
