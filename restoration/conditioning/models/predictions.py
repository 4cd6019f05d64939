"""What was predicted for a link, kept so that a later measurement can be held against it."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from restoration.conditioning.models.constants import WiringFit
from restoration.machine.models import Interconnect
from restoration.machine.models.limits import Quantity
from restoration.proving.models.signal_checks import End


class Prediction(models.Model):
    """What a link will show with these parts on it; only ever added."""

    interconnect = models.ForeignKey(Interconnect, on_delete=models.PROTECT, related_name="predictions")
    made_at = models.DateTimeField(default=timezone.now)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    fit = models.ForeignKey(WiringFit, null=True, blank=True, on_delete=models.PROTECT, related_name="predictions")
    arrangement = models.JSONField(default=dict)
    assumed = models.JSONField(default=list)

    class Meta:
        ordering = ["made_at", "pk"]

    def __str__(self) -> str:
        return f"prediction {self.pk} for {self.interconnect}"


class PredictedFigure(models.Model):
    """One predicted figure at one end, in SI units, with the interval that should hold it nine times in ten."""

    prediction = models.ForeignKey(Prediction, on_delete=models.CASCADE, related_name="figures")
    end = models.CharField(max_length=10, choices=End.choices)
    quantity = models.CharField(max_length=20, choices=Quantity.choices)
    value = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["prediction", "end", "quantity"],
                name="figure_predicted_once",
                violation_error_message="That figure is in this prediction already.",
            ),
            models.CheckConstraint(
                condition=Q(low__lte=F("value"), high__gte=F("value")),
                name="predicted_inside_its_interval",
                violation_error_message="A predicted figure lies inside its own interval.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.end}: {self.quantity} {self.value}"
