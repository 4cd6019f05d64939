"""Changes that people record, and the evidence each of them puts in doubt."""

from typing import Any

from django.db import models
from django.db.models import Count, Q
from django.urls import reverse

from restoration.commissioning.models.groups import Group
from restoration.engineering.doubt import RECORDED
from restoration.machine.models import Chassis, DesignIssue, Earth, Fitting, Interconnect, Rack, Rail, Slot, Stage
from restoration.machine.records import Record
from restoration.proving.models import Instrument, Joining


class ChangeQuerySet(models.QuerySet[Any]):
    def in_force(self) -> "ChangeQuerySet":
        """Those that no correction has replaced."""
        return self.filter(replaced_by=None)

    def newest_first(self) -> "ChangeQuerySet":
        """From the latest backwards."""
        return self.order_by("-done_at", "-pk")

    def for_list(self) -> "ChangeQuerySet":
        """With what a list shows: who made it, what took its place, and how many doubts it asks."""
        asked = Count("doubts", filter=Q(doubts__is_asked=True), distinct=True)
        return self.select_related("done_by", "replaced_by").annotate(asked=asked).newest_first()

    def with_all(self) -> "ChangeQuerySet":
        """With the people, and all that it was done to, in one read."""
        people = ("done_by", "second_person", "entered_by", "replaces", "replaced_by")
        things = ("chassis", "slot", "stage", "interconnect", "rail", "earth", "issue__design", "instrument")
        fittings = ("taken_out__chassis", "put_in__chassis", "joining")
        return self.select_related(*people, *things, *fittings).prefetch_related("racks")


class Change(Record):
    """Something that was done to the machine, or came to light; `pk` is its number for people."""

    kind = models.CharField(max_length=60, choices=[(kind.value, kind.value) for kind in RECORDED])
    why = models.TextField()
    what = models.TextField()
    chassis = models.ForeignKey(Chassis, null=True, blank=True, on_delete=models.PROTECT, related_name="changes")
    slot = models.ForeignKey(Slot, null=True, blank=True, on_delete=models.PROTECT, related_name="changes")
    stage = models.ForeignKey(Stage, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    interconnect = models.ForeignKey(
        Interconnect, null=True, blank=True, on_delete=models.PROTECT, related_name="recorded_changes"
    )
    rail = models.ForeignKey(Rail, null=True, blank=True, on_delete=models.PROTECT, related_name="changes")
    earth = models.ForeignKey(Earth, null=True, blank=True, on_delete=models.PROTECT, related_name="changes")
    issue = models.ForeignKey(DesignIssue, null=True, blank=True, on_delete=models.PROTECT, related_name="changes")
    instrument = models.ForeignKey(Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="changes")
    racks = models.ManyToManyField(Rack, related_name="changes", blank=True)
    part = models.CharField(max_length=120, blank=True)
    was = models.CharField(max_length=120, blank=True)
    now = models.CharField(max_length=120, blank=True)
    since = models.DateTimeField(null=True, blank=True)
    taken_out = models.OneToOneField(Fitting, null=True, blank=True, on_delete=models.PROTECT, related_name="swap_out")
    put_in = models.OneToOneField(Fitting, null=True, blank=True, on_delete=models.PROTECT, related_name="swap_in")
    joining = models.OneToOneField(Joining, null=True, blank=True, on_delete=models.PROTECT, related_name="change")
    image = models.FileField(upload_to="changes/%Y", blank=True)
    small = models.FileField(upload_to="changes/%Y", blank=True)

    objects = ChangeQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = [
            *Record.Meta.constraints,
            models.CheckConstraint(
                condition=~Q(why=""),
                name="change_says_why",
                violation_error_message="A change says why it was made.",
            ),
        ]

    def __str__(self) -> str:
        return f"change {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("commissioning:change-detail", args=[self.pk])


class Doubt(models.Model):
    """Evidence of one item that a change puts in doubt: which gates, by which rule, and by which path it gets there.

    Where `record` names one, only that record is doubted. What a rule passes over, because it asks for a
    sample only, is kept with `is_asked` false and the reason.
    """

    change = models.ForeignKey(Change, on_delete=models.PROTECT, related_name="doubts")
    chassis = models.ForeignKey(Chassis, null=True, blank=True, on_delete=models.PROTECT, related_name="doubts")
    interconnect = models.ForeignKey(
        Interconnect, null=True, blank=True, on_delete=models.PROTECT, related_name="doubts"
    )
    rack = models.ForeignKey(Rack, null=True, blank=True, on_delete=models.PROTECT, related_name="doubts")
    group = models.ForeignKey(Group, null=True, blank=True, on_delete=models.PROTECT, related_name="doubts")
    gates = models.JSONField(default=list)
    rule_number = models.PositiveIntegerField()
    rule_version = models.PositiveIntegerField(default=0)
    path = models.TextField()
    record = models.CharField(max_length=60, blank=True)
    is_asked = models.BooleanField(default=True)
    why_not = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(chassis__isnull=False, interconnect=None, rack=None, group=None)
                | Q(chassis=None, interconnect__isnull=False, rack=None, group=None)
                | Q(chassis=None, interconnect=None, rack__isnull=False, group=None)
                | Q(chassis=None, interconnect=None, rack=None, group__isnull=False),
                name="doubt_of_one_item",
                violation_error_message="A doubt is of one chassis, one interconnect, one rack or one group.",
            ),
        ]

    def __str__(self) -> str:
        return f"doubt {self.pk} of {self.change}"
