"""The form of a modification note: filled in from what was chosen, sent once."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.db.models import QuerySet

from restoration.conditioning.choosing import Chosen
from restoration.conditioning.models import ModificationNote, NoteClass, NotePart
from restoration.conditioning.services import PartUsed
from restoration.conditioning.services.refusals import LONGEST, NO_PLACE, NO_SECOND, NO_WAY_BACK
from restoration.engineering.in_place import Arrangement, Fitted
from restoration.people.doers import DoerForm
from restoration.people.models import Person
from restoration.proving.remembered import second_person_of
from restoration.workshop.forms import PhotoField
from restoration.workshop.models import StoresLine
from restoration.workshop.parts import part_in_words

SAME_VALUE = 1e-6
FEW_WORDS = forms.Textarea(attrs={"rows": 2})
ROLE = "from_"
BACK = "back_"


class _Line(forms.ModelChoiceField):
    def label_from_instance(self, line: Any) -> str:
        place = f", {line.place}" if line.place else ""
        return f"{part_in_words(line)}{place}, {line.quantity} there"


class NoteForm(DoerForm):
    """What goes on a link, where, how it comes off again, and where the original is kept."""

    kind = forms.ChoiceField(
        label="How deep it goes", choices=NoteClass.choices, initial=NoteClass.ADDED, widget=forms.RadioSelect
    )
    place = forms.CharField(label="Where the parts are", max_length=LONGEST, error_messages={"required": NO_PLACE})
    undone_how = forms.CharField(
        label="How it is undone", max_length=2000, widget=FEW_WORDS, error_messages={"required": NO_WAY_BACK}
    )
    original_kept = forms.CharField(
        label="Where the original is kept",
        max_length=LONGEST,
        required=False,
        help_text="Where a part took the place of another: labelled, and in which drawer.",
    )
    marked_how = forms.CharField(
        label="How it is marked",
        max_length=LONGEST,
        required=False,
        help_text="So that whoever looks sees it is no original: a red sleeve, a tag with the number of the note.",
    )
    why = forms.CharField(
        label="Why",
        max_length=2000,
        widget=FEW_WORDS,
        error_messages={"required": "A modification note says why, in a few words."},
    )
    photo = PhotoField(label="Photograph", help_text="One that shows the parts in place.")
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        *args: Any,
        me: Person,
        before: Arrangement,
        choice: Chosen,
        note: ModificationNote | None,
        told: Mapping[str, str],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, me=me, **kwargs)
        self.before, self.choice, self.note = before, choice, note
        self._offer_stores()
        self._offer_back()
        for name, words in told.items():
            self.fields[name].initial = words
        self.fields["seen"].initial = note.pk if note else None
        second: Any = self.fields["second_person"]
        second.required, second.empty_label = True, "say who"
        second.error_messages["required"] = NO_SECOND
        if not self.is_bound:
            second.initial = second_person_of(me)

    @property
    def added(self) -> list[Fitted]:
        """The parts that go on."""
        were = self.before.parts()
        return [part for part in self.choice.arrangement.parts() if part not in were]

    @property
    def removed(self) -> list[Fitted]:
        """The parts that come off."""
        are = self.choice.arrangement.parts()
        return [part for part in self.before.parts() if part not in are]

    def _offer_stores(self) -> None:
        chosen = self.choice.stores_lines
        for part in self.added:
            lines = lines_like(part)
            field = _Line(lines, label=f"{part.words}: taken from", required=False, empty_label="not from the stores")
            first = lines.filter(pk=chosen.get(part.role, 0)).first() or (
                lines.first() if not self.choice.keys else None
            )
            field.initial = first.pk if first else None
            self.fields[f"{ROLE}{part.role}"] = field

    def _is_to_be_bought(self, part: Fitted) -> bool:
        key = self.choice.keys.get(part.role, "")
        return bool(key) and part.role not in self.choice.stores_lines

    def _offer_back(self) -> None:
        came_from = {row.role: row for row in _parts_from_stores(self.note)} if self.removed else {}
        for part in self.removed:
            row = came_from.get(part.role)
            if row is not None and row.stores_line is not None:
                label = (
                    f"{part.words} goes back to the stores, {row.stores_line.place or part_in_words(row.stores_line)}"
                )
                self.fields[f"{BACK}{part.role}"] = forms.BooleanField(label=label, required=False)

    @property
    def part_fields(self) -> list[Any]:
        """The fields that say where parts come from and go to."""
        return [self[name] for name in self.fields if name.startswith((ROLE, BACK))]

    def used(self, ratings: Mapping[str, tuple[float, float]]) -> list[PartUsed]:
        """The parts that go on, each with its stores line and what it has to bear (watts and volts by role)."""
        return [self._used(part, *ratings.get(part.role, (None, None))) for part in self.added]

    def _used(self, part: Fitted, needs_w: float | None, needs_v: float | None) -> PartUsed:
        line = self.cleaned_data.get(f"{ROLE}{part.role}")
        tolerance = line.tolerance if line else None
        return PartUsed(part.role, part.kind, part.value, tolerance, needs_w, needs_v, line)

    def put_back(self) -> list[StoresLine]:
        """The stores lines that parts go back to."""
        rows = {row.role: row.stores_line for row in _parts_from_stores(self.note)}
        ticked = [part.role for part in self.removed if self.cleaned_data.get(f"{BACK}{part.role}")]
        return [line for role in ticked if (line := rows.get(role)) is not None]

    def told(self) -> dict[str, Any]:
        """The note in words, for the service."""
        given = self.cleaned_data
        names = ("place", "undone_how", "original_kept", "marked_how", "why", "done_by", "second_person", "photo")
        fields = {name: given.get(name) for name in names}
        return {**fields, "kind": NoteClass(given["kind"]), "at": given["done_at"], "seen": given["seen"]}


def lines_like(part: Fitted) -> "QuerySet[StoresLine]":
    """The lines of the stores with such a part to hand."""
    near = (part.value * (1 - SAME_VALUE), part.value * (1 + SAME_VALUE))
    return StoresLine.objects.to_hand().of_kind(part.kind).filter(value__range=near)


def _parts_from_stores(note: ModificationNote | None) -> list[NotePart]:
    """The parts that notes in force on this link took from the stores, the newest of each role last."""
    if note is None:
        return []
    notes = ModificationNote.objects.in_force().filter(change__interconnect=note.change.interconnect_id)
    rows = NotePart.objects.filter(note__in=notes, stores_line__isnull=False).select_related("stores_line")
    return list(rows.order_by("note__change__done_at", "pk"))
