"""The fault log of each interconnect: what was seen, what was tried, what it was."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from restoration.common.versions import Versioned
from restoration.machine.models import Interconnect
from restoration.proving.models import SignalCheck


class FaultQuerySet(models.QuerySet["Fault"]):
    def open(self) -> "FaultQuerySet":
        """Those not cured, or come back since."""
        return self.filter(closed_at=None)

    def at(self, interconnect: Interconnect) -> "FaultQuerySet":
        """The faults of one interconnect, oldest to newest."""
        return self.filter(interconnect=interconnect).order_by("opened_at", "pk")


class Outcome(models.TextChoices):
    """How a fault was left when it was closed."""

    CURED = "cured", "cured"
    NOT_FOUND = "no fault found", "no fault found"


class Fault(Versioned):
    """One fault of an interconnect, as seen; it is the same fault when it comes back."""

    interconnect = models.ForeignKey(Interconnect, on_delete=models.PROTECT, related_name="faults")
    symptom = models.TextField()
    how_often = models.CharField(max_length=200, blank=True)
    conditions = models.CharField(max_length=200, blank=True)
    seen_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    opened_at = models.DateTimeField(default=timezone.now)
    from_check = models.ForeignKey(
        SignalCheck, null=True, blank=True, on_delete=models.PROTECT, related_name="faults_opened"
    )
    cause = models.TextField(blank=True)
    cure = models.TextField(blank=True)
    outcome = models.CharField(max_length=20, choices=Outcome.choices, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    proof = models.ForeignKey(
        SignalCheck, null=True, blank=True, on_delete=models.PROTECT, related_name="faults_proved_cured"
    )

    objects = FaultQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(symptom=""),
                name="fault_has_a_symptom",
                violation_error_message="A fault says what was seen.",
            ),
            models.CheckConstraint(
                condition=Q(closed_at=None, closed_by=None, outcome="")
                | (Q(closed_at__gte=F("opened_at"), closed_by__isnull=False) & ~Q(outcome="")),
                name="fault_closed_when_by_whom_and_how",
                violation_error_message="A closed fault says when, by whom and with what outcome, after it was seen.",
            ),
            models.CheckConstraint(
                condition=~Q(outcome=Outcome.CURED) | (~Q(cause="") & ~Q(cure="")),
                name="cured_fault_has_cause_and_cure",
                violation_error_message="A cured fault says what the cause was and what cured it.",
            ),
        ]

    def __str__(self) -> str:
        return f"fault {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("faults:fault-detail", args=[self.pk])


class Attempt(models.Model):
    """What was tried, what was read, and how long it took."""

    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, related_name="attempts")
    done_at = models.DateTimeField(default=timezone.now)
    done_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    tried = models.TextField()
    read = models.TextField(blank=True)
    minutes = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["done_at", "pk"]

    def __str__(self) -> str:
        return f"attempt at {self.fault}"


class Reopening(models.Model):
    """A fault came back: when, seen by whom, and what its closing had said."""

    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, related_name="reopenings")
    seen_at = models.DateTimeField(default=timezone.now)
    seen_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    what_was_seen = models.TextField()
    earlier_outcome = models.CharField(max_length=20, choices=Outcome.choices)
    earlier_cause = models.TextField(blank=True)
    earlier_cure = models.TextField(blank=True)
    earlier_closed_at = models.DateTimeField()
    earlier_closed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["seen_at", "pk"]

    def __str__(self) -> str:
        return f"{self.fault} came back"
