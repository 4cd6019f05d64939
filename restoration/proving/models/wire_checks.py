"""An interconnect joined, lifted and rung out."""

from datetime import datetime
from typing import Any

from django.db import models
from django.db.models import Q

from restoration.machine.models import Interconnect
from restoration.machine.records import Record, Result


class LinkRecordQuerySet(models.QuerySet[Any]):
    def of(self, interconnect: Interconnect) -> "LinkRecordQuerySet":
        """The records of one interconnect, oldest first."""
        return self.filter(interconnect=interconnect).order_by("done_at", "pk")

    def in_force(self) -> "LinkRecordQuerySet":
        """Those that no correction has replaced."""
        return self.filter(replaced_by=None)

    def newest_at(self, interconnect: Interconnect, moment: datetime) -> Any:
        """The record that held at a moment, or None where there was none yet."""
        return self.of(interconnect).in_force().filter(done_at__lte=moment).last()

    def with_people(self) -> "LinkRecordQuerySet":
        """With the names of those who did, saw and entered it, in one read."""
        return self.select_related("done_by", "second_person", "entered_by")


class JoiningKind(models.TextChoices):
    """Connected at both ends, made again, or opened on purpose."""

    JOINED = "joined", "joined"
    REMADE = "re-made", "re-made"
    LIFTED = "lifted", "lifted"


class Joining(Record):
    """Both ends joined dead and viewed by a second person; or an end lifted, and why."""

    interconnect = models.ForeignKey(Interconnect, on_delete=models.PROTECT, related_name="joinings")
    kind = models.CharField(max_length=10, choices=JoiningKind.choices, default=JoiningKind.JOINED)

    objects = LinkRecordQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = [
            *Record.Meta.constraints,
            models.CheckConstraint(
                condition=Q(kind=JoiningKind.LIFTED) | Q(second_person__isnull=False),
                name="joint_seen_by_another",
                violation_error_message="A joint is viewed by a second person; say who.",
            ),
            models.CheckConstraint(
                condition=~Q(kind=JoiningKind.LIFTED) | ~Q(remarks=""),
                name="lifted_says_why",
                violation_error_message="A lifted wire carries a reason.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.interconnect} {self.kind}"


class RingOut(Record):
    """Proved end to end with no power: the right wire, through, and clear of chassis and neighbours."""

    interconnect = models.ForeignKey(Interconnect, on_delete=models.PROTECT, related_name="ring_outs")
    resistance_ohm = models.FloatField(null=True, blank=True)
    to_chassis_ohm = models.FloatField(null=True, blank=True)
    test_v = models.FloatField(null=True, blank=True)
    both_labels_read = models.BooleanField(default=False)
    result = models.CharField(max_length=20, choices=Result.choices)

    objects = LinkRecordQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = [
            *Record.Meta.constraints,
            models.CheckConstraint(
                condition=(Q(resistance_ohm=None) | Q(resistance_ohm__gte=0))
                & (Q(to_chassis_ohm=None) | Q(to_chassis_ohm__gte=0)),
                name="ring_out_ohms_not_negative",
                violation_error_message="A resistance cannot be negative.",
            ),
        ]

    def __str__(self) -> str:
        return f"ring-out {self.pk} of {self.interconnect}"
