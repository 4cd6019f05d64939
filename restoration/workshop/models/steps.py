"""A chassis on its way: each step of it, and the photographs."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from restoration.machine.models import Chassis


class StepKind(models.TextChoices):
    """What happened to a chassis between being allotted and being on site."""

    ALLOTTED = "allotted", "allotted"
    IN_HAND = "in hand", "in hand"
    NOTE = "note", "note"
    STUCK = "stuck", "stuck"
    GOING_ON = "going on", "getting on again"
    BUILT = "built", "built"
    HANDED_OVER = "handed over", "handed over"
    RECEIVED = "received", "received on site"
    SENT_BACK = "sent back", "sent back for rework"


class StepQuerySet(models.QuerySet["Step"]):
    def of(self, chassis: Chassis) -> "StepQuerySet":
        """The way of one chassis, oldest first."""
        return self.filter(chassis=chassis).order_by("done_at", "pk")


class Step(models.Model):
    """One thing that happened to a chassis; only ever added."""

    chassis = models.ForeignKey(Chassis, on_delete=models.PROTECT, related_name="steps")
    kind = models.CharField(max_length=20, choices=StepKind.choices)
    done_at = models.DateTimeField(default=timezone.now)
    done_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(default=timezone.now)
    text = models.TextField(blank=True)

    objects = StepQuerySet.as_manager()

    class Meta:
        ordering = ["done_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(kind__in=[StepKind.NOTE, StepKind.STUCK, StepKind.SENT_BACK]) | ~Q(text=""),
                name="step_says_something",
                violation_error_message="A note, or being stuck, needs a few words.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.chassis}: {self.kind}"


class Photo(models.Model):
    """A photograph of a chassis: upright, made again from its pixels, nothing else of the file kept."""

    chassis = models.ForeignKey(Chassis, on_delete=models.PROTECT, related_name="photos")
    image = models.FileField(upload_to="photos/%Y")
    small = models.FileField(upload_to="photos/%Y")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)
    caption = models.CharField(max_length=200, blank=True)
    added_at = models.DateTimeField(default=timezone.now)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["added_at", "pk"]

    def __str__(self) -> str:
        return f"photograph {self.pk} of {self.chassis}"
