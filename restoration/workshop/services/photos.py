"""Photographs of a chassis."""

from datetime import datetime
from typing import IO

from django.core.files.base import ContentFile
from django.db import transaction

from restoration.common.images import CleanPhoto, clean_photo
from restoration.common.moments import moment_of
from restoration.logbook.services import write_line
from restoration.machine.models import Chassis
from restoration.people.models import Person
from restoration.workshop.models import Photo


def add_photo(
    *, chassis: Chassis, file: IO[bytes] | CleanPhoto, caption: str, by: Person, at: datetime | None = None
) -> Photo:
    """Keep a photograph of a chassis, made again from its pixels before anything is stored."""
    clean = file if isinstance(file, CleanPhoto) else clean_photo(file)
    moment = moment_of(at)
    photo = Photo(
        chassis=chassis,
        width=clean.width,
        height=clean.height,
        sha256=clean.sha256,
        caption=caption.strip(),
        added_at=moment,
        added_by=by,
    )
    try:
        with transaction.atomic():
            photo.image.save(f"{clean.sha256[:20]}.jpg", ContentFile(clean.image), save=False)
            photo.small.save(f"{clean.sha256[:20]}_small.jpg", ContentFile(clean.small), save=False)
            photo.save()
            _write(photo)
    except Exception:
        _forget_files(photo)
        raise
    return photo


def _write(photo: Photo) -> None:
    says = f": {photo.caption}" if photo.caption else "."
    write_line(
        act="photograph added",
        sentence=f"{photo.added_by} added a photograph of chassis {photo.chassis.serial}{says}",
        by=photo.added_by,
        subject_kind="chassis",
        subject_code=photo.chassis.serial,
        happened_at=photo.added_at,
        details={"photo": photo.pk, "sha256": photo.sha256},
    )


def _forget_files(photo: Photo) -> None:
    """Leave no file behind for a photograph that was not stored."""
    for kept in (photo.image, photo.small):
        if kept.name:
            kept.storage.delete(kept.name)
