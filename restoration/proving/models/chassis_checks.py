"""A chassis received, checked cold and tested on the bench."""

from typing import Any

from django.db import models
from django.urls import reverse

from restoration.machine.models import Chassis
from restoration.machine.models.limits import LimitRow
from restoration.machine.records import Conditions, Record, Result
from restoration.proving.models.instruments import Instrument


class ChassisRecordQuerySet(models.QuerySet[Any]):
    def of(self, chassis: Chassis) -> "ChassisRecordQuerySet":
        """The records of one chassis, oldest first."""
        return self.filter(chassis=chassis).order_by("done_at", "pk")

    def in_force(self) -> "ChassisRecordQuerySet":
        """Those that no later record takes the place of."""
        return self.filter(replaced_by=None)

    def with_people(self) -> "ChassisRecordQuerySet":
        """With all who are named in them, in one read."""
        return self.select_related("done_by", "second_person", "entered_by")


class ChassisRecord(Record):
    """A record about one chassis, and the drawing issue it was compared with."""

    chassis = models.ForeignKey(Chassis, on_delete=models.PROTECT, related_name="%(class)ss")
    issue_letter = models.CharField(max_length=10, blank=True)
    result = models.CharField(max_length=20, choices=Result.choices)

    objects = ChassisRecordQuerySet.as_manager()

    class Meta(Record.Meta):
        abstract = True


class ReceivingCheck(ChassisRecord):
    """Taken in on site: the label read, what came with it, and any damage on the way."""

    label_read = models.CharField(max_length=60)
    papers_complete = models.BooleanField(default=False)
    damage = models.TextField(blank=True)

    class Meta(ChassisRecord.Meta):
        pass

    def __str__(self) -> str:
        return f"receiving check {self.pk} of {self.chassis}"


class ColdCheck(ChassisRecord):
    """Looked over with no power: drawing, joints, resistances to the chassis, hazards."""

    agrees_with_drawing = models.BooleanField(default=False)
    joints_good = models.BooleanField(default=False)
    ht_to_chassis_ohm = models.FloatField(null=True, blank=True)
    heater_to_chassis_ohm = models.FloatField(null=True, blank=True)
    hazards = models.TextField(blank=True)

    class Meta(ChassisRecord.Meta):
        pass

    def __str__(self) -> str:
        return f"cold check {self.pk} of {self.chassis}"


class BenchTest(ChassisRecord, Conditions):
    """Run on the bench: DC points and pulse outputs, each with the load it was read with."""

    instrument = models.ForeignKey(Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    warm_up_min = models.FloatField(null=True, blank=True)
    ht_ma = models.FloatField(null=True, blank=True)
    heater_a = models.FloatField(null=True, blank=True)

    class Meta(ChassisRecord.Meta):
        pass

    def __str__(self) -> str:
        return f"bench test {self.pk} of {self.chassis}"

    def get_absolute_url(self) -> str:
        return reverse("proving:bench-test-detail", args=[self.pk])


class BenchReading(LimitRow):
    """One figure of a bench test, beside the limits that were in force."""

    test = models.ForeignKey(BenchTest, on_delete=models.PROTECT, related_name="readings")
    place = models.CharField(max_length=80)
    value = models.FloatField(null=True, blank=True)
    uncertainty = models.FloatField(null=True, blank=True)
    load_resistance_ohm = models.FloatField(null=True, blank=True)
    load_capacitance_f = models.FloatField(null=True, blank=True)
    verdict = models.CharField(max_length=20)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.place} {self.value}"
