"""A modification note: the change with its doubts, the parts, the stores, the prediction; all of it or nothing."""

from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from restoration.commissioning.models import Change
from restoration.commissioning.services import worked_out_once
from restoration.commissioning.services.changes import record_change
from restoration.common.images import CleanPhoto
from restoration.conditioning.models import ModificationNote, NoteClass, NotePart, Prediction
from restoration.conditioning.services.refusals import refuse_note
from restoration.conditioning.wording import nouns_of
from restoration.engineering.doubt import Kind
from restoration.engineering.in_place.arrangement import Arrangement
from restoration.logbook.services import write_line
from restoration.machine.models import Interconnect
from restoration.people.models import Person
from restoration.workshop.models import StoresLine
from restoration.workshop.services import put_into_stores, take_from_stores

LONGEST = 120  # letters that a change has for what a part was, and is
UNSAID = -1


@dataclass(frozen=True)
class PartUsed:
    """One part that goes on a link: its role, value and ratings in SI units, and the stores line it comes from."""

    role: str
    kind: str
    value: float
    tolerance: float | None = None
    needs_w: float | None = None
    needs_v: float | None = None
    stores_line: StoresLine | None = None


def record_note(
    *,
    interconnect: Interconnect,
    arrangement: Arrangement,
    parts: Sequence[PartUsed],
    kind: NoteClass,
    place: str,
    undone_how: str,
    why: str,
    done_by: Person,
    second_person: Person | None,
    entered_by: Person,
    original_kept: str = "",
    marked_how: str = "",
    prediction: Prediction | None = None,
    put_back: Sequence[StoresLine] = (),
    at: datetime | None = None,
    photo: CleanPhoto | None = None,
    seen: int | None = UNSAID,
) -> ModificationNote:
    """Write down what is on a link from now on, take the parts from the stores, and put the right evidence in doubt.

    `arrangement` is all that is on the link afterwards; `parts` are those that were put on. `seen` is the note that
    the writer knew as the newest (None: none), so that two who write at once do not pass each other by. `put_back`
    names the stores lines that parts taken off go back to, once for each part.
    """
    with _no_photo_left() as made:
        link = Interconnect.objects.select_for_update(no_key=True).get(pk=interconnect.pk)
        newest = ModificationNote.objects.in_force().of(link).select_related("change__entered_by").last()
        before = Arrangement.of_dict(newest.arrangement) if newest else Arrangement()
        refuse_note(
            link=link,
            newest=newest,
            is_seen=seen == UNSAID or seen == (newest.pk if newest else None),
            before=before,
            after=arrangement,
            parts=parts,
            kind=kind,
            words={"place": place, "undone_how": undone_how, "original_kept": original_kept},
            second_person=second_person,
            prediction=prediction,
        )
        change = record_change(
            **_what_changed(kind, before, arrangement, place),
            interconnect=link,
            why=why,
            done_by=done_by,
            second_person=second_person,
            entered_by=entered_by,
            at=at,
            photo=photo,
        )
        made.append(change)
        note = ModificationNote.objects.create(
            change=change,
            prediction=prediction,
            kind=kind,
            arrangement=arrangement.as_dict(),
            place=place.strip(),
            undone_how=undone_how.strip(),
            original_kept=original_kept.strip(),
            marked_how=marked_how.strip(),
        )
        NotePart.objects.bulk_create(NotePart(note=note, **vars(part)) for part in parts)
        _move_stores(note, parts, put_back, entered_by)
        _write(note, arrangement, entered_by)
    return note


@contextmanager
def _no_photo_left() -> Iterator[list[Change]]:
    """Run the act in one transaction; if it is refused after its photograph was stored, take that away again."""
    made: list[Change] = []
    try:
        with transaction.atomic(), worked_out_once():
            yield made
    except BaseException:
        for file in (file for change in made for file in (change.image, change.small) if file):
            file.storage.delete(str(file.name))
        raise


def _what_changed(kind: NoteClass, before: Arrangement, after: Arrangement, place: str) -> dict[str, Any]:
    """The change as the rules of doubt know it: joints made again, or parts that shape the signal."""
    if kind == NoteClass.REROUTED:
        return {"kind": Kind.REMADE, "now": _cut(place.strip())}
    was, now = ("" if each.is_bare else _cut(each.words) for each in (before, after))
    return {"kind": Kind.CONDITIONED, "part": _cut(nouns_of(before, after)), "was": was, "now": now}


def _cut(words: str) -> str:
    return words if len(words) <= LONGEST else f"{words[: LONGEST - 1]}…"


def _move_stores(note: ModificationNote, parts: Sequence[PartUsed], put_back: Sequence[StoresLine], by: Person) -> None:
    why = f"modification note {note.pk} on {note.change.interconnect}"
    taken = Counter(part.stores_line for part in parts if part.stores_line is not None)
    for line, count in sorted(taken.items(), key=lambda each: each[0].pk):
        take_from_stores(line=line, count=count, by=by, why=why)
    for line, count in sorted(Counter(put_back).items(), key=lambda each: each[0].pk):
        put_into_stores(line=line, count=count, by=by, why=f"taken off by {why}")


def _write(note: ModificationNote, arrangement: Arrangement, by: Person) -> None:
    change = note.change
    link = change.interconnect
    code = link.code if link else "?"
    said = f"{change.done_by} wrote modification note {note.pk} for link {code}: {arrangement.words}; {note.place}."
    kept = f" The original is kept: {note.original_kept.rstrip('.')}." if note.original_kept else ""
    write_line(
        act="modification note",
        sentence=f"{said} Undone so: {note.undone_how.rstrip('.')}.{kept}",
        by=by,
        told_by=change.done_by,
        subject_kind="link",
        subject_code=code,
        happened_at=change.done_at,
        details={"note": note.pk, "change": change.pk, "arrangement": note.arrangement},
    )
