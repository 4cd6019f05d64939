"""Signals with their limits, and the interconnects that carry them."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from restoration.common.versions import Versioned
from restoration.machine.models.limits import LimitRow
from restoration.machine.models.places import Rack, Slot, Terminal


class Signal(models.Model):
    """A named pulse or level, the same wherever it is led."""

    name = models.CharField(max_length=200, unique=True)
    remarks = models.TextField(blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("machine:signal-detail", args=[self.name])


class SignalLimit(LimitRow):
    """What a signal must show at the load end, in place."""

    signal = models.ForeignKey(Signal, on_delete=models.CASCADE, related_name="limits")

    class Meta(LimitRow.Meta):
        ordering = ["pk"]
        constraints = [
            *LimitRow.Meta.constraints,
            models.UniqueConstraint(
                fields=["signal", "quantity"],
                name="signal_limit_once",
                violation_error_message="This signal has a limit for that quantity already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.signal}: {self.get_quantity_display()}"


class InterconnectQuerySet(models.QuerySet["Interconnect"]):
    def touching_slot(self, slot: Slot) -> "InterconnectQuerySet":
        """Those with an end at this slot."""
        return self.filter(Q(source__slot=slot) | Q(load__slot=slot))

    def touching_rack(self, rack: Rack) -> "InterconnectQuerySet":
        """Those with an end in this rack."""
        return self.filter(Q(source__slot__rack=rack) | Q(load__slot__rack=rack))

    def with_same_source(self, interconnect: "Interconnect") -> "InterconnectQuerySet":
        """All the loads on the source of this one, itself among them."""
        return self.filter(source=interconnect.source_id)

    def with_ends(self) -> "InterconnectQuerySet":
        """With all that its drawing shows, in one read."""
        return self.select_related("signal", "source__slot__rack", "load__slot__rack")


class Interconnect(Versioned):
    """One wire of the machine, from a source terminal to a load terminal (in short: a link)."""

    code = models.CharField(max_length=320, unique=True)
    source = models.ForeignKey(Terminal, on_delete=models.PROTECT, related_name="driving")
    load = models.ForeignKey(Terminal, on_delete=models.PROTECT, related_name="loading")
    signal = models.ForeignKey(Signal, null=True, blank=True, on_delete=models.PROTECT, related_name="interconnects")
    wire = models.CharField(max_length=60, blank=True)
    colour = models.CharField(max_length=60, blank=True)
    length_m = models.FloatField(null=True, blank=True)
    loom = models.CharField(max_length=60, blank=True)
    is_critical = models.BooleanField(null=True, blank=True)
    remarks = models.TextField(blank=True)

    objects = InterconnectQuerySet.as_manager()

    class Meta:
        ordering = ["code"]
        indexes = [
            models.Index(fields=["source", "load"], name="link_forward"),
            models.Index(fields=["load", "source"], name="link_backward"),
            models.Index(fields=["loom"], name="link_loom"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(length_m=None) | Q(length_m__gte=0),
                name="length_not_negative",
                violation_error_message="A wire's length cannot be negative.",
            )
        ]

    def __str__(self) -> str:
        return f"link {self.code}"

    def get_absolute_url(self) -> str:
        return reverse("machine:interconnect-detail", args=[self.code])


class WiringChange(models.Model):
    """What an interconnect was before the wire list changed it, so that older evidence can be doubted."""

    interconnect = models.ForeignKey(Interconnect, on_delete=models.PROTECT, related_name="changes")
    changed_at = models.DateTimeField(default=timezone.now)
    changed_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    fields = models.JSONField(default=dict)
    touches_wire = models.BooleanField()

    class Meta:
        ordering = ["changed_at", "pk"]

    def __str__(self) -> str:
        return f"change of {self.interconnect} on {self.changed_at:%d %b %Y}"
