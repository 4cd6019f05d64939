"""Writes a line for what the app of the people, which stands below the log book, says was done."""

from datetime import datetime
from typing import Any

from restoration.logbook.services import write_line
from restoration.people.acts import act_done
from restoration.people.models import Person

PERSON = "person"


def listen() -> None:
    """Write down every act about a person, in the transaction of the act."""
    act_done.connect(_write_person_act, dispatch_uid="logbook")


def _write_person_act(
    sender: Any, act: str, sentence: str, by: Person | None, person: Person | None, at: datetime, **kwargs: Any
) -> None:
    write_line(
        act=act,
        sentence=sentence,
        by=by,
        happened_at=at,
        subject_kind=PERSON,
        subject_code=str(person.pk) if person else "",
    )
