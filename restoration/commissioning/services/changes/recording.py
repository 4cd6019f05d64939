"""A change is recorded: one row, all that it puts in doubt, one line in the log book."""

from datetime import datetime
from typing import Unpack

from django.core.exceptions import ValidationError

from restoration.commissioning.changing.refusals import refuse_touched
from restoration.commissioning.changing.touched import Touched, TouchedFields, completed
from restoration.commissioning.doubting import find_doubts
from restoration.commissioning.models import Change
from restoration.commissioning.services.changes.heading import Heading, heading_of
from restoration.commissioning.services.changes.storing import Photo, store_change, with_photo
from restoration.commissioning.services.standing import worked_out_once
from restoration.engineering.doubt import RECORDED, Kind
from restoration.people.models import Person
from restoration.proving.models import Joining
from restoration.proving.models.wire_checks import JoiningKind
from restoration.proving.services import join_wire


def record_change(
    *,
    kind: Kind,
    why: str,
    done_by: Person,
    entered_by: Person,
    second_person: Person | None = None,
    at: datetime | None = None,
    remarks: str = "",
    photo: Photo = None,
    replaces: Change | None = None,
    replaces_why: str = "",
    **touched: Unpack[TouchedFields],
) -> Change:
    """Record a change with all that it puts in doubt; a wire made again is recorded as joined again too."""
    _refuse_kind(kind)
    with with_photo(photo) as kept, worked_out_once():
        heading = heading_of(
            kind,
            why=why,
            done_by=done_by,
            entered_by=entered_by,
            second_person=second_person,
            at=at,
            remarks=remarks,
            replaces=replaces,
            replaces_why=replaces_why,
        )
        about = completed(kind, Touched(**touched), heading.at)
        refuse_touched(kind, about, heading.at)
        found = find_doubts(about.subject(kind))
        return store_change(kind, about, heading, found, joining=_joined_again(kind, about, heading), **kept)


def _refuse_kind(kind: Kind) -> None:
    if kind is Kind.SWAPPED:
        raise ValidationError("A swap is recorded with both labels read, as a swap.")
    if kind not in RECORDED:
        raise ValidationError(f"“{kind.value}” follows from another act, and is not recorded by itself.")


def _joined_again(kind: Kind, touched: Touched, heading: Heading) -> Joining | None:
    """Record the joints of a wire that was made again; a correction takes the place of the earlier joints too."""
    if kind is not Kind.REMADE or touched.interconnect is None:
        return None
    earlier = heading.replaces.joining if heading.replaces else None
    return join_wire(
        interconnect=touched.interconnect,
        done_by=heading.done_by,
        second_person=heading.second_person,
        entered_by=heading.entered_by,
        at=heading.at,
        kind=JoiningKind.REMADE,
        remarks=heading.why,
        replaces=earlier,
        replaces_why=heading.replaces_why if earlier else "",
    )
