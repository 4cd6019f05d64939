"""The list of what is in the stores: kept up, taken from and put into."""

import math
from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.common.versions import save_version
from restoration.logbook.services import write_line
from restoration.people.models import Person
from restoration.workshop.models import Grade, PartKind, StoresLine
from restoration.workshop.parts import part_in_words, value_in_words

MOST_PARTS = 1_000_000  # beyond it a slip is taken for granted
SMALLEST: dict[str, float] = {PartKind.RESISTOR: 1e-3, PartKind.CAPACITOR: 1e-14}  # below it, too

FIGURES = {
    "value": "value",
    "tolerance": "tolerance",
    "rating_w": "rating in watts",
    "rating_v": "rating in volts",
}


@dataclass(frozen=True)
class PartGiven:
    """So many alike parts in one place, in SI units, the tolerance as a part of one."""

    kind: str
    value: float
    tolerance: float
    rating_w: float | None = None
    rating_v: float | None = None
    quantity: int = 0
    grade: str = Grade.PERIOD
    make: str = ""
    place: str = ""
    remarks: str = ""


@dataclass(frozen=True)
class ListedPart:
    """Parts as one line of a list names them."""

    line: int
    part: PartGiven


@transaction.atomic
def add_to_stores(*, part: PartGiven, by: Person | None) -> StoresLine:
    """Put parts on the list that no line holds yet."""
    line = _checked(StoresLine(), part)
    line.save(force_insert=True)
    _write(line, by, "stores line added", f"put {_counted(line)} on the list of the stores{_there(line)}")
    return line


@transaction.atomic
def bring_in_stores(*, parts: Sequence[ListedPart], by: Person | None) -> list[StoresLine]:
    """Put a whole list of parts on the list of the stores, or none of it, with a sentence for each wrong line."""
    rows: list[StoresLine] = []
    wrong: list[str] = []
    for listed in parts:
        try:
            rows.append(_checked(StoresLine(), listed.part))
        except ValidationError as refused:
            wrong += [f"Line {listed.line}: {sentence}" for sentence in refused.messages]
    if wrong:
        raise ValidationError(wrong)
    stored = StoresLine.objects.bulk_create(rows)
    count, lines = sum(row.quantity for row in stored), len(stored)
    write_line(
        act="stores list brought in",
        sentence=f"{by or 'The command line'} brought a list into the stores: {count} parts on {lines} lines.",
        by=by,
        details={"lines": [row.pk for row in stored]},
    )
    return stored


@transaction.atomic
def edit_stores_line(*, line: StoresLine, version: int, part: PartGiven, by: Person | None) -> StoresLine:
    """Write a line anew, keeping in the log book what it was; refused if someone else did so meanwhile."""
    before = {name: getattr(line, name) for name in vars(part)}
    _checked(copy(line), part)
    save_version(line, version=version, **vars(part))
    changed = {name: [before[name], now] for name, now in vars(part).items() if before[name] != now}
    _write(line, by, "stores line changed", f"wrote anew what the stores hold: {_counted(line)}", {"changed": changed})
    return line


@transaction.atomic
def take_from_stores(*, line: StoresLine, count: int, by: Person | None, why: str) -> StoresLine:
    """Take so many parts of a line; refused, with both numbers, where fewer are there."""
    line = _locked(line, count)
    if count > line.quantity:
        raise ValidationError(
            f"{count} × {part_in_words(line)} {'was' if count == 1 else 'were'} asked for, "
            f"and the stores hold {line.quantity or 'none'}; take what is there, or choose another part."
        )
    return _moved(line, -count, by, f"took {count} × {part_in_words(line)} from the stores", why)


@transaction.atomic
def put_into_stores(*, line: StoresLine, count: int, by: Person | None, why: str) -> StoresLine:
    """Put so many more parts, or parts that came back, to those of a line."""
    line = _locked(line, count)
    if line.quantity + count > MOST_PARTS:
        raise ValidationError(
            f"With {count} more there would be over {MOST_PARTS:,} parts on this line; check the number."
        )
    return _moved(line, count, by, f"put {count} × {part_in_words(line)} into the stores", why)


def _checked(row: StoresLine, part: PartGiven) -> StoresLine:
    """Give the row these facts if the stores may hold such a part."""
    for name, words in FIGURES.items():
        _refuse_figure(name, words, getattr(part, name))
    if part.value < SMALLEST.get(part.kind, 0.0):
        given, least = (value_in_words(part.kind, value) for value in (part.value, SMALLEST[part.kind]))
        sentence = f"{given} was given; the stores list {part.kind}s from {least} on."
        raise ValidationError({"value": sentence})
    if not 0 <= part.quantity <= MOST_PARTS:
        sentence = f"{part.quantity} was given; the number of parts is from 0 to {MOST_PARTS:,}."
        raise ValidationError({"quantity": sentence})
    for name, value in vars(part).items():
        setattr(row, name, value)
    row.full_clean(validate_constraints=False)  # the figures were looked at above, without a question each
    return row


def _refuse_figure(name: str, words: str, given: float | None) -> None:
    if given is None:
        return
    if not math.isfinite(given) or given <= 0:
        raise ValidationError({name: f"{given:g} was given; the {words} of a part is above zero and finite."})
    if name == "tolerance" and given >= 1:
        raise ValidationError({name: f"{given * 100:g} % was given; the tolerance of a part is below 100 %."})


def _locked(line: StoresLine, count: int) -> StoresLine:
    if count < 1:
        raise ValidationError(f"Parts are taken and put back by whole numbers from 1 on; {count} was given.")
    found = StoresLine.objects.select_for_update(no_key=True).filter(pk=line.pk).first()
    if found is None:
        raise ValidationError("This line is not on the list of the stores any more.")
    return found


def _moved(line: StoresLine, by_count: int, by: Person | None, did: str, why: str) -> StoresLine:
    was = line.quantity
    save_version(line, version=line.version, quantity=was + by_count)
    told = f"{did}: {why.strip().rstrip('.')}" if why.strip() else did
    _write(line, by, "stores moved", told, {"before": was, "now": line.quantity})
    return line


def _counted(line: StoresLine) -> str:
    return f"{line.quantity} × {part_in_words(line)}, {line.get_grade_display()}"


def _there(line: StoresLine) -> str:
    return f", in {line.place}" if line.place else ""


def _write(line: StoresLine, by: Person | None, act: str, did: str, details: dict[str, Any] | None = None) -> None:
    write_line(
        act=act,
        sentence=f"{by or 'The command line'} {did}.",
        by=by,
        subject_kind="stores line",
        subject_code=str(line.pk),
        details=details,
    )
