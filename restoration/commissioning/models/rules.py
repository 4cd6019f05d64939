"""What a site changed about the rules of doubt; the defaults stand in the code, and every version stays readable."""

from typing import Any

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone

from restoration.engineering.doubt import Share


class RuleVersion(models.Model):
    """One wording of one rule, in force from the moment it was written until the next; never changed itself."""

    number = models.PositiveIntegerField()
    version = models.PositiveIntegerField()
    gates = models.JSONField(default=list)
    share = models.CharField(max_length=60, choices=[(share.value, share.value) for share in Share])
    one_in = models.PositiveIntegerField(default=5)
    reason = models.TextField()
    written_at = models.DateTimeField(default=timezone.now)
    written_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    why = models.TextField()

    class Meta:
        ordering = ["number", "version"]
        constraints = [
            models.UniqueConstraint(
                fields=["number", "version"],
                name="rule_version_once",
                violation_error_message="Someone else changed this rule meanwhile.",
            ),
            models.CheckConstraint(
                condition=models.Q(one_in__gte=1, version__gte=1),
                name="rule_one_in_at_least_one",
                violation_error_message="“One in” takes a whole number from 1 up.",
            ),
        ]

    def __str__(self) -> str:
        return f"rule {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("commissioning:rule-edit", args=[self.number])


def versions_in_order() -> Any:
    """Every version a site wrote, oldest first."""
    return RuleVersion.objects.order_by("number", "version")
