"""The wiring constants of this site, as its own records give them."""

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone


class WiringFit(models.Model):
    """One taking into use of constants fitted from the records; only ever added, the newest holds.

    `told` keeps the whole answer of the fit (covariance, residuals, which records), so that a prediction can be
    worked out again as it was.
    """

    fitted_at = models.DateTimeField(default=timezone.now)
    fitted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    record_count = models.PositiveIntegerField()
    told = models.JSONField()
    remarks = models.TextField(blank=True)

    class Meta:
        ordering = ["fitted_at", "pk"]

    def __str__(self) -> str:
        return f"wiring constants {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("conditioning:constants-detail", args=[self.pk])


class FittedConstant(models.Model):
    """One constant of a fit, in SI units, with the ends of the interval that holds it nine times in ten."""

    fit = models.ForeignKey(WiringFit, on_delete=models.CASCADE, related_name="constants")
    name = models.CharField(max_length=60)
    wire = models.CharField(max_length=60, blank=True)
    value = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["fit", "name", "wire"],
                name="constant_once_in_fit",
                violation_error_message="That constant is in this fit already.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.value}"
