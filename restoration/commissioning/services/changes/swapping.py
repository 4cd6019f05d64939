"""A chassis is swapped for another: one comes out, one goes in, and one change says what that puts in doubt."""

from datetime import datetime

from django.core.exceptions import ValidationError

from restoration.commissioning.changing.touched import Touched
from restoration.commissioning.doubting import find_doubts
from restoration.commissioning.models import Change
from restoration.commissioning.services.changes.heading import heading_of
from restoration.commissioning.services.changes.storing import Photo, store_change, with_photo
from restoration.commissioning.services.fitting import fit_chassis, withdraw_chassis
from restoration.commissioning.services.standing import worked_out_once
from restoration.engineering.doubt import Kind
from restoration.machine.models import Chassis, Fitting, Slot
from restoration.people.models import Person


class ChangedMeanwhile(Exception):  # noqa: N818  (it is news, not an error)
    """The slot holds another chassis than it did when the form was opened."""

    def __init__(self, slot: Slot, standing: Fitting | None) -> None:
        holds = f"holds chassis {standing.chassis.serial}" if standing else "is empty"
        super().__init__(
            f"Slot {slot.code} {holds} now: someone was there while you were writing. Nothing of yours was stored. "
            "Look at the slot, and send this again only if it is still right."
        )
        self.standing = standing


def swap_chassis(
    *,
    slot: Slot,
    chassis: Chassis,
    slot_label_read: str,
    chassis_label_read: str,
    why: str,
    done_by: Person,
    second_person: Person,
    entered_by: Person,
    at: datetime | None = None,
    remarks: str = "",
    photo: Photo = None,
    seen: int | None = None,
) -> Change:
    """Swap the chassis in a slot for another, by both labels; `seen` is the fitting that the writer saw there."""
    with with_photo(photo) as kept, worked_out_once():
        heading = heading_of(
            Kind.SWAPPED,
            why=why,
            done_by=done_by,
            entered_by=entered_by,
            second_person=second_person,
            at=at,
            remarks=remarks,
        )
        standing = _standing_in(slot, chassis, seen)
        touched = Touched(slot=slot, chassis=chassis, taken_out=standing.chassis)
        found = find_doubts(touched.subject(Kind.SWAPPED))
        out = withdraw_chassis(slot=slot, why=heading.why, removed_by=done_by, entered_by=entered_by, at=heading.at)
        into = fit_chassis(
            chassis=chassis,
            slot=slot,
            slot_label_read=slot_label_read,
            chassis_label_read=chassis_label_read,
            fitted_by=done_by,
            second_person=second_person,
            entered_by=entered_by,
            at=heading.at,
            remarks=heading.remarks,
        )
        return store_change(Kind.SWAPPED, touched, heading, found, taken_out=out, put_in=into, **kept)


def _standing_in(slot: Slot, chassis: Chassis, seen: int | None) -> Fitting:
    """Lock the slot, and give what stands in it; a swap needs one there, and another than the one to go in."""
    Slot.objects.select_for_update(of=("self",), no_key=True).get(pk=slot.pk)
    standing = slot.fittings.standing().select_related("chassis").first()
    if seen is not None and (standing is None or standing.pk != seen):
        raise ChangedMeanwhile(slot, standing)
    if standing is None:
        raise ValidationError(f"There is no chassis in slot {slot.code} to swap. Fit one there instead.")
    if standing.chassis_id == chassis.pk:
        sentence = f"Chassis {chassis.serial} is in slot {slot.code} already; a swap puts another in."
        raise ValidationError({"chassis": sentence})
    return standing
