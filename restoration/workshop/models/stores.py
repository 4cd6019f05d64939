"""What is in the stores: resistors and capacitors by value, rating and grade."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from restoration.common.versions import Versioned


class PartKind(models.TextChoices):
    """What a part is; its value is in ohms or in farads."""

    RESISTOR = "resistor", "resistor"
    CAPACITOR = "capacitor", "capacitor"


class Grade(models.TextChoices):
    """Where a part comes from, as whoever guards authenticity asks."""

    ORIGINAL = "original", "original"
    PERIOD = "period spare", "period spare"
    REMADE = "remade", "remade to pattern"
    MODERN = "modern substitute", "modern substitute"


class StoresLineQuerySet(models.QuerySet["StoresLine"]):
    def to_hand(self) -> "StoresLineQuerySet":
        """Those of which at least one is there."""
        return self.filter(quantity__gt=0)

    def of_kind(self, kind: str) -> "StoresLineQuerySet":
        """Resistors, or capacitors, the smallest first."""
        return self.filter(kind=kind).order_by("value", "pk")


class StoresLine(Versioned):
    """So many alike parts in one place of the stores; values in SI units, the tolerance as a fraction."""

    kind = models.CharField(max_length=20, choices=PartKind.choices)
    value = models.FloatField()
    tolerance = models.FloatField()
    rating_w = models.FloatField(null=True, blank=True)
    rating_v = models.FloatField(null=True, blank=True)
    quantity = models.PositiveIntegerField(default=0)
    grade = models.CharField(max_length=20, choices=Grade.choices, default=Grade.PERIOD)
    make = models.CharField(max_length=80, blank=True)
    place = models.CharField(max_length=80, blank=True)
    remarks = models.TextField(blank=True)

    objects = StoresLineQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "value", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(value__gt=0),
                name="part_value_above_zero",
                violation_error_message="The value of a part is above zero.",
            ),
            models.CheckConstraint(
                condition=Q(tolerance__gt=0, tolerance__lt=1),
                name="part_tolerance_is_a_part",
                violation_error_message="A tolerance lies between nothing and the whole value.",
            ),
            models.CheckConstraint(
                condition=Q(rating_w=None) | Q(rating_w__gt=0),
                name="part_watts_above_zero",
                violation_error_message="A rating in watts is above zero, or left out.",
            ),
            models.CheckConstraint(
                condition=Q(rating_v=None) | Q(rating_v__gt=0),
                name="part_volts_above_zero",
                violation_error_message="A rating in volts is above zero, or left out.",
            ),
        ]

    def __str__(self) -> str:
        return f"stores line {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("workshop:stores-line", args=[self.pk])
