"""Modification notes: which parts were put on a link, how they come off again, and where the original is."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from restoration.commissioning.models import Change
from restoration.conditioning.models.predictions import Prediction
from restoration.engineering.in_place import Fitted
from restoration.machine.models import Interconnect
from restoration.workshop.models import PartKind, StoresLine


class NoteClass(models.TextChoices):
    """How deep a modification goes."""

    VALUE = "value only", "a value only"
    ADDED = "part added", "a part added"
    REROUTED = "led another way", "a wire led another way"
    DESIGN = "design changed", "the design changed"


class ModificationNoteQuerySet(models.QuerySet["ModificationNote"]):
    def in_force(self) -> "ModificationNoteQuerySet":
        """Those whose change no correction has replaced."""
        return self.filter(change__replaced_by=None)

    def of(self, interconnect: Interconnect) -> "ModificationNoteQuerySet":
        """The notes of one link, oldest first."""
        return self.filter(change__interconnect=interconnect).order_by("change__done_at", "pk")


class ModificationNote(models.Model):
    """What is on a link since a change, and how it can be undone; the change holds who, when, why and the photo.

    `arrangement` is all that is on the link from then on, not only what was added, so that the newest note in force
    tells what is there.
    """

    change = models.OneToOneField(Change, on_delete=models.PROTECT, related_name="note")
    prediction = models.OneToOneField(Prediction, null=True, blank=True, on_delete=models.PROTECT, related_name="note")
    kind = models.CharField(max_length=20, choices=NoteClass.choices, default=NoteClass.ADDED)
    arrangement = models.JSONField(default=dict)
    place = models.CharField(max_length=200)
    undone_how = models.TextField()
    original_kept = models.CharField(max_length=200, blank=True)
    marked_how = models.CharField(max_length=200, blank=True)

    objects = ModificationNoteQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(place=""),
                name="note_says_where",
                violation_error_message="A modification note says where the parts are.",
            ),
            models.CheckConstraint(
                condition=~Q(undone_how=""),
                name="note_says_how_to_undo",
                violation_error_message="A modification note says how it is undone, or that it cannot be.",
            ),
        ]

    def __str__(self) -> str:
        return f"modification note {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("conditioning:note-detail", args=[self.pk])


class NotePart(models.Model):
    """One part of a modification, in SI units; taken from a line of the stores where it came from there."""

    note = models.ForeignKey(ModificationNote, on_delete=models.CASCADE, related_name="parts")
    role = models.CharField(max_length=40)
    kind = models.CharField(max_length=20, choices=PartKind.choices)
    value = models.FloatField()
    tolerance = models.FloatField(null=True, blank=True)
    needs_w = models.FloatField(null=True, blank=True)
    needs_v = models.FloatField(null=True, blank=True)
    stores_line = models.ForeignKey(
        StoresLine, null=True, blank=True, on_delete=models.PROTECT, related_name="note_parts"
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(value__gt=0),
                name="note_part_value_above_zero",
                violation_error_message="The value of a part is above zero.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.role}: {self.value}"

    @property
    def says(self) -> str:
        """The part and where it sits, in words."""
        return Fitted(self.role, self.kind, self.value).words

    @property
    def tolerance_percent(self) -> str:
        """The tolerance as one says it; empty where nobody said."""
        return "" if self.tolerance is None else f"{100 * self.tolerance:.3g}"
