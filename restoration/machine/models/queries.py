"""Questions to the drawings keeper: what does not agree, and what was answered."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone


class QueryQuerySet(models.QuerySet["Query"]):
    def open(self) -> "QueryQuerySet":
        """Those waiting for an answer."""
        return self.filter(answered_at=None)


class Query(models.Model):
    """A question about a drawing or the wire list; raised once, however often the list is read."""

    key = models.CharField(max_length=400, unique=True, null=True, blank=True)
    subject_kind = models.CharField(max_length=30, blank=True)
    subject_code = models.CharField(max_length=320, blank=True)
    question = models.TextField()
    raised_at = models.DateTimeField(default=timezone.now)
    raised_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    answer = models.TextField(blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = QueryQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "queries"
        constraints = [
            models.CheckConstraint(
                condition=Q(answered_at=None, answered_by=None, answer="")
                | (Q(answered_at__isnull=False, answered_by__isnull=False) & ~Q(answer="")),
                name="query_answered_when_by_whom_and_how",
                violation_error_message="An answered query says when, by whom and what.",
            )
        ]

    def __str__(self) -> str:
        return f"query {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("machine:query-detail", args=[self.pk])
