"""Storing a change: the row, its doubts, its photograph, its line in the log book, and the word that facts changed."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO, Any

from django.core.files.base import ContentFile
from django.db import transaction

from restoration.commissioning.changing.counts import counted, items_in
from restoration.commissioning.changing.phrases import phrase_of
from restoration.commissioning.changing.touched import Touched
from restoration.commissioning.doubting import store_doubts
from restoration.commissioning.models import Change, Doubt
from restoration.commissioning.services.changes.heading import Heading
from restoration.common.images import CleanPhoto, clean_photo
from restoration.engineering.doubt import DoubtFound, Kind
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed

Photo = IO[bytes] | CleanPhoto | None


@contextmanager
def with_photo(photo: Photo) -> Iterator[dict[str, Any]]:
    """Store the photograph, then run the act in one transaction; leave no file behind if the act is refused."""
    kept = _kept(photo)
    try:
        with transaction.atomic():
            yield kept
    except BaseException:
        for file in kept.values():
            file.storage.delete(file.name)
        raise


def _kept(photo: Photo) -> dict[str, Any]:
    if photo is None:
        return {}
    clean = photo if isinstance(photo, CleanPhoto) else clean_photo(photo)
    row = Change()
    row.image.save(f"{clean.sha256[:20]}.jpg", ContentFile(clean.image), save=False)
    row.small.save(f"{clean.sha256[:20]}_small.jpg", ContentFile(clean.small), save=False)
    return {"image": row.image, "small": row.small}


def store_change(kind: Kind, touched: Touched, heading: Heading, found: tuple[DoubtFound, ...], **more: Any) -> Change:
    """Store a change with its doubts, write it down, and say whose facts changed; stands in a transaction."""
    names = {name: getattr(file, "name", file) for name, file in more.items()}
    change: Change = Change.objects.create(
        kind=kind.value, what=phrase_of(kind, touched), **heading.fields(), **touched.fields(), **names
    )
    change.racks.set(touched.racks)
    store_doubts(change, found)
    write_change(change, heading, act="change recorded", sentence=_sentence(change, heading, found))
    tell_of(change, found)
    return change


def _sentence(change: Change, heading: Heading, found: tuple[DoubtFound, ...]) -> str:
    earlier, words = heading.replaces, counted(items_in(found))
    said = f"{heading.done_by} recorded change {change.pk}: {change.what}. Why: {ended(heading.why)}"
    doubted = f" It puts in doubt: {words}." if words else " It puts nothing in doubt."
    instead = f" It takes the place of change {earlier.pk}, because: {ended(heading.replaces_why)}" if earlier else ""
    return said + doubted + instead


def ended(words: str) -> str:
    """End what a person wrote as a sentence."""
    return words if words.endswith((".", "!", "?", "…")) else f"{words}."


def write_change(change: Change, heading: Heading, *, act: str, sentence: str) -> None:
    """Write the line of a change in the log book, as a volunteer would say it."""
    subject_kind, subject_code = about(change)
    write_line(
        act=act,
        sentence=sentence,
        by=heading.entered_by,
        told_by=heading.done_by,
        subject_kind=subject_kind,
        subject_code=subject_code,
        happened_at=heading.at,
        details={"change": change.pk, "kind": change.kind},
    )


def about(change: Change) -> tuple[str, str]:
    """What a change is about, by the kind of thing and the code painted on it, as the log book names it."""
    if change.slot is not None:
        return "slot", change.slot.code
    if change.interconnect is not None:
        return "link", change.interconnect.code
    if change.issue is not None:
        return "design", change.issue.design.number
    return _about_others(change)


def _about_others(change: Change) -> tuple[str, str]:
    if change.chassis is not None:
        return "chassis", change.chassis.serial
    if change.instrument is not None:
        return "instrument", change.instrument.mark
    shared = change.rail or change.earth
    if shared is not None:
        return ("rail" if change.rail else "earth"), shared.code
    codes = [rack.code for rack in change.racks.all()]
    return ("rack", codes[0]) if len(codes) == 1 else ("", "")


def tell_of(change: Change, found: tuple[DoubtFound, ...]) -> None:
    """Say whose facts changed: what is doubted, what was worked on, and what a replaced change doubted."""
    items = items_in(found)
    if change.replaces_id is not None:
        for kind, ids in items.items():
            earlier = Doubt.objects.filter(change=change.replaces_id).exclude(**{kind: None})
            ids.update(earlier.values_list(f"{kind}_id", flat=True))
    for kind in ("chassis", "interconnect"):
        worked_on = getattr(change, f"{kind}_id")
        items[kind] |= {worked_on} if worked_on else set()
    tell_facts_changed(
        chassis=items["chassis"], interconnects=items["interconnect"], racks=items["rack"], groups=items["group"]
    )
