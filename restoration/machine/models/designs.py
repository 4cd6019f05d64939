"""What a chassis is meant to be: the design, its drawing issues, and what it should show on the bench."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from restoration.machine.models.limits import LimitRow


class Design(models.Model):
    """One kind of chassis, by its drawing number."""

    number = models.CharField(max_length=60, unique=True)
    title = models.CharField(max_length=120)
    remarks = models.TextField(blank=True)

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.number}, {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("machine:design-detail", args=[self.number])

    @property
    def current_issue(self) -> "DesignIssue | None":
        """The issue to build to now."""
        return next((issue for issue in self.issues.all() if issue.is_current), None)


class DesignIssue(models.Model):
    """One issue of a design's drawing."""

    design = models.ForeignKey(Design, on_delete=models.PROTECT, related_name="issues")
    letter = models.CharField(max_length=10)
    issued_on = models.DateField()
    is_current = models.BooleanField(default=True)
    reason = models.TextField(blank=True)

    class Meta:
        ordering = ["issued_on", "letter"]
        constraints = [
            models.UniqueConstraint(
                fields=["design", "letter"],
                name="issue_letter_once",
                violation_error_message="This drawing has an issue of that letter already.",
            ),
            models.UniqueConstraint(
                fields=["design"],
                condition=Q(is_current=True),
                name="one_current_issue",
                violation_error_message="A drawing has one current issue.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.design.number} issue {self.letter}"


class BenchPoint(LimitRow):
    """One figure a chassis of this design should show on the bench, and the load it is read with."""

    design = models.ForeignKey(Design, on_delete=models.CASCADE, related_name="bench_points")
    place = models.CharField(max_length=80)
    load_resistance_ohm = models.FloatField(null=True, blank=True)
    load_capacitance_f = models.FloatField(null=True, blank=True)

    class Meta(LimitRow.Meta):
        ordering = ["pk"]
        constraints = [
            *LimitRow.Meta.constraints,
            models.UniqueConstraint(
                fields=["design", "place", "quantity"],
                name="bench_point_once",
                violation_error_message="This design names that figure at that place already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.place}, {self.get_quantity_display()}"
