"""Storing a row only if the machine's rules allow it, with a sentence where they do not."""

from typing import TypeVar

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, transaction
from django.db.models import Model

from restoration.people.models import Person

Row = TypeVar("Row", bound=Model)


def checked(row: Row, *, taken: dict[str, str] | None = None) -> Row:
    """Return the row if it may be stored; `taken` gives the sentence for a field whose value is used already."""
    try:
        row.full_clean()
    except ValidationError as refused:
        raise ValidationError(_in_sentences(refused, taken or {})) from refused
    return row


def stored(row: Row, *, taken: dict[str, str] | None = None) -> Row:
    """Store a new row; where someone else stored the same at the same moment, say so as if it had been there."""
    checked(row, taken=taken)
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        checked(row, taken=taken)
        raise
    return row


def _in_sentences(refused: ValidationError, taken: dict[str, str]) -> dict[str, list[ValidationError]]:
    return {
        name: [_in_a_sentence(error, taken.get(name)) for error in errors]
        for name, errors in refused.error_dict.items()
    }


def _in_a_sentence(error: ValidationError, taken: str | None) -> ValidationError:
    return ValidationError(taken, code="unique") if taken and error.code == "unique" else error


def refuse(sentence: str, *, field: str = NON_FIELD_ERRORS) -> ValidationError:
    """Make the refusal of one field, or of the whole act."""
    return ValidationError({field: sentence})


def who(by: Person | None) -> str:
    """Name whoever acts, at the start of a sentence."""
    return str(by) if by else "The command line"
