"""What every record shares when it is stored: its moment, its pair, what it corrects, and its line in the log book."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import connection
from django.utils.text import capfirst

from restoration.common.moments import moment_of
from restoration.logbook.services import write_line
from restoration.machine.models import Chassis, Interconnect
from restoration.people.models import Person


@dataclass(frozen=True)
class Heading:
    """Who did it, who saw it, who entered it and when; and the record it takes the place of, with the reason."""

    done_by: Person
    second_person: Person | None
    entered_by: Person
    at: datetime
    replaces: Any = None
    replaces_why: str = ""

    def fields(self) -> dict[str, Any]:
        """Give the fields of the record's heading."""
        return {
            "done_by": self.done_by,
            "second_person": self.second_person,
            "entered_by": self.entered_by,
            "done_at": self.at,
            "replaces": self.replaces,
            "replaces_why": self.replaces_why,
        }

    def told_by(self) -> Person | None:
        """Name the doer where another entered it."""
        return self.done_by if self.done_by != self.entered_by else None

    def correction(self) -> str:
        """Say, for the log book, what this takes the place of."""
        if self.replaces is None:
            return ""
        return f" This takes the place of {self.replaces}, because: {self.replaces_why}"


def head_record(
    about: Any,
    *,
    done_by: Person,
    second_person: Person | None,
    entered_by: Person,
    at: datetime | None = None,
    replaces: Any = None,
    replaces_why: str = "",
    second_needed: str = "",
) -> Heading:
    """Check the heading of a record; `second_needed` is the sentence said where a second person is missing."""
    moment = moment_of(at)
    if connection.in_atomic_block:  # whoever records of the same thing at this moment waits here
        type(about)._default_manager.select_for_update(no_key=True).get(pk=about.pk)
    if second_needed and second_person is None:
        raise ValidationError({"second_person": second_needed})
    if second_person is not None and second_person == done_by:
        sentence = f"The second person must be another than the doer, and both are {done_by}."
        raise ValidationError({"second_person": sentence})
    if replaces is not None:
        _refuse_correction(replaces, about, replaces_why)
    return Heading(done_by, second_person, entered_by, moment, replaces, replaces_why.strip())


def _refuse_correction(replaces: Any, about: Any, why: str) -> None:
    if not why.strip():
        raise ValidationError({"replaces_why": "A correction says why the earlier record was wrong."})
    name = capfirst(str(replaces))
    if getattr(replaces, about._meta.model_name or "") != about:
        noun = named(about)[0]
        raise ValidationError(f"{name} is a record of another {noun}, and cannot be corrected by one of this.")
    later = type(replaces).objects.filter(replaces=replaces).first()
    if later is not None:
        raise ValidationError(f"{name} was corrected already, by record {later.pk}; correct that one.")


def named(about: Any) -> tuple[str, str]:
    """What the subject of a record is called, and the code painted on it."""
    if isinstance(about, Chassis):
        return "chassis", about.serial
    return "link" if isinstance(about, Interconnect) else str(about._meta.verbose_name), about.code


def write_record_line(record: Any, about: Any, heading: Heading, *, act: str, sentence: str, **details: object) -> None:
    """Write the line of a record in the log book; must stand in the transaction that stores it."""
    kind, code = named(about)
    write_line(
        act=act,
        sentence=sentence + heading.correction(),
        by=heading.entered_by,
        told_by=heading.told_by(),
        subject_kind=kind,
        subject_code=code,
        happened_at=heading.at,
        details={"record": record.pk, **details},
    )
