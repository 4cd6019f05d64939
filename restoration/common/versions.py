"""Two people at one row: the second is shown what the first wrote, and neither loses a word."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.db import models
from django.db.models import F


class EditedMeanwhile(Exception):  # noqa: N818  (it is news, not an error)
    """Someone saved this row after the form was opened; `current` is the row as it stands now."""

    def __init__(self, current: models.Model) -> None:
        super().__init__(
            f"{current} was changed by someone else while you were writing. Nothing of yours was stored yet."
        )
        self.current = current


class Versioned(models.Model):
    """A row that people edit: each save names the version it started from."""

    version = models.PositiveIntegerField(default=1)

    class Meta:
        abstract = True


def save_version(row: Versioned, *, version: int, **fields: Any) -> None:
    """Save just these fields if the row is still at `version`; otherwise raise EditedMeanwhile."""
    manager = type(row)._default_manager
    changed = manager.filter(pk=row.pk, version=version).update(**fields, version=F("version") + 1)
    if not changed:
        raise EditedMeanwhile(manager.get(pk=row.pk))
    row.refresh_from_db()


class VersionField(forms.IntegerField):
    """Carries, hidden in a form, the version that the writer saw."""

    widget = forms.HiddenInput


@dataclass(frozen=True)
class Theirs:
    """One field as the other person left it, for the page that shows both."""

    label: str
    text: str


def theirs(form: forms.Form, current: models.Model) -> list[Theirs]:
    """List the fields of `form` in which the stored row differs from what was sent."""
    pairs = [
        (form.fields[name].label or name, getattr(current, name, None), form.data.get(name)) for name in form.fields
    ]
    return [
        Theirs(str(label), str(stored if stored is not None else ""))
        for label, stored, sent in pairs
        if stored is not None and sent is not None and str(stored) != str(sent) and label != "version"
    ]
