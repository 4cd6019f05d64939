"""Groups: functional parts of the machine, proved as one."""

from django.db import models
from django.urls import reverse

from restoration.common.versions import Versioned
from restoration.machine.models import Interconnect, Slot


class Group(Versioned):
    """A functional part of the machine: its member slots, and the pass test written before the test.

    Its links are those with both ends at its members, and the further ones named here.
    """

    code = models.CharField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    purpose = models.TextField(blank=True)
    pass_test = models.TextField(blank=True)
    position = models.PositiveIntegerField(default=0)
    slots = models.ManyToManyField(Slot, related_name="groups", blank=True)
    further_links = models.ManyToManyField(Interconnect, related_name="groups", blank=True)

    class Meta:
        ordering = ["position", "code"]

    def __str__(self) -> str:
        return f"group {self.code}"

    def get_absolute_url(self) -> str:
        return reverse("commissioning:group-detail", args=[self.code])
