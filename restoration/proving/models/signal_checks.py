"""A signal proved in place: what was found, what was left, and the pictures."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from restoration.machine.models import Interconnect
from restoration.machine.models.limits import LimitRow
from restoration.machine.records import Conditions, Record, Result
from restoration.proving.models.instruments import Instrument
from restoration.proving.models.wire_checks import LinkRecordQuerySet


class End(models.TextChoices):
    """Which end of the wire the probe was at."""

    SOURCE = "source", "source end"
    LOAD = "load", "load end"


class Stage(models.TextChoices):
    """Before anything was changed, and after."""

    FOUND = "found", "found"
    LEFT = "left", "left"


class SignalCheck(Record, Conditions):
    """One visit of a pair to an interconnect with an oscilloscope."""

    interconnect = models.ForeignKey(Interconnect, on_delete=models.PROTECT, related_name="signal_checks")
    instrument = models.ForeignKey(Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    probe_factor = models.FloatField(default=10)
    probe_compensated = models.BooleanField(default=False)
    reference = models.CharField(max_length=120, blank=True)
    loads_joined = models.BooleanField(default=False)
    loads_missing = models.CharField(max_length=200, blank=True)
    parts_changed = models.TextField(blank=True)
    result = models.CharField(max_length=20, choices=Result.choices)

    objects = LinkRecordQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = [
            *Record.Meta.constraints,
            models.CheckConstraint(
                condition=Q(second_person__isnull=False),
                name="signal_check_by_a_pair",
                violation_error_message="A signal check on a live rack is made by two; say who the second person was.",
            ),
            models.CheckConstraint(
                condition=Q(probe_factor__gt=0),
                name="probe_factor_above_zero",
                violation_error_message="A probe divides by 1, 10 or 100, say; its factor is above zero.",
            ),
        ]

    def __str__(self) -> str:
        return f"signal check {self.pk} of {self.interconnect}"

    def get_absolute_url(self) -> str:
        return reverse("proving:signal-check-detail", args=[self.pk])


class SignalReading(LimitRow):
    """One figure at one end, found or left, beside the limits in force and the verdict on it."""

    check_made = models.ForeignKey(SignalCheck, on_delete=models.PROTECT, related_name="readings")
    end = models.CharField(max_length=10, choices=End.choices)
    stage = models.CharField(max_length=10, choices=Stage.choices)
    value = models.FloatField(null=True, blank=True)
    at_most = models.FloatField(null=True, blank=True)
    uncertainty = models.FloatField(null=True, blank=True)
    verdict = models.CharField(max_length=20)
    reason = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["check_made", "end", "stage", "quantity"],
                name="signal_reading_once",
                violation_error_message="That figure was given twice for the same end.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.end}, {self.stage}: {self.quantity} {self.value}"


class Capture(models.Model):
    """An oscilloscope capture: the original file as it came, and its samples packed for drawing."""

    check_made = models.ForeignKey(SignalCheck, on_delete=models.PROTECT, related_name="captures")
    end = models.CharField(max_length=10, choices=End.choices)
    stage = models.CharField(max_length=10, choices=Stage.choices)
    original = models.FileField(upload_to="captures/%Y")
    original_name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    size_bytes = models.PositiveBigIntegerField()
    shape = models.CharField(max_length=60)
    channel = models.CharField(max_length=60, blank=True)
    probe_scale = models.FloatField(default=1)
    start_s = models.FloatField()
    interval_s = models.FloatField(null=True, blank=True)  # unknown where neither the file nor the person says
    sample_count = models.PositiveIntegerField()
    packed = models.BinaryField()
    packing = models.JSONField()
    measurement = models.JSONField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["check_made", "end", "stage"],
                name="one_capture_an_end",
                violation_error_message="There is a capture for that end already.",
            )
        ]

    def __str__(self) -> str:
        return f"capture {self.original_name}"
