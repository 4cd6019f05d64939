"""A walk put on paper: numbered rows that keep their order, and what became of each since."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.commissioning.models import AgainSheet, Group
from restoration.commissioning.testing_again.asking import Question
from restoration.commissioning.testing_again.items import Item, Items, items_of
from restoration.commissioning.testing_again.rows import AgainRow, rows_of
from restoration.engineering.recheck import PHASE_WORDS, DoubtfulGate, Phase, Place, Walk
from restoration.engineering.standing import GOOD, State
from restoration.logbook.services import write_line
from restoration.machine.models import Chassis, Interconnect, Rack
from restoration.people.models import Person

BY_CODE: dict[str, tuple[Any, str]] = {
    "interconnect": (Interconnect, "code"),
    "chassis": (Chassis, "serial"),
    "rack": (Rack, "code"),
    "group": (Group, "code"),
}


@transaction.atomic
def make_sheet(*, question: Question, walk: Walk, by: Person) -> AgainSheet:
    """Keep a walk as a numbered sheet, so that what is printed and what is entered have the same rows."""
    if not walk.checks:
        raise ValidationError(f"Of {question.in_words()}, nothing is to be tested again now, so there is no sheet.")
    rows = [_kept(check) for check in (*walk.checks, *walk.apart)]
    sheet = AgainSheet.objects.create(made_by=by, asks=question.in_words(), rows=rows)
    count = f"{len(walk.checks)} check{'' if len(walk.checks) == 1 else 's'}"
    write_line(
        act="sheet made",
        sentence=f"{by} made sheet {sheet.pk} of {count} to make again: {sheet.asks}.",
        by=by,
        subject_kind="sheet",
        subject_code=str(sheet.pk),
        details={"checks": len(walk.checks), "apart": len(walk.apart)},
    )
    return sheet


def _kept(check: DoubtfulGate) -> dict[str, Any]:
    place = check.place
    return {
        "kind": check.kind,
        "code": check.code,
        "gate": check.gate,
        "phase": int(check.phase),
        "order": check.order,
        "place": [place.rack_position, place.rack, place.slot_position, place.slot],
        "reasons": list(check.reasons),
        "is_critical": check.is_critical,
        "apart": check.apart,
    }


def _check(row: dict[str, Any]) -> DoubtfulGate:
    return DoubtfulGate(
        row["kind"],
        row["code"],
        row["gate"],
        Phase(row["phase"]),
        row["order"],
        Place(*row["place"]),
        tuple(row["reasons"]),
        row["is_critical"],
        row["apart"],
    )


@dataclass(frozen=True)
class SheetRow:
    """A row of a sheet, and how its gate stands now."""

    row: AgainRow
    state: str

    @property
    def is_answered(self) -> bool:
        """Whether the gate stands, so that nothing is left to do."""
        return self.state in GOOD

    @property
    def prefix(self) -> str:
        """The name of its fields."""
        return f"row-{self.row.number}"


@dataclass(frozen=True)
class SheetStop:
    """What is done at one rack in one phase."""

    title: str
    rack: str
    is_dead: bool
    is_live: bool
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True)
class SheetShown:
    """A sheet with what is known now."""

    sheet: AgainSheet
    rows: tuple[SheetRow, ...]
    apart: tuple[DoubtfulGate, ...]

    @property
    def stops(self) -> tuple[SheetStop, ...]:
        """The rows rack by rack, phase by phase."""
        return _by_stop(self.rows)

    @property
    def one_reason(self) -> str:
        """What was done, where every row is on the sheet for one and the same thing; it is then said once."""
        done = {row.row.check.reasons[0].partition(":")[0] for row in self.rows if row.row.check.reasons}
        return done.pop() if len(done) == 1 else ""

    @property
    def open_rows(self) -> tuple[SheetRow, ...]:
        """The rows that are still to be answered."""
        return tuple(row for row in self.rows if not row.is_answered)


def _stop(phase: Phase, rack: str, rows: Iterable[SheetRow]) -> SheetStop:
    title = f"{PHASE_WORDS[phase]}{f', rack {rack}' if rack else ''}"
    return SheetStop(title, rack, phase is Phase.DEAD, phase in (Phase.POWER, Phase.LIVE), tuple(rows))


def stops_of(walk: Walk) -> tuple[SheetStop, ...]:
    """Describe a walk that is not on a sheet yet, rack by rack, in a fixed number of queries."""
    items = _items_by_code(walk.checks)
    rows = tuple(SheetRow(row, State.IN_DOUBT.value) for row in rows_of(walk.checks, items))
    return _by_stop(rows)


def _by_stop(rows: Sequence[SheetRow]) -> tuple[SheetStop, ...]:
    runs = groupby(rows, key=lambda row: (row.row.check.phase, row.row.check.place.rack))
    return tuple(_stop(phase, rack, stop) for (phase, rack), stop in runs)


def show_sheet(sheet: AgainSheet) -> SheetShown:
    """Read what is known now of the rows of a sheet, in a fixed number of queries."""
    checks = [_check(row) for row in sheet.rows]
    items = _items_by_code(checks)
    walked = [check for check in checks if not check.apart and (check.kind, check.code) in items.pks]
    rows = tuple(
        SheetRow(row, items.state_of(*row.check.key) or State.NOT_DONE.value) for row in rows_of(walked, items)
    )
    return SheetShown(sheet, rows, tuple(check for check in checks if check.apart))


def _items_by_code(checks: Iterable[DoubtfulGate]) -> Items:
    wanted: list[Item] = []
    for kind, (model, field) in BY_CODE.items():
        codes = {check.code for check in checks if check.kind == kind}
        pks = model.objects.filter(**{f"{field}__in": codes}).values_list("pk", flat=True)
        wanted += [Item(kind, pk) for pk in pks]
    return items_of(wanted)
