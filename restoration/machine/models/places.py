"""Where things go: the machine, its racks, their slots, and the terminals of each slot."""

from django.db import models
from django.urls import reverse


class MachineQuerySet(models.QuerySet["Machine"]):
    def the_one(self) -> "Machine":
        """The machine this site records; made with a plain name if nobody named it yet."""
        return self.first() or self.create()


class Machine(models.Model):
    """The machine being restored: one row for the whole site."""

    name = models.CharField(max_length=120, default="Unnamed machine")
    keeper = models.CharField(max_length=120, blank=True)
    is_demo = models.BooleanField(default=False)

    objects = MachineQuerySet.as_manager()

    def __str__(self) -> str:
        return self.name


class RackQuerySet(models.QuerySet["Rack"]):
    def in_order(self) -> "RackQuerySet":
        """As they stand on the floor, then by name."""
        return self.order_by("position", "code")


class Rack(models.Model):
    """A frame of slots."""

    code = models.CharField(max_length=60, unique=True)
    function = models.CharField(max_length=120, blank=True)
    position = models.PositiveIntegerField(default=0)

    objects = RackQuerySet.as_manager()

    class Meta:
        ordering = ["position", "code"]

    def __str__(self) -> str:
        return f"rack {self.code}"

    def get_absolute_url(self) -> str:
        return reverse("machine:rack-detail", args=[self.code])


class SlotQuerySet(models.QuerySet["Slot"]):
    def from_the_top(self) -> "SlotQuerySet":
        """As seen from the front of the rack."""
        return self.order_by("rack__position", "rack__code", "position", "code")

    def wanting_a_chassis(self) -> "SlotQuerySet":
        """Slots for which a design is drawn and in which nothing is fitted."""
        return self.exclude(design=None).exclude(fittings__removed_at=None, fittings__isnull=False)


class Slot(models.Model):
    """The place for one chassis; its code is painted on the rack and is used once on the machine."""

    code = models.CharField(max_length=60, unique=True)
    rack = models.ForeignKey(Rack, null=True, blank=True, on_delete=models.PROTECT, related_name="slots")
    position = models.PositiveIntegerField(default=0)
    function = models.CharField(max_length=120, blank=True)
    design = models.ForeignKey("machine.Design", null=True, blank=True, on_delete=models.PROTECT, related_name="slots")

    objects = SlotQuerySet.as_manager()

    class Meta:
        ordering = ["position", "code"]

    def __str__(self) -> str:
        return f"slot {self.code}"

    def get_absolute_url(self) -> str:
        return reverse("machine:slot-detail", args=[self.code])


class Terminal(models.Model):
    """A named joining point of a slot."""

    slot = models.ForeignKey(Slot, on_delete=models.PROTECT, related_name="terminals")
    code = models.CharField(max_length=60)

    class Meta:
        ordering = ["slot", "code"]
        constraints = [
            models.UniqueConstraint(
                fields=["slot", "code"],
                name="terminal_once_in_slot",
                violation_error_message="This slot has a terminal of that name already.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.slot.code}:{self.code}"
