"""What slots and racks share, and so feel together: rails and earths."""

from django.db import models
from django.urls import reverse

from restoration.machine.models.places import Rack, Slot


class RailKind(models.TextChoices):
    """What a rail carries."""

    HEATERS = "heaters", "heaters"
    HT = "HT", "HT"
    BIAS = "bias", "bias"


class Rail(models.Model):
    """A supply line that several slots hang on."""

    code = models.CharField(max_length=60, unique=True)
    kind = models.CharField(max_length=10, choices=RailKind.choices)
    function = models.CharField(max_length=120, blank=True)
    slots = models.ManyToManyField(Slot, related_name="rails", blank=True)

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return f"rail {self.code}"

    def get_absolute_url(self) -> str:
        return reverse("machine:rail-detail", args=[self.code])


class Earth(models.Model):
    """An earth bar or screen bond that several racks share."""

    code = models.CharField(max_length=60, unique=True)
    function = models.CharField(max_length=120, blank=True)
    racks = models.ManyToManyField(Rack, related_name="earths", blank=True)

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return f"earth {self.code}"

    def get_absolute_url(self) -> str:
        return reverse("machine:earth-detail", args=[self.code])
