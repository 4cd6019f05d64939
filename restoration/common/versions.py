"""Two people at one row: the second is shown what the first wrote, and neither loses a word."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, cast

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


def theirs(form: forms.Form, current: models.Model, now: Mapping[str, Any] | None = None) -> list[Theirs]:
    """List the fields of `form` in which the stored row differs from what was sent.

    `now` is what the row holds by the names of the fields; without it the row's own fields are read.
    """
    now = _held(form, current) if now is None else now
    return [
        Theirs(str(form.fields[name].label or name), in_words(form, name, stored))
        for name, stored in now.items()
        if name != "version" and name in form.fields and name in form.data and not _same(form.data[name], stored)
    ]


def take_their_version(
    form: forms.Form, news: EditedMeanwhile, stored: Callable[[Any], Mapping[str, Any]] | None = None
) -> list[Theirs]:
    """Keep one's own words in the form, give it the new version, and list what the other one stored."""
    now = stored(news.current) if stored else _held(form, news.current)
    rows = theirs(form, news.current, now)
    form.data = form.data.copy()  # type: ignore[attr-defined]
    form.data["version"] = str(now["version"])  # type: ignore[index]
    form.add_error(None, str(news))
    return rows


def in_words(form: forms.Form, name: str, value: Any) -> str:
    """Write a stored value as the form would show it: of a choice, its words."""
    field, text = form.fields[name], _text(value)
    if isinstance(field, forms.ChoiceField):
        words = {str(key): str(word) for key, word in cast(Any, field).choices}
        return words.get(text, "")
    return text


def _held(form: forms.Form, current: models.Model) -> dict[str, Any]:
    return forms.model_to_dict(current, fields=list(form.fields))


def _same(sent: object, stored: object) -> bool:
    return _text(sent) == _text(stored)


def _text(value: object) -> str:
    return "" if value is None else str(value).replace("\r\n", "\n").strip()
