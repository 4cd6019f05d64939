"""The heading of a change: why, who, when, and the earlier change it takes the place of."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError

from restoration.commissioning.models import Change
from restoration.common.moments import moment_of
from restoration.engineering.doubt import Kind
from restoration.people.models import Person

NO_REASON = "A change says why it was made, in a few words."


@dataclass(frozen=True)
class Heading:
    """Why it was done, by whom, seen and entered by whom, when; what it replaces, and why."""

    why: str
    done_by: Person
    entered_by: Person
    second_person: Person | None
    at: datetime
    remarks: str = ""
    replaces: Change | None = None
    replaces_why: str = ""

    def fields(self) -> dict[str, Any]:
        """Give the fields of the row."""
        return {
            "why": self.why,
            "done_by": self.done_by,
            "entered_by": self.entered_by,
            "second_person": self.second_person,
            "done_at": self.at,
            "remarks": self.remarks,
            "replaces": self.replaces,
            "replaces_why": self.replaces_why,
        }


def heading_of(
    kind: Kind,
    *,
    why: str,
    done_by: Person,
    entered_by: Person,
    second_person: Person | None,
    at: datetime | None,
    remarks: str = "",
    replaces: Change | None = None,
    replaces_why: str = "",
) -> Heading:
    """Check the heading of a change; whoever corrects the same change at this moment waits for this one."""
    moment = moment_of(at)
    if not why.strip():
        raise ValidationError({"why": NO_REASON})
    if second_person is not None and second_person == done_by:
        sentence = f"The second person must be another than the doer, and both are {done_by}."
        raise ValidationError({"second_person": sentence})
    if replaces is not None:
        refuse_correction(kind, replaces, replaces_why)
    words = (why.strip(), remarks.strip(), replaces_why.strip())
    return Heading(words[0], done_by, entered_by, second_person, moment, words[1], replaces, words[2])


def refuse_correction(kind: Kind, replaces: Change, why: str) -> None:
    """Refuse a correction without a reason, of a change corrected already, or of one that moved things too."""
    Change.objects.select_for_update(of=("self",), no_key=True).get(pk=replaces.pk)
    if not why.strip():
        raise ValidationError({"replaces_why": "A correction says why the earlier record was wrong."})
    later = Change.objects.filter(replaces=replaces).first()
    if later is not None:
        raise ValidationError(f"Change {replaces.pk} was corrected already, by change {later.pk}; correct that one.")
    if replaces.kind == Kind.SWAPPED or kind is Kind.SWAPPED:
        raise ValidationError(_not_a_swap(replaces))
    if replaces.kind == Kind.REMADE and kind is not Kind.REMADE:
        raise ValidationError(
            f"Change {replaces.pk} recorded joints made again as well, so only another change of that kind can "
            "correct it."
        )


def _not_a_swap(replaces: Change) -> str:
    if replaces.kind != Kind.SWAPPED:
        return "A swap moves chassis, so it cannot correct an earlier record. Record the swap by itself."
    slot = replaces.slot.code if replaces.slot else "?"
    return (
        f"Change {replaces.pk} is a swap, and chassis were moved with it, so words alone cannot correct it. If another "
        f"chassis stands in slot {slot} than it says, record a further swap, or withdraw the chassis and fit the "
        "right one; both say in their reason that this change was entered wrongly."
    )
