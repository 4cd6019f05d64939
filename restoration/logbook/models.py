"""The log book: one line for each act, each line bound to the one before it."""

from django.conf import settings
from django.db import models


class EntryQuerySet(models.QuerySet["Entry"]):
    def about(self, kind: str, code: str) -> "EntryQuerySet":
        """The lines about one thing, by its kind and the code painted on it."""
        return self.filter(subject_kind=kind, subject_code=code)

    def newest_first(self) -> "EntryQuerySet":
        """From today backwards."""
        return self.order_by("-number")


class Entry(models.Model):
    """One act, in words a volunteer would use; added once and never changed."""

    number = models.PositiveBigIntegerField(primary_key=True)
    written_at = models.DateTimeField()
    happened_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    by_name = models.CharField(max_length=120)
    told_by = models.CharField(max_length=120, blank=True)
    act = models.CharField(max_length=60)
    subject_kind = models.CharField(max_length=30, blank=True)
    subject_code = models.CharField(max_length=320, blank=True)
    sentence = models.TextField()
    details = models.JSONField(default=dict)
    previous_hash = models.CharField(max_length=64)
    hash = models.CharField(max_length=64, unique=True)

    objects = EntryQuerySet.as_manager()

    class Meta:
        ordering = ["number"]
        verbose_name_plural = "entries"
        indexes = [models.Index(fields=["subject_kind", "subject_code"], name="entry_by_subject")]

    def __str__(self) -> str:
        return f"{self.number}. {self.sentence}"
