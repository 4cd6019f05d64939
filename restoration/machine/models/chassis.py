"""The physical units, and the spans of time each spent in a slot."""

from datetime import datetime

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from restoration.common.versions import Versioned
from restoration.machine.models.designs import Design, DesignIssue
from restoration.machine.models.places import Slot


class ChassisQuerySet(models.QuerySet["Chassis"]):
    def of(self, person: models.Model) -> "ChassisQuerySet":
        """The chassis a person is building."""
        return self.filter(builder=person)

    def fitted(self) -> "ChassisQuerySet":
        """Those in a slot now."""
        return self.filter(fittings__removed_at=None, fittings__isnull=False)


class Chassis(Versioned):
    """One physical unit, by the serial stamped on it."""

    serial = models.CharField(max_length=60, unique=True)
    design = models.ForeignKey(Design, on_delete=models.PROTECT, related_name="chassis")
    issue = models.ForeignKey(DesignIssue, null=True, blank=True, on_delete=models.PROTECT, related_name="chassis")
    builder = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="chassis"
    )
    remarks = models.TextField(blank=True)
    entered_at = models.DateTimeField(default=timezone.now)

    objects = ChassisQuerySet.as_manager()

    class Meta:
        ordering = ["serial"]
        verbose_name_plural = "chassis"

    def __str__(self) -> str:
        return f"chassis {self.serial}"

    def get_absolute_url(self) -> str:
        return reverse("machine:chassis-detail", args=[self.serial])

    @property
    def fitting_now(self) -> "Fitting | None":
        """Where it is fitted, if it is in a slot."""
        return next((fitting for fitting in self.fittings.all() if fitting.removed_at is None), None)


class FittingQuerySet(models.QuerySet["Fitting"]):
    def standing(self) -> "FittingQuerySet":
        """Those not ended: what is in the racks now."""
        return self.filter(removed_at=None)

    def standing_at(self, moment: datetime) -> "FittingQuerySet":
        """What was in the racks at a moment."""
        return self.filter(Q(removed_at=None) | Q(removed_at__gt=moment), fitted_at__lte=moment)


class Fitting(models.Model):
    """A chassis in a slot, from when it was fitted until it was withdrawn."""

    chassis = models.ForeignKey(Chassis, on_delete=models.PROTECT, related_name="fittings")
    slot = models.ForeignKey(Slot, on_delete=models.PROTECT, related_name="fittings")
    slot_label_read = models.CharField(max_length=60)
    chassis_label_read = models.CharField(max_length=60)
    fitted_at = models.DateTimeField(default=timezone.now)
    fitted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    second_person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    remarks = models.TextField(blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)
    removed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    removed_why = models.TextField(blank=True)

    objects = FittingQuerySet.as_manager()

    class Meta:
        ordering = ["fitted_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["slot"],
                condition=Q(removed_at=None),
                name="one_chassis_in_slot",
                violation_error_message="There is a chassis in this slot already; withdraw it first.",
            ),
            models.UniqueConstraint(
                fields=["chassis"],
                condition=Q(removed_at=None),
                name="chassis_in_one_slot",
                violation_error_message="This chassis is in a slot already; withdraw it first.",
            ),
            models.CheckConstraint(
                condition=Q(removed_at=None, removed_by=None)
                | Q(removed_at__gte=F("fitted_at"), removed_by__isnull=False),
                name="fitting_ends_after_it_began",
                violation_error_message="A withdrawal says who did it, and cannot come before the fitting.",
            ),
            models.CheckConstraint(
                condition=Q(second_person=None) | ~Q(second_person=F("fitted_by")),
                name="fitting_seen_by_another",
                violation_error_message="The second person must be another than the one who fitted it.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.chassis} in {self.slot}"
