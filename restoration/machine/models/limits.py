"""A row of limits: any of least, nominal and most, for one quantity of a pulse or a level."""

from django.db import models
from django.db.models import F, Q


class Quantity(models.TextChoices):
    """What is measured, by the names of the pulse standards (IEEE 181); values are stored in SI units."""

    DC_LEVEL = "dc_level", "DC level"
    AMPLITUDE = "amplitude", "amplitude"
    LOW_LEVEL = "low_level", "low level"
    HIGH_LEVEL = "high_level", "high level"
    PULSE_DURATION = "pulse_duration", "pulse duration"
    RISE_TIME = "rise_time", "rise, 10–90 %"
    FALL_TIME = "fall_time", "fall, 10–90 %"
    OVERSHOOT = "overshoot", "overshoot"
    UNDERSHOOT = "undershoot", "undershoot"
    PRESHOOT = "preshoot", "preshoot"
    DELAY = "delay", "delay"


class LimitRow(models.Model):
    """Least, nominal and most of one quantity, in SI units (overshoot as a fraction of the amplitude)."""

    quantity = models.CharField(max_length=20, choices=Quantity.choices)
    least = models.FloatField(null=True, blank=True)
    nominal = models.FloatField(null=True, blank=True)
    most = models.FloatField(null=True, blank=True)

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=Q(least=None) | Q(most=None) | Q(least__lte=F("most")),
                name="%(class)s_least_not_above_most",
                violation_error_message="The least value of a limit cannot be above its most.",
            ),
            models.CheckConstraint(
                condition=Q(least__isnull=False) | Q(nominal__isnull=False) | Q(most__isnull=False),
                name="%(class)s_says_something",
                violation_error_message="A limit needs at least one of least, nominal and most.",
            ),
        ]
