"""A sheet of what to test again, as it was printed: its rows keep their order, whatever is answered meanwhile."""

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone


class AgainSheet(models.Model):
    """One printed list of checks; `pk` is the number on the paper.

    `rows` holds, in the order of the walk, what each row asks: kind and code of the item, the gate, the phase,
    the rack. Standing is never read from it: a row is answered when the gate stands by a record made since.
    """

    made_at = models.DateTimeField(default=timezone.now)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asks = models.TextField()
    rows = models.JSONField(default=list)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"sheet {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("commissioning:again-sheet", args=[self.pk])
