"""A stored copy of standing, so that a page need not work it out; the records remain the truth."""

from django.db import models
from django.utils import timezone

from restoration.commissioning.models.groups import Group
from restoration.machine.models import Chassis, Interconnect, Rack


class Standing(models.Model):
    """How one gate of one item stands; a gate that nothing was done about has no row."""

    chassis = models.ForeignKey(Chassis, null=True, blank=True, on_delete=models.CASCADE, related_name="standings")
    interconnect = models.ForeignKey(
        Interconnect, null=True, blank=True, on_delete=models.CASCADE, related_name="standings"
    )
    rack = models.ForeignKey(Rack, null=True, blank=True, on_delete=models.CASCADE, related_name="standings")
    group = models.ForeignKey(Group, null=True, blank=True, on_delete=models.CASCADE, related_name="standings")
    gate = models.CharField(max_length=40)
    state = models.CharField(max_length=20)
    since = models.DateTimeField(null=True)
    reasons = models.JSONField(default=list)
    worked_out_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(chassis__isnull=False, interconnect=None, rack=None, group=None)
                | models.Q(chassis=None, interconnect__isnull=False, rack=None, group=None)
                | models.Q(chassis=None, interconnect=None, rack__isnull=False, group=None)
                | models.Q(chassis=None, interconnect=None, rack=None, group__isnull=False),
                name="standing_of_one_item",
                violation_error_message="A standing belongs to one chassis, interconnect, rack or group.",
            ),
            models.UniqueConstraint(fields=["chassis", "gate"], name="standing_once_per_chassis_gate"),
            models.UniqueConstraint(fields=["interconnect", "gate"], name="standing_once_per_link_gate"),
            models.UniqueConstraint(fields=["rack", "gate"], name="standing_once_per_rack_gate"),
            models.UniqueConstraint(fields=["group", "gate"], name="standing_once_per_group_gate"),
        ]

    def __str__(self) -> str:
        return f"{self.chassis or self.interconnect or self.rack or self.group}: {self.gate} {self.state}"
