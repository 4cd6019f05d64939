"""Chassis fitted and withdrawn: what comes and goes at a slot, and which of it a recorded change speaks for."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Exists, OuterRef, Q, QuerySet

from restoration.commissioning.facts.known import Known
from restoration.commissioning.facts.rows import moment
from restoration.commissioning.models import Change as RecordedChange
from restoration.engineering.doubt import Kind
from restoration.machine.models import Fitting


@dataclass(frozen=True, slots=True)
class FittingRow:
    """One stay of a chassis in a slot, as it was recorded."""

    pk: int
    chassis: int
    serial: str
    slot: int
    code: str
    fitted_at: datetime
    fitted_by: int
    removed_at: datetime | None
    removed_by: int | None
    removed_why: str
    is_again: bool
    is_swapped_in: bool
    is_swapped_out: bool


@dataclass(frozen=True, slots=True)
class Move:
    """A chassis fitted or withdrawn by itself: the kind of change it is, when, where, and the sentence for people."""

    kind: Kind
    at: datetime
    slot: int
    chassis: int
    what: str


def fitting_rows(fittings: QuerySet[Fitting]) -> Iterator[FittingRow]:
    """Read fittings: whether the slot had been filled before, and whether a swap in force speaks for either end."""
    before = Q(fitted_at__lt=OuterRef("fitted_at")) | Q(fitted_at=OuterRef("fitted_at"), pk__lt=OuterRef("pk"))
    swaps = RecordedChange.objects.filter(replaced_by=None)
    rows = fittings.values_list(
        "pk",
        "chassis_id",
        "chassis__serial",
        "slot_id",
        "slot__code",
        moment("fitted_at"),
        "fitted_by_id",
        moment("removed_at"),
        "removed_by_id",
        "removed_why",
        Exists(Fitting.objects.filter(before, slot=OuterRef("slot"))),
        Exists(swaps.filter(put_in=OuterRef("pk"))),
        Exists(swaps.filter(taken_out=OuterRef("pk"))),
    )
    return (FittingRow(*row) for row in rows.order_by().iterator(chunk_size=2000))


def moves_of(row: FittingRow, known: Known) -> Iterator[Move]:
    """What a fitting says of itself; a swap in force speaks for the end that it brought about."""
    if not row.is_swapped_in:
        kind, again = (Kind.REFITTED, ", which had been emptied before") if row.is_again else (Kind.FITTED, "")
        what = f"Chassis {row.serial} was fitted in slot {row.code} on {known.days.of(row.fitted_at)}{again}."
        yield Move(kind, row.fitted_at, row.slot, row.chassis, what)
    if row.removed_at and not row.is_swapped_out:
        what = f"Chassis {row.serial} was withdrawn from slot {row.code} on {known.days.of(row.removed_at)}."
        yield Move(Kind.WITHDRAWN, row.removed_at, row.slot, row.chassis, what)
