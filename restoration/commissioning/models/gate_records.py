"""A gate signed for: what was seen, by whom, and the result."""

from typing import Any

from django.db import models
from django.db.models import Q
from django.urls import reverse

from restoration.commissioning.models.groups import Group
from restoration.machine.models import Chassis, Rack
from restoration.machine.records import Record, Result


class GateRecordQuerySet(models.QuerySet[Any]):
    def in_force(self) -> "GateRecordQuerySet":
        """Those that no correction has replaced."""
        return self.filter(replaced_by=None)

    def with_people(self) -> "GateRecordQuerySet":
        """With the names of those who did, saw and entered it, in one read."""
        return self.select_related("done_by", "second_person", "entered_by")


class GateRecord(Record):
    """One gate of one chassis, rack or group, signed for where no record of a kind of its own exists."""

    gate = models.CharField(max_length=40)
    chassis = models.ForeignKey(Chassis, null=True, blank=True, on_delete=models.PROTECT, related_name="gate_records")
    rack = models.ForeignKey(Rack, null=True, blank=True, on_delete=models.PROTECT, related_name="gate_records")
    group = models.ForeignKey(Group, null=True, blank=True, on_delete=models.PROTECT, related_name="gate_records")
    result = models.CharField(max_length=20, choices=Result.choices)
    seen = models.TextField()
    paper = models.CharField(max_length=120, blank=True)

    objects = GateRecordQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = [
            *Record.Meta.constraints,
            models.CheckConstraint(
                condition=Q(chassis__isnull=False, rack=None, group=None)
                | Q(chassis=None, rack__isnull=False, group=None)
                | Q(chassis=None, rack=None, group__isnull=False),
                name="gate_record_of_one_item",
                violation_error_message="A gate is signed for one chassis, one rack or one group.",
            ),
            models.CheckConstraint(
                condition=~Q(seen=""),
                name="gate_record_says_what_was_seen",
                violation_error_message="Say what was seen or measured.",
            ),
        ]

    def __str__(self) -> str:
        return f"gate record {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("commissioning:gate-record", args=[self.pk])

    @property
    def kind(self) -> str:
        """What it is a gate of."""
        return "chassis" if self.chassis_id else "rack" if self.rack_id else "group"

    @property
    def item(self) -> Chassis | Rack | Group:
        """The chassis, rack or group it is a gate of."""
        item: Chassis | Rack | Group = getattr(self, self.kind)
        return item
