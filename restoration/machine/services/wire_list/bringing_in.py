"""The import of a wire list, as one act."""

import gc
import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from django.db import connection, transaction

from restoration.engineering.wire_list.outcome import ImportPlan, counted, refused_plan
from restoration.engineering.wire_list.plan import plan_import
from restoration.engineering.wire_list.refusals import WireListRefused
from restoration.engineering.wire_list.rows import WireRows, read_rows
from restoration.engineering.wire_list.tables import read_table
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Interconnect, Rack, Signal, Slot, Terminal
from restoration.machine.services.saving import who
from restoration.machine.services.wire_list.known import known_wiring
from restoration.machine.services.wire_list.questions import Question, new_questions, raise_questions
from restoration.machine.services.wire_list.storing import store_links, store_places
from restoration.people.models import Person


@dataclass(frozen=True)
class ImportOutcome:
    """What a wire list says against the records, what it makes one ask, and whether it was stored."""

    plan: ImportPlan
    questions: tuple[Question, ...] = ()
    is_saved: bool = False

    @property
    def is_refused(self) -> bool:
        """Whether the list says anything that cannot be taken; then nothing was stored."""
        return not self.plan.can_be_saved

    @property
    def changes_nothing(self) -> bool:
        """Whether the records say already all that the list does."""
        return self.plan.changes_nothing and not self.questions


def import_wire_list(
    *,
    data: bytes,
    name: str,
    by: Person | None,
    create_missing: bool = False,
    both_ends: bool = False,
    dry_run: bool = False,
) -> ImportOutcome:
    """Take in a wire list whole, or, with anything refused, nothing of it; `dry_run` only says what would change."""
    with _collector_at_rest():
        try:
            wires = read_rows(read_table(data, name=name))
        except WireListRefused as refused:
            return ImportOutcome(refused_plan(refused))
        return _compare_and_store(
            wires, data=data, name=name, by=by, create_missing=create_missing, both_ends=both_ends, dry_run=dry_run
        )


@contextmanager
def _collector_at_rest() -> Iterator[None]:
    """Spare a long list the search for cycles, of which its millions of plain tuples hold none; a fifth of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _compare_and_store(
    wires: WireRows, *, data: bytes, name: str, by: Person | None, create_missing: bool, both_ends: bool, dry_run: bool
) -> ImportOutcome:
    with transaction.atomic():
        if not dry_run:
            _hold_the_wiring_still()
        known = known_wiring()
        plan = plan_import(wires, known, create_missing=create_missing, both_ends=both_ends)
        outcome = ImportOutcome(plan, new_questions(plan))
        if not (dry_run or outcome.is_refused or outcome.changes_nothing):
            outcome = replace(outcome, is_saved=True)
            store_places(plan)
            touched = store_links(plan, known, by=by)
            raise_questions(outcome.questions, by=by)
            _write_it_down(outcome, data=data, name=name, by=by)
            tell_facts_changed(interconnects=touched)
    return outcome


def _hold_the_wiring_still() -> None:
    """Let nobody else change the wiring until this list is in; SQLite's immediate transactions do so already."""
    if connection.vendor == "postgresql":
        tables = ", ".join(model._meta.db_table for model in (Rack, Slot, Terminal, Signal, Interconnect))
        with connection.cursor() as cursor:
            cursor.execute(f"LOCK TABLE {tables} IN SHARE ROW EXCLUSIVE MODE")


def _write_it_down(outcome: ImportOutcome, *, data: bytes, name: str, by: Person | None) -> None:
    plan = outcome.plan
    asked = f"; {counted(len(outcome.questions), 'query', 'queries')} raised" if outcome.questions else ""
    sentence = (
        f"{who(by)} brought in the wire list “{name}” of {counted(plan.row_count, 'row')}: "
        f"{counted(len(plan.to_add), 'link')} added, {len(plan.to_change):,} changed, "
        f"{plan.unchanged:,} as before{asked}."
    )
    counts = {
        "file": name,
        "sha256": hashlib.sha256(data).hexdigest(),
        "rows": plan.row_count,
        "added": len(plan.to_add),
        "changed": len(plan.to_change),
        "unchanged": plan.unchanged,
        "new_racks": len(plan.new_racks),
        "new_slots": len(plan.new_slots),
        "new_terminals": len(plan.new_terminals),
        "new_signals": len(plan.new_signals),
        "queries": len(outcome.questions),
    }
    write_line(act="wire list brought in", sentence=sentence, by=by, subject_kind="wire list", details=counts)
