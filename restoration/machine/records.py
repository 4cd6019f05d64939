"""The heading that every record shares: when, where, by whom, seen by whom, entered by whom."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone


class Place(models.TextChoices):
    """Where a record was made."""

    HOME = "home", "at home"
    BENCH = "bench", "on the bench"
    RACK = "rack", "at the rack"


class Result(models.TextChoices):
    """What a record says of its gate; worked out where there are limits, stated where there are none."""

    PASSED = "passed", "passed"
    FAILED = "failed", "failed"
    TOO_CLOSE = "too close to call", "too close to call"
    CANNOT_TELL = "cannot tell", "cannot tell"


class Record(models.Model):
    """A fact once observed; only ever added to. A correction is a new record that replaces an older one."""

    done_at = models.DateTimeField(default=timezone.now)
    place = models.CharField(max_length=10, choices=Place.choices, default=Place.RACK)
    done_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    second_person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(default=timezone.now)
    remarks = models.TextField(blank=True)
    replaces = models.OneToOneField("self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaced_by")
    replaces_why = models.TextField(blank=True)

    class Meta:
        abstract = True
        ordering = ["done_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(second_person=None) | ~Q(second_person=F("done_by")),
                name="%(class)s_second_is_another",
                violation_error_message="The second person must be another than the doer.",
            ),
            models.CheckConstraint(
                condition=Q(replaces=None) | ~Q(replaces_why=""),
                name="%(class)s_says_why_it_replaces",
                violation_error_message="A correction says why.",
            ),
        ]


class Conditions(models.Model):
    """What the supplies and the room were while something was measured."""

    ht_v = models.FloatField(null=True, blank=True)
    bias_v = models.FloatField(null=True, blank=True)
    heater_v = models.FloatField(null=True, blank=True)
    temperature_c = models.FloatField(null=True, blank=True)
    also_running = models.CharField(max_length=200, blank=True)

    class Meta:
        abstract = True
